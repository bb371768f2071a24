package org.fieldwright.app.compare;

import java.util.List;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.RoundReview;
import org.fieldwright.core.harmonic.FieldChange;
import org.fieldwright.core.homogeneity.LimitResult;
import org.jspecify.annotations.Nullable;

/**
 * Two surveys of a magnet side by side.
 *
 * @param before the earlier
 * @param after the later
 * @param change later less earlier, ppm of the earlier centre field
 * @param extent of the change over each limit's volume, in the order of the limits that have one
 * @param round what was loaded between them; null where nothing is stated
 * @param warnings in whole sentences
 */
public record Comparison(
    Assessment before,
    Assessment after,
    FieldChange change,
    List<Extent> extent,
    @Nullable Round round,
    List<String> warnings) {

  public Comparison {
    extent = List.copyOf(extent);
    warnings = List.copyOf(warnings);
  }

  /**
   * A field over a limit's surface, ppm.
   *
   * @param peakToPeak of it
   * @param rms over the surface, about the mean
   */
  public record Extent(String limit, double peakToPeak, double rms) {}

  /**
   * A round of loading against its sheet.
   *
   * @param file the list of changes
   * @param iron with the strengths that the prediction used
   * @param from before
   * @param to after, by the sheet
   * @param review what was learned
   * @param predicted every limit as it should have come out
   * @param left over each limit's surface: found less predicted
   * @param leftLearned likewise after learning the strengths
   */
  public record Round(
      String file,
      IronSystem iron,
      Loading from,
      Loading to,
      RoundReview review,
      List<LimitResult> predicted,
      List<Extent> left,
      List<Extent> leftLearned) {
    public Round {
      predicted = List.copyOf(predicted);
      left = List.copyOf(left);
      leftLearned = List.copyOf(leftLearned);
    }
  }
}
