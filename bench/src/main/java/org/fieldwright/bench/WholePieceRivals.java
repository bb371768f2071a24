package org.fieldwright.bench;

import com.google.ortools.Loader;
import com.google.ortools.linearsolver.MPConstraint;
import com.google.ortools.linearsolver.MPSolver;
import com.google.ortools.linearsolver.MPVariable;
import com.sun.management.OperatingSystemMXBean;
import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.correction.PlanForecast;
import org.fieldwright.core.correction.Pocket;
import org.fieldwright.core.correction.ShimPlanner;
import org.fieldwright.core.correction.ShimRequest;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.homogeneity.SurfaceExtremes;

/**
 * Whole-piece plans of generated magnets, by the planner and by general mixed-integer solvers on
 * the same magnets. {@code bench/whole_pieces.sh} runs them one after the other.
 */
public final class WholePieceRivals {
  private static final int MOST_PIECES = 60;

  private WholePieceRivals() {}

  /**
   * Prints a line per magnet.
   *
   * @param args {@code ours}, {@code cbc}, {@code scip}, {@code highs} or {@code glop} (the
   *     relaxation on the targets), seconds each, seeds; or {@code grown}, seconds, and numbers of
   *     trays and pockets in turn
   */
  public static void main(String[] args) throws IOException, InterruptedException {
    double seconds = Double.parseDouble(args[1]);
    if (args[0].equals("grown")) {
      for (int i = 2; i + 1 < args.length; i += 2) {
        grown(Integer.parseInt(args[i]), Integer.parseInt(args[i + 1]), seconds);
      }
      return;
    }
    for (int i = 2; i < args.length; i++) {
      BodyMagnets magnet = BodyMagnets.of(Long.parseLong(args[i]));
      if (args[0].equals("ours")) {
        ours(magnet, seconds);
      } else if (args[0].equals("highs")) {
        highs(magnet, seconds);
      } else {
        rival(magnet, args[0], seconds);
      }
    }
  }

  private static void ours(BodyMagnets magnet, double seconds) {
    double cpu = cpuSeconds();
    long start = System.nanoTime();
    Plan plan =
        new ShimPlanner(magnet.iron(), Vec3.UNIT_Z, List.of(magnet.limit()))
            .plan(
                magnet.bare(),
                ShimRequest.peakToPeak(magnet.limit()),
                new StopAfter(start, seconds));
    Double bound = plan.relaxedBoundPpm();
    System.out.printf(
        Locale.ROOT,
        "%d ours bare %.1f bound %.3f ripple/bound %.3f targets %.3f surface %.3f wall %.1f cpu %.1f pieces %d%n",
        magnet.seed(),
        plan.beforePpm(),
        bound,
        ripple(magnet) / (bound == null ? Double.NaN : bound),
        onTargets(magnet, plan.planned()),
        onSurface(magnet, plan.planned()),
        (System.nanoTime() - start) * 1e-9,
        cpuSeconds() - cpu,
        plan.piecesAdded());
  }

  /** The yardstick with more pockets: when the bound and the first whole plans are there. */
  private static void grown(int trays, int pockets, double seconds) {
    BodyMagnets magnet = BodyMagnets.grown(trays, pockets);
    long start = System.nanoTime();
    double cpu = cpuSeconds();
    Map<String, Double> first = new LinkedHashMap<>();
    StopAfter limit = new StopAfter(start, seconds);
    Progress noted =
        new Progress() {
          @Override
          public void report(String stage, double fraction, double bestSoFar) {
            first.put(stage, cpuSeconds() - cpu); // of a stage that repeats, the last
          }

          @Override
          public boolean shouldStop() {
            return limit.shouldStop();
          }
        };
    Plan plan =
        new ShimPlanner(magnet.iron(), Vec3.UNIT_Z, List.of(magnet.limit()))
            .plan(magnet.bare(), ShimRequest.peakToPeak(magnet.limit()), noted);
    System.out.printf(
        Locale.ROOT,
        "%d pockets bound %.3f planned %.3f cpu until %s wall %.1f iterations %d%n",
        trays * pockets,
        plan.relaxedBoundPpm(),
        plan.plannedPpm(),
        first,
        (System.nanoTime() - start) * 1e-9,
        plan.iterations());
  }

  private static void rival(BodyMagnets magnet, String name, double seconds) {
    Loader.loadNativeLibraries();
    MPSolver solver = MPSolver.createSolver(name.toUpperCase(Locale.ROOT));
    MPVariable[] counts = program(magnet, solver);
    solver.setTimeLimit(Math.round(seconds * 1000));
    double cpu = cpuSeconds();
    long start = System.nanoTime();
    MPSolver.ResultStatus status = solver.solve();
    double took = (System.nanoTime() - start) * 1e-9;
    cpu = cpuSeconds() - cpu;
    boolean solved =
        status == MPSolver.ResultStatus.OPTIMAL || status == MPSolver.ResultStatus.FEASIBLE;
    if (name.equals("glop")) {
      System.out.printf(
          Locale.ROOT,
          "%d glop %s relaxed on targets %.9f%n",
          magnet.seed(),
          status,
          solver.objective().value());
      return;
    }
    int[] found = new int[solved ? counts.length : 0];
    Arrays.setAll(found, j -> (int) Math.round(counts[j].solutionValue()));
    report(magnet, name, found, took, cpu);
  }

  private static void report(
      BodyMagnets magnet, String name, int[] counts, double wall, double cpu) {
    Loading found = loading(magnet, counts);
    System.out.printf(
        Locale.ROOT,
        "%d %s %s targets %.3f surface %.3f wall %.1f cpu %.1f%n",
        magnet.seed(),
        name,
        counts.length == 0 ? "nothing" : "found",
        onTargets(magnet, found),
        onSurface(magnet, found),
        wall,
        cpu);
  }

  /** By scipy's HiGHS: OR-Tools does not hand on what its HiGHS has found when the time is up. */
  private static void highs(BodyMagnets magnet, double seconds)
      throws IOException, InterruptedException {
    Path problem = Files.createTempFile("problem", ".f64");
    Path answer = Files.createTempFile("answer", ".txt");
    try {
      write(magnet, problem);
      long start = System.nanoTime();
      int exit =
          new ProcessBuilder(
                  "python3",
                  "bench/highs.py",
                  problem.toString(),
                  answer.toString(),
                  Double.toString(seconds))
              .inheritIO()
              .start()
              .waitFor();
      if (exit != 0) {
        throw new IOException("bench/highs.py ended with " + exit);
      }
      int[] counts = Files.readAllLines(answer).stream().mapToInt(Integer::parseInt).toArray();
      report(magnet, "highs", counts, (System.nanoTime() - start) * 1e-9, Double.NaN);
    } finally {
      Files.delete(problem);
      Files.delete(answer);
    }
  }

  private static void write(BodyMagnets magnet, Path file) throws IOException {
    List<Vec3> targets = magnet.targets();
    List<Pocket> pockets = magnet.iron().pockets();
    int length = 3 + targets.size() * (1 + pockets.size());
    ByteBuffer buffer = ByteBuffer.allocate(length * Double.BYTES).order(ByteOrder.LITTLE_ENDIAN);
    buffer.putDouble(pockets.size()).putDouble(targets.size()).putDouble(MOST_PIECES);
    Expansion bare = magnet.bare().ppm();
    targets.forEach(p -> buffer.putDouble(bare.at(p)));
    for (Pocket pocket : pockets) {
      targets.forEach(p -> buffer.putDouble(magnet.ppmPerPiece(pocket, p)));
    }
    Files.write(file, buffer.array());
  }

  /** Minimise high − low with low ≤ field ≤ high at every target, whole counts. */
  private static MPVariable[] program(BodyMagnets magnet, MPSolver solver) {
    double infinity = MPSolver.infinity();
    List<Pocket> pockets = magnet.iron().pockets();
    MPVariable high = solver.makeNumVar(-infinity, infinity, "high");
    MPVariable low = solver.makeNumVar(-infinity, infinity, "low");
    MPVariable[] counts = new MPVariable[pockets.size()];
    for (int j = 0; j < counts.length; j++) {
      counts[j] = solver.makeIntVar(0, MOST_PIECES, "x" + j);
    }
    Expansion bare = magnet.bare().ppm();
    for (Vec3 p : magnet.targets()) {
      double before = bare.at(p);
      MPConstraint above = solver.makeConstraint(-infinity, -before);
      MPConstraint below = solver.makeConstraint(-before, infinity);
      above.setCoefficient(high, -1);
      below.setCoefficient(low, -1);
      for (int j = 0; j < counts.length; j++) {
        double a = magnet.ppmPerPiece(pockets.get(j), p);
        above.setCoefficient(counts[j], a);
        below.setCoefficient(counts[j], a);
      }
    }
    solver.objective().setCoefficient(high, 1);
    solver.objective().setCoefficient(low, -1);
    solver.objective().setMinimization();
    return counts;
  }

  private static Loading loading(BodyMagnets magnet, int[] counts) {
    Map<Place, Integer> loaded = new HashMap<>();
    List<Pocket> pockets = magnet.iron().pockets();
    for (int j = 0; j < counts.length; j++) {
      if (counts[j] > 0) {
        Pocket pocket = pockets.get(j);
        loaded.put(new Place(pocket.tray(), pocket.number(), "plate"), counts[j]);
      }
    }
    return new Loading(loaded);
  }

  /** Peak-to-peak on the targets, by direct sums. */
  private static double onTargets(BodyMagnets magnet, Loading loading) {
    double max = Double.NEGATIVE_INFINITY;
    double min = Double.POSITIVE_INFINITY;
    Expansion bare = magnet.bare().ppm();
    for (Vec3 p : magnet.targets()) {
      double field = bare.at(p);
      for (Pocket pocket : magnet.iron().pockets()) {
        int count = loading.count(new Place(pocket.tray(), pocket.number(), "plate"));
        field += count == 0 ? 0 : count * magnet.ppmPerPiece(pocket, p);
      }
      max = Math.max(max, field);
      min = Math.min(min, field);
    }
    return max - min;
  }

  private static double onSurface(BodyMagnets magnet, Loading loading) {
    Expansion change =
        new PlanForecast(magnet.iron(), Vec3.UNIT_Z)
            .changePpm(magnet.centreField(), Loading.EMPTY, loading, magnet.radius());
    return SurfaceExtremes.of(magnet.bare().ppm().plus(change), magnet.limit().requireVolume())
        .peakToPeak();
  }

  /** Mean over the pockets of the peak-to-peak that one piece adds on the targets, ppm. */
  private static double ripple(BodyMagnets magnet) {
    double sum = 0;
    for (Pocket pocket : magnet.iron().pockets()) {
      double max = Double.NEGATIVE_INFINITY;
      double min = Double.POSITIVE_INFINITY;
      for (Vec3 p : magnet.targets()) {
        double a = magnet.ppmPerPiece(pocket, p);
        max = Math.max(max, a);
        min = Math.min(min, a);
      }
      sum += max - min;
    }
    return sum / magnet.iron().pockets().size();
  }

  private static double cpuSeconds() {
    OperatingSystemMXBean bean =
        (OperatingSystemMXBean) ManagementFactory.getOperatingSystemMXBean();
    return bean.getProcessCpuTime() * 1e-9;
  }

  /** Stops a search after some seconds. */
  record StopAfter(long start, double seconds) implements Progress {
    @Override
    public void report(String stage, double fraction, double bestSoFar) {}

    @Override
    public boolean shouldStop() {
      return (System.nanoTime() - start) * 1e-9 > seconds;
    }
  }
}
