package org.fieldwright.app.cli;

import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import java.util.concurrent.Callable;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.correct.CorrectService;
import org.fieldwright.app.correct.PlanJson;
import org.fieldwright.app.correct.PlanText;
import org.fieldwright.app.correct.TradeOff;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.correction.PlanRules;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code shim SURVEY --magnet M.yaml}. */
@picocli.CommandLine.Command
final class ShimCommand implements Callable<Integer> {
  private final Output output;

  @Parameters(paramLabel = "SURVEY", description = "Readings, .csv or .xlsx.")
  private Path survey = Path.of("");

  @Option(names = "--magnet", required = true, paramLabel = "M.yaml", description = "Magnet file.")
  private Path magnet = Path.of("");

  @Mixin private VettingChoices vetting = new VettingChoices();

  @Option(
      names = "--goal",
      paramLabel = "GOAL",
      description =
          "peak-to-peak (default), least-iron, rms, fewest-pockets or robust; robust wants some 30 seconds.")
  private String goal = Plan.Goal.PEAK_TO_PEAK.id();

  @Option(
      names = "--target-ppm",
      paramLabel = "P",
      description = "To reach on the first limit; by default its own.")
  private @Nullable Double targetPpm;

  @Option(
      names = "--limit",
      paramLabel = "ID",
      description = "Repeatable: the first is optimised, the rest are kept.")
  private List<String> limits = List.of();

  @Option(names = "--seconds", paramLabel = "S", description = "To search at most; default 10.")
  private double seconds = 10;

  @Option(
      names = "--max-change-pieces",
      paramLabel = "K",
      description = "Pieces put in or taken out at most.")
  private @Nullable Integer mostChanges;

  @Option(names = "--no-removal", description = "Leave installed pieces where they are.")
  private boolean noRemoval;

  @Option(
      names = "--symmetric",
      description = "Change pockets that mirror each other in the mid-plane alike.")
  private boolean symmetric;

  @Option(
      names = "--max-shift-ppm",
      paramLabel = "P",
      description = "By which the centre field may move at most, either way.")
  private @Nullable Double mostShiftPpm;

  @Option(
      names = "--coil-reserve",
      paramLabel = "PERCENT",
      description = "Of every coil's limit to keep for later; default 0.")
  private double coilReserve;

  @Option(
      names = "--iterations",
      paramLabel = "N",
      description = "Of the search at most; with --seed the plan is reproducible.")
  private long iterations = Long.MAX_VALUE;

  @Option(names = "--seed", paramLabel = "N", description = "Of the search; default 1.")
  private long seed = 1;

  @Option(names = "--json", description = "Answer with one JSON document.")
  private boolean json;

  @Option(
      names = "--loading",
      paramLabel = "OUT.csv",
      description = "Write the changes as a loading file.")
  private @Nullable Path loading;

  @Option(
      names = "--sheet",
      paramLabel = "OUT.xlsx",
      description = "Write the loading sheet for the bench, .xlsx or .csv.")
  private @Nullable Path sheet;

  @Option(
      names = "--weighed",
      paramLabel = "LOADING.csv",
      description =
          "A round of which a part is loaded: its list of changes with the mass (weighed_g) of each stack"
              + " that is; the rest is planned anew for what was really loaded.")
  private @Nullable Path weighed;

  @Option(
      names = "--trade-off",
      paramLabel = "OUT.svg",
      description =
          "Instead of one plan: what uniformity costs in iron and in pockets, as a table and a plot;"
              + " eleven searches of --seconds each.")
  private @Nullable Path tradeOff;

  ShimCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws java.io.IOException {
    CorrectService.Options options = options();
    long start = System.nanoTime();
    Assessment found =
        new AssessService(Clock.systemUTC()).assess(survey, magnet, vetting.options(null));
    // A plan that must be the same on every machine ends by its iterations, not by the clock.
    boolean counted = iterations != Long.MAX_VALUE;
    double assessed = (System.nanoTime() - start) * 1e-9; // a person's seconds count from the start
    double left = counted ? Double.POSITIVE_INFINITY : Math.max(0, seconds - assessed);
    if (tradeOff != null && weighed != null) {
      throw new BadInput("--weighed: found with --trade-off; a round that is begun has one plan");
    }
    if (tradeOff != null) {
      return tradeOff(found, options, tradeOff, counted ? Double.POSITIVE_INFINITY : seconds);
    }
    try (TerminalProgress progress = new TerminalProgress(output, left)) {
      Plan plan = CorrectService.plan(found.magnet(), found.model(), weighed, options, progress);
      if (loading != null && weighed != null) {
        CorrectService.writeChanges(loading, found.magnet(), plan, weighed);
      } else if (loading != null) {
        CorrectService.writeChanges(loading, plan);
      }
      if (sheet != null) {
        CorrectService.writeSheet(sheet, found.magnet(), plan);
      }
      double took = (System.nanoTime() - start) * 1e-9;
      if (json) {
        plan.warnings().forEach(output::note);
        output.answer(PlanJson.of(plan, took));
      } else {
        output.answer(PlanText.of(plan, found.magnet().iron(), took));
      }
      return plan.unreachableByPpm() > 0 ? ExitStatus.NO_SOLUTION : ExitStatus.DONE;
    }
  }

  private int tradeOff(
      Assessment found, CorrectService.Options options, Path plot, double secondsEach)
      throws java.io.IOException {
    try (TerminalProgress progress = new TerminalProgress(output, Double.POSITIVE_INFINITY)) {
      TradeOff curve = TradeOff.of(found.magnet(), found.model(), options, secondsEach, progress);
      curve.writePlot(plot);
      if (json) {
        output.answer(curve.json());
      } else {
        output.answer(curve.text());
      }
      return ExitStatus.DONE;
    }
  }

  private CorrectService.Options options() {
    requirePositive("--seconds", seconds);
    requirePositive("--target-ppm", targetPpm == null ? 1 : targetPpm);
    requirePositive("--iterations", (double) iterations);
    if (mostChanges != null && mostChanges < 0) {
      throw new BadInput("--max-change-pieces: found " + mostChanges + "; 0 or more");
    }
    if (mostShiftPpm != null && !(mostShiftPpm >= 0)) {
      throw new BadInput("--max-shift-ppm: found " + mostShiftPpm + "; 0 or more");
    }
    if (!(coilReserve >= 0 && coilReserve <= 100)) {
      throw new BadInput("--coil-reserve: found " + coilReserve + "; 0 to 100");
    }
    PlanRules rules =
        new PlanRules(mostChanges, !noRemoval, symmetric, mostShiftPpm, coilReserve / 100);
    return new CorrectService.Options(
        Plan.Goal.named(goal, "--goal"), limits, targetPpm, rules, iterations, seed);
  }

  private static void requirePositive(String option, double value) {
    if (!(value > 0)) {
      throw new BadInput(option + ": found " + value + "; must be positive");
    }
  }
}
