package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.harmonic.AngularSupport;
import org.fieldwright.core.harmonic.Sampling;
import org.fieldwright.core.harmonic.WorkingFit;
import org.jspecify.annotations.Nullable;

/**
 * The {@link Nuisances} of one survey as columns of its fit: which they are, what they came to, and
 * the refusal of those that the readings cannot tell from the field.
 */
final class NuisanceColumns {
  /** The column of a change with time. */
  record OfDrift() {}

  private static final String WHERE = "%s: array.free of the magnet file: ";

  private final String file;
  private final Places places;
  private final Set<Object> labels = new LinkedHashSet<>();
  private final boolean drift;

  /**
   * @throws BadInput where a probe or an angle was not read, or no times tell a drift
   */
  NuisanceColumns(Survey survey, Intake intake, Nuisances wanted) {
    file = survey.file();
    places = intake.places();
    drift = wanted.drift();
    for (int id : wanted.probes().stream().sorted().toList()) {
      int index = places.probeIds().indexOf(id);
      require(index >= 0, "probe %d took no reading here".formatted(id));
      labels.add(new SharedFault.OfProbe(index));
    }
    for (double angle : wanted.anglesDeg()) {
      AngularSupport angles = places.angles();
      int index = angles == null ? 0 : angles.indexOf(angle);
      double there = angles == null ? Double.NaN : angles.distinct().get(index);
      boolean read =
          Math.abs(Math.IEEEremainder(angle - there, 360)) <= AngularSupport.SAME_ANGLE_DEG;
      require(read, "nothing was read at %s°".formatted(trimmed(angle)));
      labels.add(new SharedFault.OfAngle(index));
    }
    require(!drift || intake.timed(), "a drift needs a `time` with every reading");
    if (drift) {
      labels.add(new OfDrift());
    }
  }

  private void require(boolean met, String otherwise) {
    if (!met) {
      throw new BadInput(WHERE.formatted(file) + otherwise);
    }
  }

  boolean isWanted(Object label) {
    return labels.contains(label);
  }

  boolean isEmpty() {
    return labels.isEmpty();
  }

  /**
   * The column of the drift, ppm per hour; null where it is not wanted.
   *
   * @param hours at which each row was read since any start; 0 where it holds none
   */
  @Nullable SharedFault drift(Sampling s, double[] hours) {
    if (!drift) {
      return null;
    }
    double[] pattern = new double[hours.length];
    for (int i = 0; i < pattern.length; i++) {
      pattern[i] = s.rootWeight(i) * hours[i];
    }
    return new SharedFault(new OfDrift(), pattern, 0);
  }

  /**
   * Refuses what a finished fit cannot tell from the field.
   *
   * @param groups with the pattern of each column
   */
  void requireTold(WorkingFit fit, List<SharedFault> groups) {
    WorkingFit.Solution solution = fit.solve();
    for (Object label : labels) {
      int k = fit.extras().indexOf(new WorkingFit.Extra.Nuisance(label));
      double left = 0;
      for (SharedFault g : groups) {
        if (k >= 0 && g.label().equals(label)) {
          double own = 1 / solution.extraUncertainty(k);
          left = own * own / fit.score(g.pattern()).square();
        }
      }
      require(
          left >= FaultSearch.TESTABLE,
          String.format(
              Locale.ROOT,
              "these readings cannot tell %s from a field of degree %d: of its pattern %.2g %% is left beside the field, and %.0f %% are needed; ask for a lower --degree, take more probes or angles, or bring the probes to one place (`probe-offsets`)",
              named(label),
              fit.degree(),
              100 * left,
              100 * FaultSearch.TESTABLE));
    }
  }

  private String named(Object label) {
    if (label instanceof SharedFault.OfProbe p) {
      return "the offset of probe " + places.probeIds().get(p.probe());
    }
    return label instanceof SharedFault.OfAngle a
        ? "the error of " + trimmed(angle(a)) + "°"
        : "the drift";
  }

  private double angle(SharedFault.OfAngle a) {
    AngularSupport angles = places.angles();
    return angles == null ? Double.NaN : angles.distinct().get(a.angle());
  }

  private static String trimmed(double degrees) {
    return degrees == Math.rint(degrees) ? "%.0f".formatted(degrees) : Double.toString(degrees);
  }

  /**
   * What they came to.
   *
   * @param toCentre from ppm of the fit to ppm of the centre field
   */
  List<VettedSurvey.Freed> freed(List<FaultSearch.Found> found, double toCentre) {
    List<VettedSurvey.Freed> freed = new ArrayList<>();
    for (FaultSearch.Found f : found) {
      if (f.fault() instanceof SharedFault.OfProbe p && isWanted(p)) {
        int id = places.probeIds().get(p.probe());
        freed.add(
            new VettedSurvey.Freed.Offset(id, f.value() * toCentre, f.uncertainty() * toCentre));
      } else if (f.fault() instanceof SharedFault.OfAngle a && isWanted(a)) {
        freed.add(
            new VettedSurvey.Freed.Angle(
                angle(a), Math.toDegrees(f.value()), Math.toDegrees(f.uncertainty())));
      } else if (f.fault() instanceof OfDrift) {
        freed.add(new VettedSurvey.Freed.Drift(f.value() * toCentre, f.uncertainty() * toCentre));
      }
    }
    return freed;
  }
}
