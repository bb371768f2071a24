package org.fieldwright.bench;

import java.util.SplittableRandom;
import java.util.concurrent.TimeUnit;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.homogeneity.Extremes;
import org.fieldwright.core.homogeneity.SurfaceExtremes;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Param;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;

/**
 * Peak-to-peak by surface search, warm: a new field each time on one search object, as the planner
 * and the Monte Carlo use it. Fields fall by {@code decay} per degree; 1 is the worst case, where
 * every degree matters to the grid.
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Warmup(iterations = 3, time = 1)
@Measurement(iterations = 5, time = 1)
@Fork(2)
public class SurfaceExtremesBenchmark {
  private static final int FIELDS = 16;

  @Param({"12", "20", "40", "60"})
  int degree = 20;

  @Param({"0.75", "1.0"})
  double decay = 1;

  @Param({"sphere", "cylinder"})
  String shape = "sphere";

  private final Expansion[] fields = new Expansion[FIELDS];
  private SurfaceExtremes search = new SurfaceExtremes(new Volume.Sphere(1));
  private int next;

  @Setup
  public void prepare() {
    SplittableRandom random = new SplittableRandom(1);
    for (int f = 0; f < FIELDS; f++) {
      double[] c = new double[Term.count(degree)];
      for (int i = 1; i < c.length; i++) {
        c[i] = 100 * Math.pow(decay, Term.at(i).n() - 1) * random.nextGaussian();
      }
      fields[f] = new Expansion(0.2, c);
    }
    Volume volume =
        shape.equals("sphere") ? new Volume.Sphere(0.2) : new Volume.Cylinder(0.15, 0.1);
    search = new SurfaceExtremes(volume);
  }

  @Benchmark
  public Extremes peakToPeak() {
    next = (next + 1) % FIELDS;
    return search.of(fields[next]);
  }
}
