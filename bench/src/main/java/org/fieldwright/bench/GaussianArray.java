package org.fieldwright.bench;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.reading.Nuisances;
import org.fieldwright.core.reading.Probe;
import org.fieldwright.core.reading.ProbeArray;

/** Arrays of the benchmarks: water probes at Gauss–Legendre polar angles. */
final class GaussianArray {
  private GaussianArray() {}

  /**
   * An array.
   *
   * @param radius of every probe, m
   */
  static ProbeArray of(int probes, double radius, ProbeArray.Uncertainty stated) {
    GaussLegendre nodes = GaussLegendre.of(probes);
    List<Probe> list = new ArrayList<>();
    for (int p = 0; p < probes; p++) {
      list.add(new Probe(p + 1, Math.acos(nodes.node(p)), radius, 0));
    }
    return new ProbeArray(
        "bench",
        42.57638543,
        "water",
        radius,
        list,
        null,
        null,
        null,
        stated,
        null,
        Nuisances.NONE);
  }
}
