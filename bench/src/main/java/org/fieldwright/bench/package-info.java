/** Measurements beside peers. */
@NullMarked
package org.fieldwright.bench;

import org.jspecify.annotations.NullMarked;
