package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import org.fieldwright.app.Followed;
import org.fieldwright.core.Progress;
import org.jspecify.annotations.Nullable;

/** One search: how far it is, for whoever watches, and the means to stop it. */
public abstract class Search extends Followed implements Progress {
  private static final double NANO = 1e-9;

  private final String id;
  private final String magnet;
  private final String survey;
  private volatile boolean stop;
  private String state = "waiting";
  private String stage = "";
  private double fraction = Double.NaN;
  private long begun = System.nanoTime();
  private double took = Double.NaN;
  private @Nullable String complaint;

  /**
   * @param survey in which it searches
   */
  Search(String id, String magnet, String survey) {
    this.id = id;
    this.magnet = magnet;
    this.survey = survey;
  }

  public final String id() {
    return id;
  }

  public final String magnet() {
    return magnet;
  }

  final String survey() {
    return survey;
  }

  final synchronized void begin() {
    state = "searching";
    begun = System.nanoTime();
    changed();
  }

  @Override
  public synchronized void report(String newStage, double newFraction, double bestSoFar) {
    stage = newStage;
    fraction = newFraction;
    changed();
  }

  @Override
  public boolean shouldStop() {
    return stop;
  }

  /** Ends the search; the best so far is kept. */
  public final void stop() {
    stop = true;
  }

  final synchronized void finish() {
    end("done");
  }

  final synchronized void fail(String why) {
    complaint = why;
    end("failed");
  }

  private void end(String how) {
    took = elapsed();
    state = how;
    changed();
  }

  @Override
  public final synchronized boolean hasEnded() {
    return state.equals("done") || state.equals("failed");
  }

  final double elapsed() {
    return (System.nanoTime() - begun) * NANO;
  }

  @Override
  public synchronized ObjectNode json() {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    node.put("id", id).put("survey", survey).put("state", state).put("stage", stage);
    node.put("fraction", orNull(fraction));
    node.put("seconds", Math.rint(10 * (hasEnded() ? took : elapsed())) / 10);
    node.put("complaint", complaint);
    return node;
  }

  static @Nullable Double orNull(double value) {
    return Double.isNaN(value) ? null : (Double) value;
  }
}
