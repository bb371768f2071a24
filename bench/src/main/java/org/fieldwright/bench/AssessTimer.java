package org.fieldwright.bench;

import java.lang.management.ManagementFactory;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeSet;
import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.homogeneity.HomogeneityAssessment;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.reading.FittedSurvey;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.Survey;
import org.fieldwright.core.reading.Vetting;
import org.fieldwright.core.reading.VettingOptions;

/**
 * Times the assessment of one large survey in a fresh program: what a person waits for. {@code
 * bench/assess.sh} runs it.
 */
public final class AssessTimer {
  private static final double RADIUS = 0.2;
  private static final double NOISE_PPM = 0.02;
  private static final int PROBES = 40;
  private static final double GOLDEN = Math.PI * (3 - Math.sqrt(5));

  private final SplittableRandom random = new SplittableRandom(20261126);
  private final Expansion field = field(random);
  private final List<Reading> readings = new ArrayList<>();
  private final Set<Integer> bad = new TreeSet<>();

  private AssessTimer() {}

  /**
   * Times one.
   *
   * @param args {@code cloud|sphere|turn readings bad}
   */
  public static void main(String[] args) {
    AssessTimer timer = new AssessTimer();
    int count = Integer.parseInt(args[1]);
    timer.random.ints(0, count).distinct().limit(Integer.parseInt(args[2])).forEach(timer.bad::add);
    for (int i = 0; i < count; i++) {
      timer.read(args[0], i, count);
    }
    timer.time(args[0]);
  }

  /** Every term to degree 12, of 100 ppm at first, halved from degree to degree. */
  private static Expansion field(SplittableRandom random) {
    double[] c = new double[Term.count(12)];
    for (int k = 1; k < c.length; k++) {
      c[k] = 100 * Math.pow(0.5, Term.at(k).n() - 1) * random.nextGaussian();
    }
    return new Expansion(RADIUS, c);
  }

  private void read(String kind, int i, int count) {
    Integer probe = null;
    Double angle = null;
    Vec3 at;
    if (kind.equals("turn")) {
      probe = i % PROBES + 1;
      int setting = i / PROBES;
      angle = 360.0 * PROBES * setting / count;
      at = Vec3.spherical(RADIUS, polar(probe), Math.toRadians(angle));
    } else if (kind.equals("sphere")) {
      at = Vec3.spherical(RADIUS, Math.acos(1 - (2.0 * i + 1) / count), i * GOLDEN);
    } else {
      double r = RADIUS * Math.cbrt(random.nextDouble());
      double polar = Math.acos(random.nextDouble(-1, 1));
      at = Vec3.spherical(r, polar, random.nextDouble(2 * Math.PI));
    }
    double off = bad.contains(i) ? random.nextDouble(0.5, 5) : 0;
    double ppm = field.at(at) + NOISE_PPM * random.nextGaussian() + off;
    double tesla = 0.55 * (1 + 1e-6 * ppm);
    readings.add(new Reading(i + 2, probe, angle, at, tesla, null, null, null, null, null));
  }

  private static double polar(int probe) {
    return Math.acos(GaussLegendre.of(PROBES).node(probe - 1));
  }

  private void time(String kind) {
    ProbeArray array =
        GaussianArray.of(
            PROBES, RADIUS, new ProbeArray.Uncertainty(NOISE_PPM, 1e-5, 1e-4, NOISE_PPM));
    Survey.Kind how = kind.equals("turn") ? Survey.Kind.TURNING_ARRAY : Survey.Kind.FREE_POINTS;
    Survey survey = new Survey(kind, how, readings, false, Map.of(), List.of());
    long clock = System.nanoTime();
    long processor = ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime();
    FittedSurvey fitted = Vetting.vet(survey, array, VettingOptions.DEFAULT);
    Limit limit = new Limit("sphere", Limit.Measure.PEAK_TO_PEAK, new Volume.Sphere(RADIUS), 20);
    HomogeneityAssessment.assess(fitted.model(), List.of(limit));
    processor = ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime() - processor;
    Set<Integer> rows = new TreeSet<>();
    fitted.vetted().setAside().forEach(s -> rows.add(s.reading().row() - 2));
    int found = rows.size();
    rows.removeAll(bad);
    System.out.printf(
        Locale.ROOT,
        "%s, %d readings: %.1f s of the processor, %.1f s by the clock; degree %d, %d of %d bad readings found, %d good ones set aside%n",
        kind,
        readings.size(),
        processor / 1e9,
        (System.nanoTime() - clock) / 1e9,
        fitted.model().ppm().degree(),
        found - rows.size(),
        bad.size(),
        rows.size());
  }
}
