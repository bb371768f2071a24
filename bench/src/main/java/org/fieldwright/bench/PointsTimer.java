package org.fieldwright.bench;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.lang.management.MemoryPoolMXBean;
import java.lang.management.MemoryType;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Locale;
import java.util.SplittableRandom;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.CorrectionStep;
import org.fieldwright.core.harmonic.HarmonicDesign;
import org.fieldwright.core.harmonic.HarmonicProducts;
import org.fieldwright.core.harmonic.MomentFit;
import org.fieldwright.core.harmonic.PointMoments;
import org.fieldwright.core.harmonic.Sampling;
import org.fieldwright.core.harmonic.SolidHarmonics;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.harmonic.WorkingFit;

/**
 * Times the fit of many free points, which are generated anew for every pass and never held: by
 * their moments, corrected once. Beside it, where the points are to be compared, by columns; {@code
 * bench/points.sh} sets both beside numpy's and scipy's on the same matrix.
 */
public final class PointsTimer {
  private static final double RADIUS = 0.2;
  private static final int RUNS = 3;

  private final String form;
  private final long count;
  private final int degree;

  private PointsTimer(String form, long count, int degree) {
    this.form = form;
    this.count = count;
    this.degree = degree;
  }

  /**
   * Times it.
   *
   * @param args {@code ball|cylinder|cap points degree [FILE]}; with a file the system is written
   *     there for the peer
   */
  public static void main(String[] args) throws IOException {
    PointsTimer timer =
        new PointsTimer(args[0], Long.parseLong(args[1]), Integer.parseInt(args[2]));
    boolean compared = args.length > 3;
    double[] found = new double[0];
    for (int run = 0; run < (compared ? RUNS : 1); run++) {
      found = timer.byMoments();
    }
    System.out.printf(Locale.ROOT, "  heap at its fullest: %.0f MB%n", heap() / 1e6);
    if (compared) {
      timer.compare(found, Path.of(args[3]));
    }
  }

  @FunctionalInterface
  private interface Each {
    void take(Vec3 at, double value);
  }

  /** The points, the same at every pass, with values within ±100. */
  private void forEach(Each each) {
    SplittableRandom random = new SplittableRandom(1);
    for (long i = 0; i < count; i++) {
      double turn = random.nextDouble(2 * Math.PI);
      double far = RADIUS * Math.cbrt(random.nextDouble());
      double level = random.nextDouble(-1, 1);
      Vec3 at =
          switch (form) {
            case "ball" -> Vec3.spherical(far, Math.acos(level), turn);
            case "cylinder" ->
                Vec3.cylindrical(
                    0.7 * RADIUS * Math.pow(far / RADIUS, 1.5), turn, 0.7 * RADIUS * level);
            case "cap" -> Vec3.spherical(far, Math.acos(0.25 + 0.75 * level), turn);
            default -> throw new IllegalArgumentException("ball, cylinder or cap, not " + form);
          };
      each.take(at, random.nextDouble(-100, 100));
    }
  }

  private static double processor() {
    return ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime() / 1e9;
  }

  private static double heap() {
    return ManagementFactory.getMemoryPoolMXBeans().stream()
        .filter(pool -> pool.getType() == MemoryType.HEAP)
        .map(MemoryPoolMXBean::getPeakUsage)
        .mapToDouble(usage -> usage.getUsed())
        .sum();
  }

  private double[] byMoments() {
    long clock = System.nanoTime();
    double start = processor();
    forEach((at, value) -> {});
    double generated = processor() - start;
    PointMoments moments = new PointMoments(degree, RADIUS);
    forEach((at, value) -> moments.add(at, 1, value));
    MomentFit fit = new MomentFit(moments, new HarmonicProducts(degree), degree);
    double[] first = fit.solve(moments);
    double solved = processor();
    CorrectionStep step = new CorrectionStep(fit, first);
    forEach((at, value) -> step.add(at, 1, value));
    double[] corrected = step.coefficients();
    double all = processor();
    System.out.printf(
        Locale.ROOT,
        "%s of %d points, degree %d, by moments, one thread: %.2f s of the processor, and %.2f for the corrected coefficients (%.1e changed), %.2f by the clock; %.2f s each time to make the points is not counted; exact enough: %s%n",
        form,
        count,
        degree,
        solved - start - 2 * generated,
        all - start - 3 * generated,
        difference(first, corrected),
        (System.nanoTime() - clock) / 1e9,
        generated,
        fit.isSound());
    return corrected;
  }

  private static double difference(double[] a, double[] b) {
    double most = 0;
    for (int k = 0; k < a.length; k++) {
      most = Math.max(most, Math.abs(a[k] - b[k]));
    }
    return most;
  }

  /** By columns, and the system for the peer. */
  private void compare(double[] found, Path file) throws IOException {
    Vec3[] points = new Vec3[(int) count];
    double[] y = new double[points.length];
    int[] next = {0};
    forEach(
        (at, value) -> {
          points[next[0]] = at;
          y[next[0]++] = value;
        });
    Sampling sampling = Sampling.ofFreePoints(points);
    double start = processor();
    HarmonicDesign design = HarmonicDesign.of(sampling, degree, RADIUS, null);
    double[] columns = new WorkingFit(design, degree, y).solve().expansion().coefficients();
    System.out.printf(
        Locale.ROOT,
        "by columns, one thread: %.2f s of the processor; the moments' differ by %.1e%n",
        processor() - start,
        difference(columns, found));
    write(sampling, y, found, file);
  }

  /** Rows, columns, the matrix by rows, values and our coefficients for the peer. */
  private void write(Sampling s, double[] y, double[] found, Path file) throws IOException {
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
