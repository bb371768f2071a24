/** Iron outside the bore: whether a few dipoles explain a field, and where they would lie. */
@NullMarked
package org.fieldwright.core.outside;

import org.jspecify.annotations.NullMarked;
