package org.fieldwright.app.outside;

import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.Progress;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.outside.OutsideFinding;
import org.fieldwright.core.outside.OutsideSearch;
import org.fieldwright.core.outside.SurveyReadings;
import org.fieldwright.core.reading.ProbeArray;
import org.jspecify.annotations.Nullable;

/** Looks for iron outside in one survey, or in what changed since another. */
public final class OutsideService {
  /**
   * No drift and no piece outside changes the centre field by more; another ramp or magnet does.
   */
  private static final double SAME_FIELD = 1e-3;

  /** Left, in scatters stated, above which the readings hold more than was fitted. */
  private static final double UNEXPLAINED = 1.5;

  private final AssessService assess;

  public OutsideService(AssessService assess) {
    this.assess = assess;
  }

  /**
   * Looks.
   *
   * @param since an earlier survey of the same magnet; null = none
   * @param degree of the harmonics beside the sources; null = by the evidence
   * @param progress hears what is tried
   */
  public OutsideAnswer look(
      Path survey,
      @Nullable Path since,
      Path magnetFile,
      @Nullable Integer degree,
      Progress progress) {
    return look(
        assess.assess(survey, magnetFile, AssessService.Options.DEFAULT),
        since == null ? null : assess.assess(since, magnetFile, AssessService.Options.DEFAULT),
        degree,
        progress);
  }

  /** Looks in surveys already assessed, by the same magnet file. */
  public static OutsideAnswer look(
      Assessment survey, @Nullable Assessment since, @Nullable Integer degree, Progress progress) {
    Vec3 axis = survey.magnet().fieldAxis();
    ProbeArray.Uncertainty stated = survey.magnet().array().uncertainty();
    List<String> warnings = new ArrayList<>();
    SurveyReadings readings;
    OutsideFinding finding;
    if (since == null) {
      readings = SurveyReadings.of(survey.fitted(), axis, stated, degree);
      finding = OutsideSearch.in(readings.readings(), progress);
      warnings.add(
          "One survey alone tells iron from the magnet's own field only where the iron is near. An earlier survey to hold it against shows far less iron, and farther away.");
    } else {
      requireSameField(since, survey);
      order(since, survey, warnings);
      readings =
          SurveyReadings.between(since.fitted(), survey.fitted(), axis, stated, degree, true);
      finding = OutsideSearch.in(readings.readings(), progress);
      // A search that was stopped may have left unexplained what it did not come to try.
      if (readings.basis() == SurveyReadings.Basis.DIFFERENCE
          && isUnexplained(finding, stated)
          && !progress.shouldStop()) {
        warnings.add(
            "The array's own errors did not cancel between the surveys, as if it had been changed or reset: they are taken into account as the magnet file states them.");
        readings =
            SurveyReadings.between(since.fitted(), survey.fitted(), axis, stated, degree, false);
        finding = OutsideSearch.in(readings.readings(), progress);
      }
    }
    doubts(finding, stated, warnings);
    boolean stopped = progress.shouldStop();
    if (stopped) {
      warnings.add("The search was stopped: richer explanations were not tried.");
    }
    return new OutsideAnswer(survey, since, readings.basis(), finding, stopped, warnings);
  }

  private static void requireSameField(Assessment since, Assessment survey) {
    double change = survey.model().centreField() / since.model().centreField() - 1;
    if (Math.abs(change) > SAME_FIELD) {
      throw new BadInput(
          String.format(
              Locale.ROOT,
              "%s and %s: the centre fields are %.5f T and %.5f T, %.0f ppm apart; right are two surveys of one magnet at one field",
              name(since),
              name(survey),
              since.model().centreField(),
              survey.model().centreField(),
              1e6 * change));
    }
  }

  private static void order(Assessment since, Assessment survey, List<String> warnings) {
    Instant before = since.vetted().survey().began();
    Instant after = survey.vetted().survey().began();
    if (before != null && after != null && before.isAfter(after)) {
      warnings.add(
          "%s was taken after %s: what came shows as gone, and what went as new."
              .formatted(name(since), name(survey)));
    }
  }

  private static void doubts(
      OutsideFinding finding, ProbeArray.Uncertainty stated, List<String> warnings) {
    if (isUnexplained(finding, stated)) {
      warnings.add(
          String.format(
              Locale.ROOT,
              "%.3f ppm are left of the readings, which are stated to scatter by %.3f: neither pieces outside nor harmonics explain them all. Uncertainties are those of what is left.",
              finding.left(),
              stated.readingPpm()));
    }
  }

  private static boolean isUnexplained(OutsideFinding finding, ProbeArray.Uncertainty stated) {
    Double scatter = stated.readingPpm();
    return scatter != null && finding.left() > UNEXPLAINED * scatter;
  }

  static String name(Assessment a) {
    return a.vetted().survey().file();
  }
}
