/**
 * Solid harmonics: the basis, expansions in it, and the least-squares field model with its
 * covariance.
 */
@NullMarked
package org.fieldwright.core.harmonic;

import org.jspecify.annotations.NullMarked;
