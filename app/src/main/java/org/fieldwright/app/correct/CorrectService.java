package org.fieldwright.app.correct;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.fieldwright.adapters.files.LoadingFile;
import org.fieldwright.adapters.files.LoadingSheetFile;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.LoadingSteps;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.correction.PlanForecast;
import org.fieldwright.core.correction.PlanRules;
import org.fieldwright.core.correction.Promise;
import org.fieldwright.core.correction.PromiseForecast;
import org.fieldwright.core.correction.ShimPlanner;
import org.fieldwright.core.correction.ShimRequest;
import org.fieldwright.core.correction.WeighedStacks;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.magnet.Magnet;
import org.jspecify.annotations.Nullable;

/** Plans what to load into a magnet, given its field model. */
public final class CorrectService {
  private CorrectService() {}

  /**
   * What is asked.
   *
   * @param limits ids, the first is optimised, the rest are kept; empty = the first peak-to-peak
   *     limit
   * @param targetPpm to reach on the first limit; null = its own limit
   * @param rules what else is to be kept
   * @param iterations of the search at most; with a seed they make it reproducible
   */
  public record Options(
      Plan.Goal goal,
      List<String> limits,
      @Nullable Double targetPpm,
      PlanRules rules,
      long iterations,
      long seed) {
    public Options {
      limits = List.copyOf(limits);
    }

    /** The same with another goal and target. */
    Options with(Plan.Goal otherGoal, @Nullable Double ppm) {
      return new Options(otherGoal, limits, ppm, rules, iterations, seed);
    }

    /** Least peak-to-peak on the first such limit, until the progress says stop. */
    public static final Options DEFAULT =
        new Options(Plan.Goal.PEAK_TO_PEAK, List.of(), null, PlanRules.NONE, Long.MAX_VALUE, 1);
  }

  /** The best plan found until the progress said stop or the iterations were done. */
  public static Plan plan(Magnet magnet, FieldModel model, Options options, Progress progress) {
    ShimRequest request = request(magnet, options);
    return promising(magnet, model, request, planner(magnet).plan(model, request, progress));
  }

  /**
   * A round of which a part is loaded and weighed, while the rest is planned anew for it.
   *
   * @param weighed the changes of the round, those that are done with their mass; null where
   *     nothing is loaded yet
   */
  public static Plan plan(
      Magnet magnet, FieldModel model, @Nullable Path weighed, Options options, Progress progress) {
    if (weighed == null) {
      return plan(magnet, model, options, progress);
    }
    IronSystem iron = iron(magnet);
    WeighedStacks stacks = weighed(weighed, iron);
    Magnet rest = magnet.withIron(stacks.rest(iron));
    ShimRequest request = request(magnet, options);
    double reach = magnet.reach(model.measuredRadius());
    FieldModel now = stacks.after(iron, magnet.fieldAxis(), model, reach);
    Plan plan = planner(rest).plan(now, request, progress);
    Promise promise =
        new PromiseForecast(iron, magnet.fieldAxis())
            .promise(
                PlanForecast.withCoils(model, magnet.coils(), plan.coilsTo()),
                iron.installed(),
                plan.planned(),
                stacks,
                request.target().requireVolume());
    return plan.promising(promise, stacks.doubts(iron));
  }

  private static WeighedStacks weighed(Path changes, IronSystem iron) {
    Loading before = LoadingFile.readRound(changes, iron).before();
    if (!before.equals(iron.installed())) {
      throw new BadInput(
          changes
              + ": says that something else lay in the pockets than what is installed. Was the round recorded already?");
    }
    WeighedStacks stacks = LoadingFile.readWeighed(changes, iron);
    if (stacks.stacks().isEmpty()) {
      throw new BadInput(
          changes
              + ": found no mass, expected a column weighed_g with the mass of each stack that is loaded");
    }
    return stacks;
  }

  /** What the changes in a loading file do to the field, as if they had just been planned. */
  public static Plan evaluate(
      Magnet magnet, FieldModel model, Path changes, Options options, Progress progress) {
    Loading loading = LoadingFile.readChanged(changes, iron(magnet));
    ShimRequest request = request(magnet, options);
    Plan plan = planner(magnet).evaluate(model, request, loading, progress);
    return promising(magnet, model, request, plan);
  }

  private static Plan promising(Magnet magnet, FieldModel model, ShimRequest request, Plan plan) {
    IronSystem iron = iron(magnet);
    FieldModel set = PlanForecast.withCoils(model, magnet.coils(), plan.coilsTo());
    Promise promise =
        new PromiseForecast(iron, magnet.fieldAxis())
            .promise(set, plan.installed(), plan.planned(), request.target().requireVolume());
    List<String> warnings =
        iron.errors() != null || iron.pockets().isEmpty()
            ? List.of()
            : List.of(
                "the magnet file states no iron.errors: the promise covers the survey's uncertainty alone");
    return plan.promising(promise, warnings);
  }

  /** Writes a plan as a loading sheet for the bench, .csv or .xlsx, whole or not at all. */
  public static void writeSheet(Path target, Magnet magnet, Plan plan) {
    IronSystem iron = iron(magnet);
    LoadingSheetFile.write(
        target, new LoadingSteps(plan.installed(), plan.planned(), iron), iron.plusZEnd());
  }

  /** The same for a list of changes, whoever made it. */
  public static void writeSheet(Path target, Path magnetFile, Path changes) {
    IronSystem iron = iron(MagnetFile.read(magnetFile));
    LoadingFile.Round round = LoadingFile.readRound(changes, iron);
    LoadingSheetFile.write(
        target, new LoadingSteps(round.before(), round.after(), iron), iron.plusZEnd());
  }

  /** Writes what a plan changes as a loading file, whole or not at all. */
  public static void writeChanges(Path target, Plan plan) {
    LoadingFile.writeChanges(target, plan.installed(), plan.planned(), Map.of());
  }

  /** Writes all changes of a round of which a part was loaded and weighed before. */
  public static void writeChanges(Path target, Magnet magnet, Plan plan, Path weighed) {
    IronSystem iron = iron(magnet);
    LoadingFile.writeChanges(
        target, iron.installed(), plan.planned(), LoadingFile.readNotes(weighed, iron).weighed());
  }

  private static ShimPlanner planner(Magnet magnet) {
    return new ShimPlanner(iron(magnet), magnet.coils(), magnet.fieldAxis(), magnet.limits());
  }

  private static IronSystem iron(Magnet magnet) {
    IronSystem iron = magnet.iron();
    if (iron != null) {
      return iron;
    }
    if (magnet.coils().isEmpty()) {
      throw new BadInput(
          "the magnet file has no section 'iron' and no coils: name pockets and pieces, or coils, to plan a correction");
    }
    return IronSystem.NONE;
  }

  private static ShimRequest request(Magnet magnet, Options options) {
    List<Limit> chosen = limits(magnet, options);
    return new ShimRequest(
        options.goal(),
        chosen.get(0),
        chosen.subList(1, chosen.size()),
        options.targetPpm(),
        options.rules(),
        options.iterations(),
        options.seed());
  }

  /** A plan works for peak-to-peak limits; one of least RMS for RMS limits, too. */
  private static List<Limit> limits(Magnet magnet, Options options) {
    List<Limit> usable =
        magnet.limits().stream()
            .filter(l -> l.volume() != null)
            .filter(
                l -> l.measure() == Limit.Measure.PEAK_TO_PEAK || options.goal() == Plan.Goal.RMS)
            .toList();
    if (usable.isEmpty()) {
      throw new BadInput(
          "the magnet file states no limit with measure peak_to_peak: a plan needs one to work for");
    }
    List<Limit> chosen = new ArrayList<>();
    for (String id : options.limits()) {
      chosen.add(
          usable.stream()
              .filter(l -> l.id().equals(id))
              .findFirst()
              .orElseThrow(
                  () ->
                      new BadInput(
                          "--limit: found '%s'; the limits to plan for are %s"
                              .formatted(
                                  id,
                                  String.join(", ", usable.stream().map(Limit::id).toList())))));
    }
    return chosen.isEmpty() ? usable.subList(0, 1) : chosen;
  }
}
