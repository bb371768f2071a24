/** The field against time: slope, decay, deviations, steps. */
@NullMarked
package org.fieldwright.core.stability;

import org.jspecify.annotations.NullMarked;
