package org.fieldwright.app.capture;

import java.time.Instant;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** What happens during a capture; the journal holds these in order, and nothing else counts. */
sealed interface CaptureEvent {

  /**
   * The survey was begun.
   *
   * @param magnetSha256 of the magnet file
   * @param anglesDeg in the order of the plan
   * @param instrument name of the reader's profile
   * @param expectedPpm inhomogeneity that the window must hold
   * @param remarks that head the survey's file
   */
  record Begun(
      String magnetSha256,
      List<Double> anglesDeg,
      String instrument,
      double expectedPpm,
      Map<String, String> remarks)
      implements CaptureEvent {
    public Begun {
      anglesDeg = List.copyOf(anglesDeg);
      remarks = Map.copyOf(remarks);
    }
  }

  /** The range that is searched for a line was set, MHz. */
  record WindowSet(double lowMHz, double highMHz) implements CaptureEvent {}

  /** Someone said that the array stands at the angle of a step; visits count from 1. */
  record VisitBegun(int visit, int step) implements CaptureEvent {}

  /**
   * A probe was read; a second reading of a probe in a visit takes the place of one without lock.
   *
   * @param field T; null if it did not lock
   * @param sd of one repeat, T
   */
  record Taken(
      int visit,
      int probe,
      @Nullable Double field,
      @Nullable Double sd,
      @Nullable Integer averages,
      @Nullable Integer locked,
      Instant time)
      implements CaptureEvent {}

  /** Every probe was read. */
  record VisitDone(int visit) implements CaptureEvent {}

  /** The visit does not count. */
  record Withdrawn(int visit) implements CaptureEvent {}
}
