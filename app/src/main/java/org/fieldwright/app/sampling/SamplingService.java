package org.fieldwright.app.sampling;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.ErrorSources;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.SamplingForecast;
import org.fieldwright.core.harmonic.SamplingForecast.ProbePlace;
import org.fieldwright.core.homogeneity.HomogeneityAssessment;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.homogeneity.SurfaceExtremes;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.Probe;
import org.fieldwright.core.reading.ProbeArray;
import org.jspecify.annotations.Nullable;

/** Forecasts candidate surveys of a magnet with its array, and names the smallest that will do. */
public final class SamplingService {
  /** The reader should find the field even where the centre is off by half the inhomogeneity. */
  private static final double WINDOW_MARGIN = 1.5;

  private SamplingService() {}

  /**
   * What is asked.
   *
   * @param angles candidate numbers of settings
   * @param startDeg first setting, degrees
   * @param degree above which no term is of interest
   * @param expectedPpm peak-to-peak expected over the array's sphere
   * @param secondsPerAngle for turning, settling and reading at one setting
   * @param wantPpm largest standard uncertainty wanted for the homogeneity limits; null = none
   */
  public record Question(
      List<Integer> angles,
      double startDeg,
      int degree,
      double expectedPpm,
      double secondsPerAngle,
      @Nullable Double wantPpm) {
    public Question {
      angles = List.copyOf(angles);
    }
  }

  /**
   * A candidate.
   *
   * @param limits with the uncertainty each would be known to; their values are the expected
   *     field's
   * @param omittedPpm peak-to-peak, over the array's sphere, of what the model cannot hold of the
   *     expected field
   * @param minutes with the first setting read again at the end
   */
  public record Candidate(
      SamplingForecast forecast, List<LimitResult> limits, double omittedPpm, double minutes) {
    public Candidate {
      limits = List.copyOf(limits);
    }

    /** The largest standard uncertainty among the homogeneity limits, what is omitted included. */
    double worstUncertaintyPpm() {
      double worst = omittedPpm / 4; // a swing of 2u either way, as a standard uncertainty
      for (LimitResult r : limits) {
        worst = Math.max(worst, r.uncertaintyPpm() == null ? 0 : r.uncertaintyPpm());
      }
      return worst;
    }
  }

  /**
   * The answer.
   *
   * @param windowMHz what the reader must cover for the expected field
   * @param smallest fewest angles that give the wanted uncertainty; null if none was wanted or none
   *     does
   * @param warnings whole sentences
   */
  public record Answer(
      List<Candidate> candidates,
      ProbeArray.Range windowMHz,
      @Nullable Candidate smallest,
      List<String> warnings) {
    public Answer {
      candidates = List.copyOf(candidates);
      warnings = List.copyOf(warnings);
    }
  }

  /** Answers for the magnet that a file describes. */
  public static Answer forecast(Path magnetFile, Question question) {
    return forecast(MagnetFile.read(magnetFile), question);
  }

  /** Answers for a magnet whose file states its array and the array's uncertainty. */
  public static Answer forecast(Magnet magnet, Question question) {
    ProbeArray array = magnet.array();
    requirePlannable(array);
    double radius = referenceRadius(array);
    Expansion expected = expected(question, radius);
    List<ProbePlace> probes =
        array.probes().stream().map((Probe p) -> new ProbePlace(p.polar(), p.radius())).toList();
    ProbeArray.Uncertainty u = array.uncertainty();
    ErrorSources errors =
        new ErrorSources(
            u.readingPpm(), u.position(), u.angle(), u.normalisationPpm(), null, List.of());
    List<Candidate> candidates = new ArrayList<>();
    for (int angles : question.angles().stream().distinct().sorted().toList()) {
      if (angles < 3) {
        throw new BadInput("--angles: found " + angles + "; a turn needs at least 3 settings");
      }
      SamplingForecast forecast =
          SamplingForecast.of(
              probes, angles, question.startDeg(), question.degree(), radius, expected, errors);
      candidates.add(
          new Candidate(
              forecast,
              HomogeneityAssessment.assess(forecast.model(), magnet.limits()),
              SurfaceExtremes.of(forecast.omitted(), new Volume.Sphere(radius)).peakToPeak(),
              (angles + 1) * question.secondsPerAngle() / 60));
    }
    return answer(magnet, question, candidates);
  }

  private static Answer answer(Magnet magnet, Question question, List<Candidate> candidates) {
    double centre = magnet.nominalField() * magnet.array().gammaMHzPerT();
    double half = WINDOW_MARGIN * question.expectedPpm() * 1e-6 / 2 * centre;
    ProbeArray.Range window = new ProbeArray.Range(centre - half, centre + half);
    List<String> warnings = new ArrayList<>();
    ProbeArray.Range range = magnet.array().rangeMHz();
    if (range != null && (window.low() < range.low() || window.high() > range.high())) {
      warnings.add(
          "The expected field needs %.4f to %.4f MHz; the array's range is %.4f to %.4f MHz."
              .formatted(window.low(), window.high(), range.low(), range.high()));
    }
    Candidate smallest = null;
    if (question.wantPpm() != null) {
      for (Candidate c : candidates) {
        boolean better = smallest == null || c.forecast().angles() < smallest.forecast().angles();
        if (c.worstUncertaintyPpm() <= question.wantPpm() && better) {
          smallest = c;
        }
      }
      if (smallest == null) {
        warnings.add(
            "No candidate reaches %s ppm; turning through more angles does not reduce errors that stay with a probe."
                .formatted(question.wantPpm()));
      }
    }
    return new Answer(candidates, window, smallest, warnings);
  }

  private static void requirePlannable(ProbeArray array) {
    if (array.probes().size() < 2) {
      throw new BadInput(
          "array.probes: found "
              + array.probes().size()
              + "; a turning survey is planned for an array of at least 2 probes");
    }
    if (array.uncertainty().readingPpm() == null) {
      throw new BadInput(
          "array.uncertainty.reading_ppm: not stated; a forecast needs the standard uncertainty of one reading, e.g. 0.02");
    }
  }

  private static double referenceRadius(ProbeArray array) {
    Double stated = array.radius();
    return stated != null
        ? stated
        : array.probes().stream().mapToDouble(Probe::radius).max().orElse(1);
  }

  private static Expansion expected(Question question, double radius) {
    Expansion unit = SamplingForecast.typicalField(question.degree(), radius, 1);
    double peakToPeak = SurfaceExtremes.of(unit, new Volume.Sphere(radius)).peakToPeak();
    return unit.times(question.expectedPpm() / peakToPeak);
  }
}
