/** The job as mathematics. A library that others could use alone. */
@NullMarked
package org.fieldwright.core;

import org.jspecify.annotations.NullMarked;
