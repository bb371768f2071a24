package org.fieldwright.adapters.report;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.VettedSurvey.Why;
import org.fieldwright.core.stability.Estimate;
import org.jspecify.annotations.Nullable;

/**
 * Names, phrases and the sentences that several sections say. A sentence is written whole, with its
 * values as placeholders and free of plurals, so that a translation replaces it as a whole.
 */
final class Wording {
  /** Coverage factor of the expanded uncertainties printed, about 95 % (JCGM 100, 6.3). */
  static final double COVERAGE = 2;

  private static final double HOUR = 3600;

  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm xxx", Locale.ROOT);

  private final Numerals numerals;

  /**
   * @param numerals how its numbers are written
   */
  Wording(Numerals numerals) {
    this.numerals = numerals;
  }

  String volume(Limit limit) {
    Volume volume = limit.volume();
    if (volume instanceof Volume.Sphere s) {
      return "sphere, %s mm across".formatted(mm(2 * s.radius()));
    }
    if (volume instanceof Volume.Ellipsoid e) {
      return "ellipsoid, %s × %s × %s mm"
          .formatted(mm(2 * e.semiX()), mm(2 * e.semiY()), mm(2 * e.semiZ()));
    }
    if (volume instanceof Volume.Cylinder c) {
      return "cylinder, %s mm across, %s mm long"
          .formatted(mm(2 * c.radius()), mm(2 * c.halfLength()));
    }
    return "–";
  }

  static String measure(Limit limit) {
    return switch (limit.measure()) {
      case PEAK_TO_PEAK -> "peak-to-peak";
      case SURFACE_RMS -> "surface RMS";
      case VOLUME_RMS -> "volume RMS";
      case DRIFT -> "drift";
    };
  }

  static String unit(Limit limit) {
    return limit.measure() == Limit.Measure.DRIFT ? "ppm/h" : "ppm";
  }

  /** "412.31 ± 0.42" with the expanded uncertainty; a dash where there is no value. */
  String result(LimitResult result) {
    Double value = result.valuePpm();
    if (value == null) {
      return "–";
    }
    return numerals.withUncertainty(value, expanded(result.uncertaintyPpm()));
  }

  static double expanded(@Nullable Double standard) {
    return standard == null ? 0 : COVERAGE * standard;
  }

  static String verdict(LimitResult.Verdict verdict) {
    return switch (verdict) {
      case MET -> "✓ met";
      case NOT_MET -> "✗ not met";
      case UNDECIDED -> "? undecided";
      case NOT_ASSESSED -> "not assessed";
    };
  }

  static String why(Why why) {
    return switch (why) {
      case NO_LOCK -> "no lock";
      case OUT_OF_RANGE -> "out of the reader's range";
      case OUTLIER -> "disagrees with its neighbours";
      case EXCLUDED -> "excluded by the user";
    };
  }

  static String source(FieldModel.Source source) {
    return switch (source) {
      case READING -> "reading";
      case POSITION -> "probe position";
      case ANGLE -> "array angle";
      case NORMALISATION -> "probe offset";
      case DRIFT -> "drift";
      case MODULUS -> "|B| for component";
    };
  }

  /** "97.3 %"; what rounds to certainty is said to be beyond a bound. */
  String probability(double p) {
    if (p > 0.9999) {
      return "> " + numerals.percent(0.9999, 2);
    }
    if (p < 0.0001) {
      return "< " + numerals.percent(0.0001, 2);
    }
    return numerals.percent(p, p > 0.1 && p < 0.9 ? 0 : p > 0.01 && p < 0.99 ? 1 : 2);
  }

  /** The state of an array's calibration on a day. */
  static String calibration(ProbeArray array, LocalDate day) {
    LocalDate calibrated = array.calibrated();
    if (calibrated == null) {
      return "not stated";
    }
    if (array.calibrationIntervalMonths() == null) {
      return calibrated.toString();
    }
    LocalDate until = calibrated.plusMonths(array.calibrationIntervalMonths());
    return (day.isAfter(until) ? "%s, lapsed" : "%s, valid").formatted(calibrated);
  }

  /** "(0.0, −12.5, 200.0)", mm; where the comma is the decimal mark, a semicolon parts them. */
  String place(Vec3 p) {
    return "("
        + numerals.list(
            List.of(
                numerals.decimals(p.x() * 1e3, 1),
                numerals.decimals(p.y() * 1e3, 1),
                numerals.decimals(p.z() * 1e3, 1)))
        + ")";
  }

  /** Metres as millimetres without needless zeros. */
  String mm(double metres) {
    return numerals.trimmed(metres * 1e3, 2);
  }

  /** What a loading changes, in short. */
  String loaded(Plan plan) {
    return numerals.sentence(
        "pieces in: %,d (%s g), pieces out: %,d, pockets touched: %,d",
        plan.piecesAdded(),
        numerals.decimals(plan.massAdded() * 1e3, 0),
        plan.piecesRemoved(),
        plan.pocketsTouched());
  }

  String planSentence(Plan plan) {
    return "Limit “%s” is predicted to go from %s ppm to %s ppm by this plan: %s."
        .formatted(
            plan.limitId(),
            numerals.significant(plan.beforePpm(), 4),
            numerals.significant(plan.plannedPpm(), 3),
            loaded(plan));
  }

  String missedSentence(Plan plan) {
    String missed = numerals.significant(plan.missedByPpm(), 3);
    return plan.unreachableByPpm() > 0
        ? "The plan misses what it had to keep by %s ppm: no loading of this iron comes nearer to it than %s ppm."
            .formatted(missed, numerals.significant(plan.unreachableByPpm(), 3))
        : "The plan misses what it had to keep by %s ppm: a longer search may find one that keeps it."
            .formatted(missed);
  }

  /** With the expanded uncertainty, as everywhere in the report. */
  String estimate(@Nullable Estimate e) {
    return e == null ? "unknown" : numerals.withUncertainty(e.value(), expanded(e.uncertainty()));
  }

  /** One line for the summary of a log, or of what several probes of one file logged. */
  String inShort(List<VisitReport.Log> file) {
    VisitReport.Log log = file.get(0);
    if (log.probe() != null) {
      return numerals.sentence(
          "%s, %s h; probes, each judged by itself: %,d",
          log.file(), numerals.trimmed(log.duration() / HOUR, 1), file.size());
    }
    Estimate drift = log.report().drift();
    String hours = numerals.trimmed(log.duration() / HOUR, 1);
    int events = log.report().events().size();
    return drift == null
        ? numerals.sentence(
            "%s, %s h; too short to tell a drift; events: %,d", log.file(), hours, events)
        : numerals.sentence(
            "%s, %s h; drift %s ppm/h; events: %,d", log.file(), hours, estimate(drift), events);
  }

  static String time(Instant time, ZoneId zone) {
    return TIME.format(time.atZone(zone));
  }
}
