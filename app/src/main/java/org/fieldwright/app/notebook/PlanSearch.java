package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import org.fieldwright.app.Followed;
import org.fieldwright.core.Progress;
import org.jspecify.annotations.Nullable;

/** One search for a plan: how far it is, for whoever watches, and the means to stop it. */
public final class PlanSearch extends Followed implements Progress {
  private static final double NANO = 1e-9;

  /** While it lasts, what is reported is the bound that no plan can beat, not a plan. */
  private static final String BOUND_STAGE = "relaxation";

  private final String id;
  private final String magnet;
  private final String survey;
  private final double seconds;
  private final boolean clocked;
  private volatile boolean stop;
  private String state = "waiting";
  private String stage = "";
  private double fraction = Double.NaN;
  private double best = Double.NaN;
  private double bound = Double.NaN;
  private long begun = System.nanoTime();
  private double took = Double.NaN;
  private @Nullable String plan;
  private @Nullable String complaint;

  /**
   * @param seconds that were asked for
   * @param clocked whether they end it; where it is made of several searches each has its own clock
   */
  PlanSearch(String id, String magnet, String survey, double seconds, boolean clocked) {
    this.id = id;
    this.magnet = magnet;
    this.survey = survey;
    this.seconds = seconds;
    this.clocked = clocked;
  }

  public String id() {
    return id;
  }

  public String magnet() {
    return magnet;
  }

  String survey() {
    return survey;
  }

  synchronized void begin() {
    state = "searching";
    begun = System.nanoTime();
    changed();
  }

  @Override
  public synchronized void report(String newStage, double newFraction, double bestSoFar) {
    stage = newStage;
    fraction = newFraction;
    if (newStage.equals(BOUND_STAGE)) {
      bound = bestSoFar;
    } else if (!Double.isNaN(bestSoFar)) {
      best = bestSoFar;
    }
    changed();
  }

  @Override
  public boolean shouldStop() {
    return stop || (clocked && (System.nanoTime() - begun) * NANO >= seconds);
  }

  /** Ends the search; the best plan so far is kept. */
  public void stop() {
    stop = true;
  }

  synchronized void done(String name) {
    state = "done";
    plan = name;
    took = elapsed();
    changed();
  }

  synchronized void fail(String why) {
    state = "failed";
    complaint = why;
    took = elapsed();
    changed();
  }

  @Override
  public synchronized boolean hasEnded() {
    return state.equals("done") || state.equals("failed");
  }

  double elapsed() {
    return (System.nanoTime() - begun) * NANO;
  }

  @Override
  public synchronized ObjectNode json() {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    node.put("id", id).put("survey", survey).put("state", state).put("stage", stage);
    node.put("fraction", Double.isNaN(fraction) ? null : (Double) fraction);
    node.put("best_ppm", Double.isNaN(best) ? null : (Double) best);
    node.put("bound_ppm", Double.isNaN(bound) ? null : (Double) bound);
    node.put("seconds", Math.rint(10 * (hasEnded() ? took : elapsed())) / 10);
    node.put("seconds_asked", seconds);
    node.put("plan", plan);
    node.put("complaint", complaint);
    return node;
  }
}
