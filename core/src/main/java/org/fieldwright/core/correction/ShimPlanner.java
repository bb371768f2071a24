package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.Relaxation.Relaxed;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.homogeneity.HomogeneityAssessment;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.SurfaceExtremes;
import org.jspecify.annotations.Nullable;

/**
 * Plans iron for a magnet: builds the problem from its pockets and limits, takes the relaxed bound,
 * searches whole pieces, and computes forward what they do.
 */
public final class ShimPlanner {
  private static final int STACKING_ROUNDS = 3;
  private static final long KEEPING = 40; // iterations for a plan that only has to keep limits

  private final IronSystem iron;
  private final List<Coil> coils;
  private final List<Limit> limits;
  private final Vec3 fieldAxis;

  /**
   * @param iron where iron can go
   * @param coils that may be set together with it
   * @param fieldAxis unit vector along the main field
   * @param limits all limits of the magnet, for the prediction
   */
  public ShimPlanner(IronSystem iron, List<Coil> coils, Vec3 fieldAxis, List<Limit> limits) {
    this.iron = iron;
    this.coils = List.copyOf(coils);
    this.fieldAxis = fieldAxis;
    this.limits = List.copyOf(limits);
  }

  /** With iron alone. */
  public ShimPlanner(IronSystem iron, Vec3 fieldAxis, List<Limit> limits) {
    this(iron, List.of(), fieldAxis, limits);
  }

  /**
   * The best plan found until the progress said stop or the iterations were done. Where something
   * required cannot be kept it is the plan that misses it least, and says by how much.
   */
  public Plan plan(FieldModel model, ShimRequest request, Progress progress) {
    Loading expected = iron.installed();
    if (iron.stack() != IronSystem.Stack.CENTRED) {
      expected = expected(model, request, progress);
    }
    ShimProblemBuilder builder = builder(model, request, expected);
    ShimProblem problem = builder.problem();
    Relaxed relaxed = relax(problem, progress);
    Relaxed widest = request.keepsTarget() ? relax(problem.minimisingWidth(), progress) : relaxed;
    Found found = search(model, builder, problem, relaxed, request, progress);
    return forecast(
        model,
        request,
        builder,
        builder.loading(found.values()),
        builder.currents(found.values()),
        relaxed,
        widest,
        pocketBound(builder, problem, request, progress),
        found.iterations());
  }

  /** What a search came to. */
  @SuppressWarnings("ArrayRecordComponent") // handed on, not compared
  private record Found(double[] values, long iterations) {}

  private Found search(
      FieldModel model,
      ShimProblemBuilder builder,
      ShimProblem problem,
      Relaxed relaxed,
      ShimRequest request,
      Progress progress) {
    if (request.goal() == Plan.Goal.ROBUST) {
      double[] start = builder.robustCounts(problem, relaxed.values(), progress);
      ShimProblem wanted = builder.roundingOf(problem, start);
      WholeRms search = new WholeRms(wanted, builder.roundingSquare(wanted));
      double[] values = search.run(start, builder.mostIterations(), request.seed(), progress);
      return new Found(values, search.iterations());
    }
    if (request.goal() == Plan.Goal.RMS) {
      List<ColumnSquare> squares = builder.squares(problem);
      LimitedRms search =
          new LimitedRms(
              problem,
              squares.get(0),
              squares.subList(1, squares.size()),
              values -> missed(model, request, builder, values),
              () ->
                  new WholePieceSearch(problem, relaxed, request.seed(), progress)
                      .run(relaxed.values(), Math.min(KEEPING, builder.mostIterations())));
      double[] values =
          search.run(relaxed.values(), builder.mostIterations(), request.seed(), progress);
      return new Found(values, search.iterations());
    }
    Relaxed start = relaxed;
    ShimProblem among = problem;
    if (request.goal() == Plan.Goal.FEWEST_POCKETS) {
      among = builder.fewestPockets(problem, relaxed.values(), progress);
      start = relax(among, progress);
    }
    WholePieceSearch search = new WholePieceSearch(among, start, request.seed(), progress);
    double[] values = search.run(start.values(), builder.mostIterations());
    return new Found(values, search.iterations());
  }

  /** ppm by which each limit beside the target is missed at values of the columns. */
  private double[] missed(
      FieldModel model, ShimRequest request, ShimProblemBuilder builder, double[] values) {
    FieldModel after =
        after(model, builder.loading(values), builder.currents(values), builder.outermost());
    return request.constraints().stream()
        .mapToDouble(limit -> Math.max(0, value(after, limit) - limit.limit()))
        .toArray();
  }

  /** What a loading that is known already does, beside the bounds that a search would state. */
  public Plan evaluate(FieldModel model, ShimRequest request, Loading planned, Progress progress) {
    ShimProblemBuilder builder = builder(model, request, planned);
    ShimProblem problem = builder.problem();
    Relaxed relaxed = relax(problem, progress);
    Relaxed widest = request.keepsTarget() ? relax(problem.minimisingWidth(), progress) : relaxed;
    if (!coils.isEmpty()) {
      builder
          .warnings()
          .add("coils are taken as the magnet file has them set: a loading names none");
    }
    return forecast(
        model,
        request,
        builder,
        planned,
        coilCurrents(coils),
        relaxed,
        widest,
        pocketBound(builder, problem, request, progress),
        0);
  }

  private static @Nullable Integer pocketBound(
      ShimProblemBuilder builder, ShimProblem problem, ShimRequest request, Progress progress) {
    return request.goal() == Plan.Goal.FEWEST_POCKETS
        ? builder.pocketBound(problem, progress)
        : null;
  }

  /**
   * About what will be loaded: where pieces lie in their pockets depends on how many do, so the
   * problem is linearised about one plan to find the next.
   */
  private Loading expected(FieldModel model, ShimRequest request, Progress progress) {
    Loading expected = iron.installed();
    for (int round = 0; round < STACKING_ROUNDS; round++) {
      ShimProblemBuilder builder = builder(model, request, expected);
      ShimProblem problem = builder.problem();
      Relaxed relaxed = relax(problem, progress);
      boolean last = round == STACKING_ROUNDS - 1;
      expected =
          builder.loading(
              last
                  ? new WholePieceSearch(problem, relaxed, request.seed(), progress)
                      .run(relaxed.values(), 0)
                  : relaxed.values());
    }
    return expected;
  }

  private ShimProblemBuilder builder(FieldModel model, ShimRequest request, Loading expected) {
    return new ShimProblemBuilder(iron, coils, fieldAxis, model, request, expected);
  }

  private static Map<String, Double> coilCurrents(List<Coil> coils) {
    Map<String, Double> currents = new LinkedHashMap<>();
    coils.forEach(c -> currents.put(c.id(), c.set()));
    return currents;
  }

  private Plan forecast(
      FieldModel model,
      ShimRequest request,
      ShimProblemBuilder builder,
      Loading planned,
      Map<String, Double> currents,
      Relaxed relaxed,
      Relaxed widest,
      @Nullable Integer pocketBound,
      long iterations) {
    List<String> warnings = new ArrayList<>(builder.warnings());
    warnings.addAll(builder.coilWarnings(currents));
    Map<String, Double> inTurn = coilsInTurn(currents, warnings);
    FieldModel after = after(model, planned, currents, builder.outermost());
    double planPpm = value(after, request.target());
    double missed = 0;
    double unreachable = 0;
    if (request.keepsTarget() || request.targetPpm() != null) {
      missed += Math.max(0, planPpm - request.requiredPpm());
      unreachable += beyond(relaxed.widths()[0], request.requiredPpm());
    }
    for (int q = 0; q < request.constraints().size(); q++) {
      Limit limit = request.constraints().get(q);
      missed += Math.max(0, value(after, limit) - limit.limit());
      unreachable += beyond(relaxed.widths()[1 + q], limit.limit());
    }
    if (missed > 0 && unreachable == 0) {
      warnings.add(
          String.format(
              Locale.ROOT,
              "the plan misses what is required by %.3f ppm, though the bound does not rule it out: give the search more time",
              missed));
    }
    LoadingChange change = LoadingChange.between(iron, planned);
    return new Plan(
        request.goal(),
        request.target().id(),
        value(model, request.target()),
        request.target().measure() == Limit.Measure.PEAK_TO_PEAK ? widest.widths()[0] : null,
        request.goal() == Plan.Goal.LEAST_IRON ? relaxed.massAdded() : null,
        pocketBound,
        planPpm,
        missed,
        unreachable,
        null,
        iron.installed(),
        planned,
        change.added(),
        change.removed(),
        change.massAdded(),
        change.pocketsTouched(),
        1e6 * (after.centreField() / model.centreField() - 1),
        coilCurrents(coils),
        currents,
        inTurn,
        builder.pointErrorPpm(),
        HomogeneityAssessment.assess(after, limits),
        after.ppm(),
        TrayPulls.of(iron, planned),
        iterations,
        request.seed(),
        warnings);
  }

  private Map<String, Double> coilsInTurn(Map<String, Double> currents, List<String> warnings) {
    Map<String, Double> inTurn = new LinkedHashMap<>();
    if (CoilSequence.matters(coils)) {
      List<CoilSequence.Turn> turns = CoilSequence.of(coils, currents);
      warnings.addAll(CoilSequence.warnings(turns));
      turns.forEach(t -> inTurn.put(t.coil().id(), t.setting()));
    }
    return inTurn;
  }

  /** The field after loading and setting, good to the farthest limit. */
  private FieldModel after(
      FieldModel model, Loading planned, Map<String, Double> currents, double outermost) {
    double reach =
        limits.stream()
            .filter(l -> l.volume() != null)
            .mapToDouble(l -> l.requireVolume().outerRadius())
            .reduce(outermost, Math::max);
    Expansion byIron =
        new PlanForecast(iron, fieldAxis)
            .changePpm(model.centreField(), iron.installed(), planned, reach);
    return PlanForecast.after(model, byIron.plus(CoilColumns.change(coils, currents, reach)));
  }

  /** How far the relaxation is beyond a requirement by more than its own tolerance. */
  private static double beyond(double relaxedWidth, double required) {
    return relaxedWidth > required * (1 + Relaxation.TOLERANCE) ? relaxedWidth - required : 0;
  }

  private static double value(FieldModel model, Limit limit) {
    if (limit.measure() == Limit.Measure.PEAK_TO_PEAK) {
      return SurfaceExtremes.of(model.ppm(), limit.requireVolume()).peakToPeak();
    }
    Double value = HomogeneityAssessment.assess(model, List.of(limit)).get(0).valuePpm();
    return value == null ? Double.NaN : value;
  }

  private static Relaxed relax(ShimProblem problem, Progress progress) {
    Relaxed relaxed = new Relaxation(problem, progress).solve();
    if (relaxed == null) {
      throw new IllegalStateException("the relaxation with priced excess has no solution");
    }
    return relaxed;
  }
}
