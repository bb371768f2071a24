package org.fieldwright.core.reading;

import java.time.LocalDate;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * What a person may decide about the vetting.
 *
 * @param degree of the field model; null = by leave-one-out error
 * @param excluded rows to leave out whatever they say
 * @param kept rows to use even if they look like outliers
 * @param surveyed date of the survey, for calibration; null = unknown
 */
public record VettingOptions(
    @Nullable Integer degree,
    Set<Integer> excluded,
    Set<Integer> kept,
    @Nullable LocalDate surveyed) {

  public static final VettingOptions DEFAULT = new VettingOptions(null, Set.of(), Set.of(), null);

  public VettingOptions {
    excluded = Set.copyOf(excluded);
    kept = Set.copyOf(kept);
  }
}
