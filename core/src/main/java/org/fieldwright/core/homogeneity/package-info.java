/** Peak-to-peak and RMS of a field over a volume, and the limits they are held against. */
@NullMarked
package org.fieldwright.core.homogeneity;

import org.jspecify.annotations.NullMarked;
