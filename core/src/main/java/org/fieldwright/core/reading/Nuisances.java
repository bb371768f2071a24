package org.fieldwright.core.reading;

import java.util.List;
import java.util.Set;

/**
 * Unknowns that a person wants carried in the fit beside the field, whether they stand out or not.
 *
 * @param probes whose offsets are unknown, by id
 * @param anglesDeg settings that may not be where the sheet says, as stated there
 * @param drift a change of all readings in proportion to time, beyond what revisits took off
 */
public record Nuisances(Set<Integer> probes, List<Double> anglesDeg, boolean drift) {
  public static final Nuisances NONE = new Nuisances(Set.of(), List.of(), false);

  public Nuisances {
    probes = Set.copyOf(probes);
    anglesDeg = List.copyOf(anglesDeg);
  }
}
