/**
 * Points and the source-free volumes that limits speak of. SI units, right-handed, z the bore axis.
 */
@NullMarked
package org.fieldwright.core.geometry;

import org.jspecify.annotations.NullMarked;
