package org.fieldwright.bench;

import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.SplittableRandom;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.reading.LiveVetting;
import org.fieldwright.core.reading.Probe;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.Reading;

/**
 * Times the vetting after each setting of the array, of fields that need all degrees up to 12:
 * processor time of the thread, ms, median and 99th percentile. {@code bench/live.sh} runs it.
 */
public final class LiveTimer {
  private static final double RADIUS = 0.2;
  private static final double NOISE_PPM = 0.02;
  private static final int WARM = 30;
  private static final int SURVEYS = 60;

  private LiveTimer() {}

  /**
   * Times it.
   *
   * @param args {@code probes angles}
   */
  public static void main(String[] args) {
    int probes = Integer.parseInt(args[0]);
    int angles = Integer.parseInt(args[1]);
    ProbeArray array =
        GaussianArray.of(
            probes, RADIUS, new ProbeArray.Uncertainty(NOISE_PPM, 1e-5, 1e-4, NOISE_PPM));
    for (boolean faulty : new boolean[] {false, true}) {
      List<Double> ms = new ArrayList<>();
      List<Double> late = new ArrayList<>();
      for (int s = -WARM; s < SURVEYS; s++) {
        double[] times = survey(array, angles, new SplittableRandom(s), faulty);
        for (int k = 0; s >= 0 && k < angles; k++) {
          ms.add(times[k]);
          if (k >= 3 * angles / 4) {
            late.add(times[k]);
          }
        }
      }
      print(faulty ? "one angle 2 degrees wrong" : "sound", ms);
      print("  last quarter", late);
    }
  }

  /** Processor time after each setting, ms. */
  private static double[] survey(
      ProbeArray array, int angles, SplittableRandom random, boolean faulty) {
    double[] c = new double[Term.count(12)];
    for (int k = 1; k < c.length; k++) {
      c[k] = 100 * Math.pow(0.5, Term.at(k).n() - 1) * random.nextGaussian();
    }
    Expansion field = new Expansion(RADIUS, c);
    int wrong = faulty ? random.nextInt(1, angles) : -1;
    LiveVetting vetting = new LiveVetting(array);
    ThreadMXBean thread = ManagementFactory.getThreadMXBean();
    double[] ms = new double[angles];
    for (int k = 0; k < angles; k++) {
      double phi = 2 * Math.PI * k / angles;
      List<Reading> setting = new ArrayList<>();
      for (Probe probe : array.probes()) {
        double turned = phi + (k == wrong ? Math.toRadians(2) : 0);
        Vec3 at = Vec3.spherical(RADIUS, probe.polar(), turned);
        double ppm = field.at(at) + NOISE_PPM * random.nextGaussian();
        Instant time = Instant.EPOCH.plusSeconds(60L * k + probe.id());
        setting.add(
            new Reading(
                1,
                probe.id(),
                360.0 * k / angles,
                Vec3.spherical(RADIUS, probe.polar(), phi),
                0.55 * (1 + 1e-6 * ppm),
                null,
                null,
                null,
                time,
                null));
      }
      long start = thread.getCurrentThreadCpuTime();
      vetting.after(setting);
      ms[k] = (thread.getCurrentThreadCpuTime() - start) / 1e6;
    }
    return ms;
  }

  private static void print(String what, List<Double> ms) {
    double[] sorted = ms.stream().mapToDouble(v -> v).toArray();
    Arrays.sort(sorted);
    int n = sorted.length;
    System.out.printf(
        Locale.ROOT,
        "%s: median %.2f, 99 %% within %.2f ms%n",
        what,
        sorted[n / 2],
        sorted[n * 99 / 100]);
  }
}
