package org.fieldwright.core.correction;

import java.util.Map;
import org.fieldwright.core.harmonic.Expansion;

/**
 * A shim coil.
 *
 * @param id unique in the magnet file
 * @param limit largest current either way, A
 * @param step smallest change, A; 0 = continuous
 * @param set current now, A
 * @param response ppm per ampere
 * @param induces A that other coils, closed on themselves, gain per ampere put into this one; empty
 *     for coils that are driven
 */
public record Coil(
    String id,
    double limit,
    double step,
    double set,
    Expansion response,
    Map<String, Double> induces) {

  public Coil {
    induces = Map.copyOf(induces);
  }

  /** A coil that disturbs no other. */
  public Coil(String id, double limit, double step, double set, Expansion response) {
    this(id, limit, step, set, response, Map.of());
  }
}
