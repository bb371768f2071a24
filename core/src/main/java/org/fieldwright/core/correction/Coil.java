package org.fieldwright.core.correction;

import org.fieldwright.core.harmonic.Expansion;

/**
 * A shim coil.
 *
 * @param id unique in the magnet file
 * @param limit largest current either way, A
 * @param step smallest change, A; 0 = continuous
 * @param set current now, A
 * @param response ppm per ampere
 */
public record Coil(String id, double limit, double step, double set, Expansion response) {}
