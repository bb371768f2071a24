package org.fieldwright.bench;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Locale;
import java.util.SplittableRandom;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.HarmonicDesign;
import org.fieldwright.core.harmonic.Sampling;
import org.fieldwright.core.harmonic.SolidHarmonics;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.harmonic.WorkingFit;

/**
 * Times the fit of many free points in a ball: the columns, their factorisation, residuals and
 * coefficients. {@code bench/points.sh} sets it beside numpy's and scipy's on the same matrix.
 */
public final class PointsTimer {
  private static final double RADIUS = 0.2;
  private static final int RUNS = 3;

  private PointsTimer() {}

  /**
   * Times it.
   *
   * @param args {@code points degree FILE}
   */
  public static void main(String[] args) throws IOException {
    int count = Integer.parseInt(args[0]);
    int degree = Integer.parseInt(args[1]);
    SplittableRandom random = new SplittableRandom(1);
    Vec3[] points = new Vec3[count];
    for (int i = 0; i < count; i++) {
      double r = RADIUS * Math.cbrt(random.nextDouble());
      double polar = Math.acos(random.nextDouble(-1, 1));
      points[i] = Vec3.spherical(r, polar, random.nextDouble(2 * Math.PI));
    }
    double[] y = random.doubles(count, -100, 100).toArray();
    Sampling sampling = Sampling.ofFreePoints(points);
    double[] found = new double[0];
    for (int run = 0; run < RUNS; run++) {
      long clock = System.nanoTime();
      long processor = ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime();
      HarmonicDesign design = HarmonicDesign.of(sampling, degree, RADIUS, null);
      found = new WorkingFit(design, degree, y).solve().expansion().coefficients();
      processor = ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime() - processor;
      System.out.printf(
          Locale.ROOT,
          "here, one thread: %.2f s of the processor, %.2f by the clock%n",
          processor / 1e9,
          (System.nanoTime() - clock) / 1e9);
    }
    write(sampling, degree, y, found, Path.of(args[2]));
  }

  /** Rows, columns, the matrix by rows, values and our coefficients for the peer. */
  private static void write(Sampling s, int degree, double[] y, double[] found, Path file)
      throws IOException {
    SolidHarmonics basis = new SolidHarmonics(degree, RADIUS);
    ByteBuffer row =
        ByteBuffer.allocate(8 * Math.max(2, basis.count())).order(ByteOrder.LITTLE_ENDIAN);
    try (FileChannel out =
        FileChannel.open(file, StandardOpenOption.CREATE, StandardOpenOption.WRITE)) {
      write(out, row, s.size(), Term.count(degree));
      for (int i = 0; i < s.size(); i++) {
        write(out, row, basis.evaluate(s.point(i)));
      }
      for (double v : y) {
        write(out, row, v);
      }
      write(out, row, found);
    }
  }

  private static void write(FileChannel out, ByteBuffer row, double... values) throws IOException {
    row.clear();
    for (double v : values) {
      row.putDouble(v);
    }
    row.flip();
    while (row.hasRemaining()) {
      out.write(row);
    }
  }
}
