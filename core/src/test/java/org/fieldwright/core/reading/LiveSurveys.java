package org.fieldwright.core.reading;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.function.ToDoubleFunction;
import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.magnetostatics.PointDipole;

/** One random survey with at most one fault, vetted while it is taken, and what was told of it. */
final class LiveSurveys {
  private static final double R = 0.2;
  private static final double NOISE = 0.02; // ppm
  private static final double NORMALISATION = 0.02; // ppm
  private static final double TURNED_WRONG = Math.toRadians(2);
  private static final double OFF = 10 * NOISE;
  private static final double DRIFTS = 0.3; // ppm/h

  /** With the true field known, a fault must stand out by this many standard deviations. */
  private static final double KNOWABLE = 8;

  /** A kind of field, 5 to 300 ppm at the first degree where nothing else is said. */
  enum Field {
    SMOOTH("coefficients falling by 0.2 to 0.4 a degree"),
    RICH("... by 0.4 to 0.54"),
    ZONAL("mainly zonal, by 0.2 to 0.5"),
    IRON("iron at 0.45 to 0.63 m, up to 200 ppm"),
    NEAR("iron at 0.35 to 0.49 m, up to 200 ppm");

    private final String words;

    Field(String words) {
      this.words = words;
    }

    String words() {
      return words;
    }
  }

  /** What goes wrong. */
  enum Fault {
    NONE("none"),
    ANGLE("one angle 2° wrong"),
    READING("one reading 10 × the noise off"),
    PROBE("one probe 10 × the noise off"),
    DRIFT("0.3 ppm/h");

    private final String words;

    Fault(String words) {
      this.words = words;
    }

    String words() {
      return words;
    }
  }

  private final Fault fault;
  private final SplittableRandom random;
  private final ProbeArray array;
  private final double[] anglesDeg;
  private final ToDoubleFunction<Vec3> field;
  private final double position;
  private final double angle;
  private final Vec3[] shift;
  private final double[] offset;
  private final int wrongSetting;
  private final int wrongProbe;
  private final double size;
  private final Set<String> wrong = new HashSet<>();
  private double seconds;
  private boolean found;
  private int delay;
  private double error;

  /**
   * @param misplaced whether places are 0.1 mm and angles 1 mrad off, as stated; a tenth otherwise
   * @param back whether every second angle is taken on the way back
   */
  LiveSurveys(Field kind, boolean misplaced, boolean back, Fault fault, long seed) {
    this.fault = fault;
    random = new SplittableRandom(seed);
    int probes = new int[] {16, 20, 24}[random.nextInt(3)];
    anglesDeg = angles(new int[] {16, 24, 36}[random.nextInt(3)], back);
    field = field(kind);
    position = misplaced ? 1e-4 : 1e-5;
    angle = misplaced ? 1e-3 : 1e-4;
    array = array(probes);
    shift = new Vec3[probes];
    offset = new double[probes];
    for (int p = 0; p < probes; p++) {
      shift[p] = new Vec3(normal(), normal(), normal()).times(position);
      offset[p] = NORMALISATION * normal();
    }
    wrongSetting = 1 + random.nextInt(anglesDeg.length - 1);
    wrongProbe = random.nextInt(probes);
    double sign = random.nextBoolean() ? 1 : -1;
    size =
        sign
            * switch (fault) {
              case NONE -> 0;
              case ANGLE -> TURNED_WRONG;
              case READING, PROBE -> OFF;
              case DRIFT -> DRIFTS;
            };
  }

  private double normal() {
    return random.nextGaussian();
  }

  private static double[] angles(int count, boolean back) {
    double[] angles = new double[count];
    int i = 0;
    for (int k = 0; k < count; k += back ? 2 : 1) {
      angles[i++] = 360.0 * k / count;
    }
    for (int k = count - 1; back && k > 0; k -= 2) {
      angles[i++] = 360.0 * k / count;
    }
    return angles;
  }

  private ProbeArray array(int count) {
    GaussLegendre nodes = GaussLegendre.of(count);
    List<Probe> probes = new ArrayList<>();
    for (int p = 0; p < count; p++) {
      probes.add(new Probe(p + 1, Math.acos(nodes.node(p)), R, 0));
    }
    ProbeArray.Uncertainty stated =
        new ProbeArray.Uncertainty(NOISE, position, angle, NORMALISATION);
    return new ProbeArray(
        "study", 42.57638543, "test", R, probes, null, null, null, stated, null, Nuisances.NONE);
  }

  private ToDoubleFunction<Vec3> field(Field kind) {
    return switch (kind) {
      case SMOOTH -> random(0.2, 0.4, 1);
      case RICH -> random(0.4, 0.54, 1);
      case ZONAL -> random(0.2, 0.5, 0.1);
      case IRON -> iron(0.45);
      case NEAR -> iron(0.35);
    };
  }

  private ToDoubleFunction<Vec3> random(double leastRatio, double mostRatio, double tesseral) {
    double first = 5 * Math.pow(60, random.nextDouble());
    double ratio = random.nextDouble(leastRatio, mostRatio);
    double[] c = new double[Term.count(24)];
    for (int k = 1; k < c.length; k++) {
      double part = Term.at(k).m() == 0 ? 1 : tesseral;
      c[k] = part * first * Math.pow(ratio, Term.at(k).n() - 1) * normal();
    }
    return new Expansion(R, c)::at;
  }

  /** One to four pieces about the bore's middle, 10 to 200 ppm together, and a zonal field. */
  private ToDoubleFunction<Vec3> iron(double nearest) {
    double[] c = new double[Term.count(12)];
    for (int n = 1; n <= 12; n++) {
      c[n * n] = 100 * Math.pow(0.3, n - 1) * normal();
    }
    Expansion zonal = new Expansion(R, c);
    List<PointDipole> iron = new ArrayList<>();
    int pieces = 1 + random.nextInt(4);
    for (int i = 0; i < pieces; i++) {
      double azimuth = random.nextDouble(2 * Math.PI);
      double from = nearest * random.nextDouble(1, 1.4);
      Vec3 at =
          new Vec3(
              from * Math.cos(azimuth), from * Math.sin(azimuth), random.nextDouble(-0.3, 0.3));
      iron.add(new PointDipole(at, new Vec3(0, 0, random.nextDouble(0.3, 1))));
    }
    ToDoubleFunction<Vec3> shape = p -> iron.stream().mapToDouble(d -> d.at(p).z()).sum();
    double most = 0;
    for (int i = 0; i < 400; i++) {
      double polar = Math.acos(random.nextDouble(-1, 1));
      Vec3 p = Vec3.spherical(R, polar, random.nextDouble(2 * Math.PI));
      most = Math.max(most, Math.abs(shape.applyAsDouble(p)));
    }
    double scale = 10 * Math.pow(20, random.nextDouble()) / most;
    return p -> zonal.at(p) + scale * shape.applyAsDouble(p);
  }

  /** Takes it. */
  void take() {
    LiveVetting vetting = new LiveVetting(array);
    for (int k = 0; k < anglesDeg.length; k++) {
      hear(k, vetting.after(setting(k)));
    }
  }

  private List<Reading> setting(int k) {
    double stated = Math.toRadians(anglesDeg[k]);
    boolean here = k == wrongSetting;
    double phi = stated + angle * normal() + (fault == Fault.ANGLE && here ? size : 0);
    List<Reading> setting = new ArrayList<>();
    for (int p = 0; p < shift.length; p++) {
      Probe probe = array.probes().get(p);
      Vec3 d = shift[p];
      Vec3 at = Vec3.spherical(R + d.x(), probe.polar() + d.y() / R, phi + d.z() / R);
      double ppm = field.applyAsDouble(at) + offset[p] + NOISE * normal();
      boolean struck =
          p == wrongProbe && (fault == Fault.PROBE || (fault == Fault.READING && here));
      ppm += struck ? size : fault == Fault.DRIFT ? size * seconds / 3600 : 0;
      setting.add(
          new Reading(
              1,
              probe.id(),
              anglesDeg[k],
              Vec3.spherical(R, probe.polar(), stated),
              0.55 * (1 + ppm * 1e-6),
              null,
              null,
              null,
              Instant.EPOCH.plusMillis(Math.round(1000 * seconds)),
              null));
      seconds += 2;
    }
    seconds += 30;
    return setting;
  }

  private void hear(int k, LiveFindings told) {
    for (VettedSurvey.SuspectAngle a : told.angles()) {
      boolean right = fault == Fault.ANGLE && a.angleDeg() == anglesDeg[wrongSetting];
      double off = a.errorDeg() - Math.toDegrees(size);
      judge(right, "angle " + a.angleDeg(), k - wrongSetting, off / a.uncertaintyDeg());
    }
    for (LiveFindings.OffReading r : told.readings()) {
      boolean right =
          r.probe() == wrongProbe + 1
              && (fault == Fault.PROBE
                  || (fault == Fault.READING && r.angleDeg() == anglesDeg[wrongSetting]));
      String what = "reading " + r.angleDeg() + " " + r.probe();
      judge(right, what, k - wrongSetting, (r.ppm() - size) / r.uncertaintyPpm());
    }
    for (VettedSurvey.SuspectProbe p : told.probes()) {
      boolean right = fault == Fault.PROBE && p.probe() == wrongProbe + 1;
      double off = p.offsetPpm() - size - (right ? offset[wrongProbe] : 0);
      judge(right, "probe " + p.probe(), k, off / p.uncertaintyPpm());
    }
    LiveFindings.Rate rate = told.drift();
    if (rate != null) {
      double truth = fault == Fault.DRIFT ? size : 0;
      boolean right = fault == Fault.DRIFT;
      judge(right, "drift", k, (rate.ppmPerHour() - truth) / rate.uncertaintyPpmPerHour());
    }
  }

  private void judge(boolean right, String what, int after, double uncertainties) {
    if (!right) {
      wrong.add(what);
    } else if (!found) {
      found = true;
      delay = after;
      error = uncertainties;
    }
  }

  /** Whether someone who knows the true field, and what is stated, would be sure of the fault. */
  boolean isKnowable() {
    double phi = Math.toRadians(anglesDeg[wrongSetting]);
    double information = 0;
    for (int p = 0; p < shift.length; p++) {
      double polar = array.probes().get(p).polar();
      double along = slope(polar, phi, 0, 1e-3) / 1e-3;
      double arm = R * Math.sin(polar);
      double slopes =
          Math.pow(along / arm, 2)
              + Math.pow(slope(polar, phi, 1e-3, 0) / (1e-3 * R), 2)
              + Math.pow(radial(polar, phi), 2);
      // The other settings tell a probe's own offset, and average its noise.
      double noise = fault == Fault.PROBE ? 0 : NOISE * NOISE;
      double offsets = fault == Fault.READING ? 0 : NORMALISATION * NORMALISATION;
      double variance = noise + offsets + position * position * slopes;
      if (fault == Fault.ANGLE) {
        information += along * along / variance;
      } else if (p == wrongProbe) {
        information = 1 / (variance + Math.pow(angle * along, 2));
      }
    }
    double own = 1 / information + (fault == Fault.ANGLE ? angle * angle : 0);
    return fault == Fault.DRIFT || Math.abs(size) > KNOWABLE * Math.sqrt(own);
  }

  private double slope(double polar, double phi, double polarStep, double phiStep) {
    double after = field.applyAsDouble(Vec3.spherical(R, polar + polarStep, phi + phiStep));
    double before = field.applyAsDouble(Vec3.spherical(R, polar - polarStep, phi - phiStep));
    return (after - before) / 2;
  }

  private double radial(double polar, double phi) {
    double out = field.applyAsDouble(Vec3.spherical(R + 1e-4, polar, phi));
    return (out - field.applyAsDouble(Vec3.spherical(R - 1e-4, polar, phi))) / 2e-4;
  }

  /** Told though it is not so, each once. */
  int wrongRemarks() {
    return wrong.size();
  }

  boolean isFound() {
    return found;
  }

  /** Settings after the wrong one; of a probe and a drift, after the first. */
  int delay() {
    return delay;
  }

  /** Of what was told first. */
  double errorInUncertainties() {
    return error;
  }

  /** Part of the turn after which it went wrong. */
  double partOfTurn() {
    return (double) wrongSetting / anglesDeg.length;
  }
}
