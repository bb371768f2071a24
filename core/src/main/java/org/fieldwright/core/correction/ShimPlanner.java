package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.Relaxation.Relaxed;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.homogeneity.HomogeneityAssessment;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.SurfaceExtremes;

/**
 * Plans iron for a magnet: builds the problem from its pockets and limits, takes the relaxed bound,
 * searches whole pieces, and computes forward what they do.
 */
public final class ShimPlanner {
  private final IronSystem iron;
  private final List<Limit> limits;
  private final Vec3 fieldAxis;

  /**
   * @param iron where iron can go
   * @param fieldAxis unit vector along the main field
   * @param limits all limits of the magnet, for the prediction
   */
  public ShimPlanner(IronSystem iron, Vec3 fieldAxis, List<Limit> limits) {
    this.iron = iron;
    this.fieldAxis = fieldAxis;
    this.limits = List.copyOf(limits);
  }

  /**
   * The best plan found until the progress said stop or the iterations were done. Where something
   * required cannot be kept it is the plan that misses it least, and says by how much.
   */
  public Plan plan(FieldModel model, ShimRequest request, Progress progress) {
    ShimProblemBuilder builder = new ShimProblemBuilder(iron, fieldAxis, model, request);
    ShimProblem problem = builder.problem();
    List<String> warnings = new ArrayList<>(builder.warnings());
    Relaxed relaxed = relax(problem, progress);
    Relaxed widest = problem.leastIron() ? relax(problem.minimisingWidth(), progress) : relaxed;
    WholePieceSearch search = new WholePieceSearch(problem, relaxed, request.seed(), progress);
    double[] found = search.run(relaxed.values(), request.mostIterations());
    Loading planned = builder.loading(found);
    return forecast(
        model,
        request,
        builder.outermost(),
        planned,
        relaxed,
        widest,
        search.iterations(),
        warnings);
  }

  /** What a loading that is known already does, beside the bounds that a search would state. */
  public Plan evaluate(FieldModel model, ShimRequest request, Loading planned, Progress progress) {
    ShimProblemBuilder builder = new ShimProblemBuilder(iron, fieldAxis, model, request);
    ShimProblem problem = builder.problem();
    Relaxed relaxed = relax(problem, progress);
    Relaxed widest = problem.leastIron() ? relax(problem.minimisingWidth(), progress) : relaxed;
    return forecast(
        model,
        request,
        builder.outermost(),
        planned,
        relaxed,
        widest,
        0,
        new ArrayList<>(builder.warnings()));
  }

  private Plan forecast(
      FieldModel model,
      ShimRequest request,
      double outermost,
      Loading planned,
      Relaxed relaxed,
      Relaxed widest,
      long iterations,
      List<String> warnings) {
    PlanForecast forecast = new PlanForecast(iron, fieldAxis);
    double reach =
        limits.stream()
            .filter(l -> l.volume() != null)
            .mapToDouble(l -> l.requireVolume().outerRadius())
            .reduce(outermost, Math::max);
    FieldModel after = forecast.after(model, iron.installed(), planned, reach);
    double planPpm = width(after, request.target());
    double missed = 0;
    if (request.goal() == Plan.Goal.LEAST_IRON || request.targetPpm() != null) {
      missed += Math.max(0, planPpm - request.requiredPpm());
    }
    for (Limit limit : request.constraints()) {
      missed += Math.max(0, width(after, limit) - limit.limit());
    }
    LoadingChange change = LoadingChange.between(iron, planned);
    return new Plan(
        request.goal(),
        request.target().id(),
        width(model, request.target()),
        widest.widths()[0],
        request.goal() == Plan.Goal.LEAST_IRON ? relaxed.massAdded() : null,
        planPpm,
        missed,
        null,
        iron.installed(),
        planned,
        change.added(),
        change.removed(),
        change.massAdded(),
        change.pocketsTouched(),
        1e6 * (after.centreField() / model.centreField() - 1),
        Map.of(),
        Map.of(),
        HomogeneityAssessment.assess(after, limits),
        after.ppm(),
        iterations,
        request.seed(),
        warnings);
  }

  private static double width(FieldModel model, Limit limit) {
    return SurfaceExtremes.of(model.ppm(), limit.requireVolume()).peakToPeak();
  }

  private static Relaxed relax(ShimProblem problem, Progress progress) {
    Relaxed relaxed = new Relaxation(problem, progress).solve();
    if (relaxed == null) {
      throw new IllegalStateException("the relaxation with priced excess has no solution");
    }
    return relaxed;
  }
}
