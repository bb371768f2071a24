package org.fieldwright.adapters.report;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import org.fieldwright.adapters.report.chart.Quantity;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.VettedSurvey.Why;
import org.jspecify.annotations.Nullable;

/** Names and phrases as the report prints them. */
final class Wording {
  /** Coverage factor of the expanded uncertainties printed, about 95 % (JCGM 100, 6.3). */
  static final double COVERAGE = 2;

  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm xxx", Locale.ROOT);

  private Wording() {}

  static String volume(Limit limit) {
    Volume volume = limit.volume();
    if (volume instanceof Volume.Sphere s) {
      return "sphere, " + mm(2 * s.radius()) + " mm across";
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
  static String result(LimitResult result) {
    Double value = result.valuePpm();
    if (value == null) {
      return "–";
    }
    return Quantity.withUncertainty(value, expanded(result.uncertaintyPpm()));
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
    };
  }

  /** "97.3 %"; what rounds to certainty is said to be beyond a bound. */
  static String probability(double p) {
    if (p > 0.9999) {
      return "> 99.99 %";
    }
    if (p < 0.0001) {
      return "< 0.01 %";
    }
    return Quantity.decimals(100 * p, p > 0.1 && p < 0.9 ? 0 : p > 0.01 && p < 0.99 ? 1 : 2) + " %";
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
    return calibrated + (day.isAfter(until) ? ", lapsed" : ", valid");
  }

  /** "(0, −12.5, 200)", mm. */
  static String place(Vec3 p) {
    return "("
        + Quantity.decimals(p.x() * 1e3, 1)
        + ", "
        + Quantity.decimals(p.y() * 1e3, 1)
        + ", "
        + Quantity.decimals(p.z() * 1e3, 1)
        + ")";
  }

  /** Metres as millimetres without needless zeros. */
  static String mm(double metres) {
    return trimmed(metres * 1e3, 2);
  }

  /** At most so many decimals, trailing zeros dropped. */
  static String trimmed(double value, int decimals) {
    String text = Quantity.decimals(value, decimals);
    return text.contains(".") ? text.replaceAll("\\.?0+$", "") : text;
  }

  static String time(Instant time, ZoneId zone) {
    return TIME.format(time.atZone(zone));
  }
}
