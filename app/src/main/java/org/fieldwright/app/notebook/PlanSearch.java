package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.node.ObjectNode;
import org.jspecify.annotations.Nullable;

/** A search for a plan, or for several. */
public final class PlanSearch extends Search {
  /** While it lasts, what is reported is the bound that no plan can beat, not a plan. */
  private static final String BOUND_STAGE = "relaxation";

  private final double seconds;
  private final boolean clocked;
  private double best = Double.NaN;
  private double bound = Double.NaN;
  private @Nullable String plan;

  /**
   * @param seconds that were asked for
   * @param clocked whether they end it; where it is made of several searches each has its own clock
   */
  PlanSearch(String id, String magnet, String survey, double seconds, boolean clocked) {
    super(id, magnet, survey);
    this.seconds = seconds;
    this.clocked = clocked;
  }

  @Override
  public synchronized void report(String newStage, double newFraction, double bestSoFar) {
    if (newStage.equals(BOUND_STAGE)) {
      bound = bestSoFar;
    } else if (!Double.isNaN(bestSoFar)) {
      best = bestSoFar;
    }
    super.report(newStage, newFraction, bestSoFar);
  }

  @Override
  public boolean shouldStop() {
    return super.shouldStop() || (clocked && elapsed() >= seconds);
  }

  synchronized void done(String name) {
    plan = name;
    finish();
  }

  @Override
  public synchronized ObjectNode json() {
    return super.json()
        .put("best_ppm", orNull(best))
        .put("bound_ppm", orNull(bound))
        .put("seconds_asked", seconds)
        .put("plan", plan);
  }
}
