package org.fieldwright.bench;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.SplittableRandom;
import java.util.function.DoubleSupplier;
import java.util.stream.IntStream;
import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.AngularSupport;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Sampling;
import org.fieldwright.core.harmonic.SolidHarmonics;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.harmonic.TurningFit;

/**
 * Times the fit of a complete turn, alone and as one of many. {@code bench/surveys.sh} sets it
 * beside numpy's on the same matrix. Each line is median, lower and upper quartile in ms of the
 * clock.
 */
public final class SurveyTimer {
  private static final double RADIUS = 0.2;
  private static final int RUNS = 51;

  private SurveyTimer() {}

  /**
   * Times it.
   *
   * @param args {@code probes angles degree FILE}
   */
  public static void main(String[] args) throws IOException {
    turning(
        Integer.parseInt(args[0]),
        Integer.parseInt(args[1]),
        Integer.parseInt(args[2]),
        Path.of(args[3]));
  }

  private static double[] settings(int angles) {
    return IntStream.range(0, angles).mapToDouble(a -> 360.0 * a / angles).toArray();
  }

  private static Sampling sampling(int probes, int angles) {
    GaussLegendre nodes = GaussLegendre.of(probes);
    Vec3[] points = new Vec3[probes * angles];
    double[] weight = new double[points.length];
    int[] probe = new int[points.length];
    int[] angle = new int[points.length];
    for (int i = 0; i < points.length; i++) {
      probe[i] = i % probes;
      angle[i] = i / probes;
      double phi = 2 * Math.PI * angle[i] / angles;
      points[i] = Vec3.spherical(RADIUS, Math.acos(nodes.node(probe[i])), phi);
      weight[i] = 1;
    }
    return new Sampling(points, weight, probe, angle);
  }

  /** Writes rows, columns, matrix, values and our coefficients for the peer. */
  private static void turning(int probes, int angles, int degree, Path file) throws IOException {
    Sampling sampling = sampling(probes, angles);
    AngularSupport support = AngularSupport.of(settings(angles));
    double[] y = new SplittableRandom(1).doubles(sampling.size(), -100, 100).toArray();
    DoubleSupplier single =
        () -> everything(fit(sampling, degree, support), y); // geometry and survey
    print("one survey", times(single));
    TurningFit known = fit(sampling, degree, support);
    print("one of many", times(() -> everything(known, y)));
    growth(sampling, degree, support, y);
    List<Term> terms = new ArrayList<>();
    for (int k = 0; k < Term.count(degree); k++) {
      if (!support.hides(Term.at(k))) {
        terms.add(Term.at(k));
      }
    }
    SolidHarmonics basis = new SolidHarmonics(degree, RADIUS);
    int doubles = 2 + sampling.size() * (terms.size() + 1) + terms.size();
    ByteBuffer out = ByteBuffer.allocate(8 * doubles).order(ByteOrder.LITTLE_ENDIAN);
    out.putDouble(sampling.size()).putDouble(terms.size());
    for (int i = 0; i < sampling.size(); i++) {
      double[] h = basis.evaluate(sampling.point(i));
      terms.forEach(t -> out.putDouble(h[t.index()]));
    }
    for (double v : y) {
      out.putDouble(v);
    }
    Expansion found = known.fit(y).expansion();
    terms.forEach(t -> out.putDouble(found.coefficient(t)));
    Files.write(file, out.array());
  }

  /** Processor time of many surveys, the geometry's factors included. */
  private static void growth(
      Sampling sampling, int degree, AngularSupport support, double[] values) {
    ThreadMXBean thread = ManagementFactory.getThreadMXBean();
    for (int surveys = 1; surveys <= 10_000; surveys *= 10) {
      long start = thread.getCurrentThreadCpuTime();
      TurningFit fit = fit(sampling, degree, support);
      double sum = 0;
      for (int i = 0; i < surveys; i++) {
        sum += everything(fit, values);
      }
      double ms = (thread.getCurrentThreadCpuTime() - start) / 1e6;
      System.out.printf(Locale.ROOT, "%d surveys %.2f processor (%.3g)%n", surveys, ms, sum);
    }
  }

  private static TurningFit fit(Sampling sampling, int degree, AngularSupport support) {
    return Objects.requireNonNull(TurningFit.of(sampling, degree, RADIUS, support));
  }

  /** Coefficients, covariance, residuals and leave-one-out residuals. */
  private static double everything(TurningFit fit, double[] y) {
    TurningFit.Result r = fit.fit(y);
    return r.expansion().coefficient(1)
        + r.covariance().at(1, 1)
        + r.residuals()[0]
        + r.leaveOneOut()[0];
  }

  private static double[] times(DoubleSupplier work) {
    double[] ms = new double[RUNS];
    double sum = 0;
    for (int run = -500; run < RUNS; run++) {
      long start = System.nanoTime();
      sum += work.getAsDouble();
      if (run >= 0) {
        ms[run] = (System.nanoTime() - start) / 1e6;
      }
    }
    if (Double.isNaN(sum)) {
      throw new IllegalStateException("not a number");
    }
    Arrays.sort(ms);
    return ms;
  }

  private static void print(String what, double[] sorted) {
    int n = sorted.length;
    System.out.printf(
        Locale.ROOT, "%s %.4f %.4f %.4f%n", what, sorted[n / 2], sorted[n / 4], sorted[3 * n / 4]);
  }
}
