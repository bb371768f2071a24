package org.fieldwright.bench;

import com.sun.management.OperatingSystemMXBean;
import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Locale;
import java.util.SplittableRandom;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.PointFit;

/**
 * Times the fit of many free points on two threads, from points to coefficients and covariance.
 * {@code bench/points.sh} sets it beside numpy and scipy.
 */
public final class PointTimer {
  private static final double RADIUS = 0.2;
  private static final int THREADS = 2;
  private static final int PORTION = 10_000;

  private PointTimer() {}

  /**
   * Times one problem, or many of different size.
   *
   * @param args {@code solve points degree FILE} (writes points, values and coefficients for the
   *     peer) or {@code growth}
   */
  public static void main(String[] args) throws IOException, InterruptedException {
    if (args[0].equals("growth")) {
      time(10_000, 12, 3); // warms up
      for (int n : new int[] {10_000, 100_000, 1_000_000}) {
        time(n, 20, 1);
      }
      for (int degree : new int[] {8, 12, 16, 20, 24}) {
        time(100_000, degree, 1);
      }
    } else {
      int n = Integer.parseInt(args[1]);
      int degree = Integer.parseInt(args[2]);
      time(n, degree, 3);
      double[] coefficients = time(n, degree, 1);
      write(n, coefficients, Path.of(args[3]));
    }
  }

  /** Prints seconds of clock and processor of the last run. */
  private static double[] time(int n, int degree, int runs) throws InterruptedException {
    OperatingSystemMXBean system =
        (OperatingSystemMXBean) ManagementFactory.getOperatingSystemMXBean();
    double[] coefficients = new double[0];
    for (int run = 0; run < runs; run++) {
      long cpu = system.getProcessCpuTime();
      long clock = System.nanoTime();
      PointFit.Solution solution = fitted(n, degree).solve();
      coefficients = solution.expansion().coefficients();
      double u = Math.sqrt(solution.covariance().at(1, 1));
      System.out.printf(
          Locale.ROOT,
          "here points %d degree %d: %.3f s, processor %.3f s (u of Z %.1e)%n",
          n,
          degree,
          (System.nanoTime() - clock) / 1e9,
          (system.getProcessCpuTime() - cpu) / 1e9,
          u);
    }
    return coefficients;
  }

  /** The points are drawn as they are needed, as from a file: none are kept. */
  private static PointFit fitted(int n, int degree) throws InterruptedException {
    PointFit[] fits = new PointFit[THREADS];
    Thread[] threads = new Thread[THREADS];
    for (int t = 0; t < THREADS; t++) {
      int first = t;
      PointFit own = new PointFit(degree, RADIUS);
      fits[t] = own;
      threads[t] =
          new Thread(
              () -> {
                for (int from = first * PORTION; from < n; from += THREADS * PORTION) {
                  Portion p = new Portion(from, Math.min(PORTION, n - from));
                  own.add(p.points, p.values);
                }
              });
      threads[t].start();
    }
    for (Thread t : threads) {
      t.join();
    }
    for (int t = 1; t < THREADS; t++) {
      fits[0].merge(fits[t]);
    }
    return fits[0];
  }

  /** Points spread over the ball, values of the size of a field with noise. */
  private static final class Portion {
    private final Vec3[] points;
    private final double[] values;

    Portion(int from, int count) {
      SplittableRandom random = new SplittableRandom(from);
      points = new Vec3[count];
      values = new double[count];
      for (int i = 0; i < count; i++) {
        double r = RADIUS * Math.cbrt(random.nextDouble());
        double polar = Math.acos(random.nextDouble(-1, 1));
        points[i] = Vec3.spherical(r, polar, random.nextDouble(2 * Math.PI));
        values[i] = random.nextDouble(-100, 100);
      }
    }
  }

  private static void write(int n, double[] coefficients, Path file) throws IOException {
    ByteBuffer out =
        ByteBuffer.allocate(8 * (2 + 4 * n + coefficients.length)).order(ByteOrder.LITTLE_ENDIAN);
    out.putDouble(n).putDouble(coefficients.length);
    for (int from = 0; from < n; from += PORTION) {
      Portion p = new Portion(from, Math.min(PORTION, n - from));
      for (int i = 0; i < p.points.length; i++) {
        Vec3 at = p.points[i].times(1 / RADIUS);
        out.putDouble(at.x()).putDouble(at.y()).putDouble(at.z()).putDouble(p.values[i]);
      }
    }
    Arrays.stream(coefficients).forEach(out::putDouble);
    Files.write(file, out.array());
  }
}
