package org.fieldwright.app.capture;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.fieldwright.app.capture.Capture.Ask;
import org.fieldwright.app.capture.CaptureState.Visit;
import org.jspecify.annotations.Nullable;

/**
 * Where a capture stands, for someone looking on.
 *
 * @param next null when everything is read
 * @param angles in the order of the plan
 * @param done how many readings of the array are whole
 * @param probesRead of the one that is not; 0 where none is begun
 * @param probes how many the array has
 * @param standing what speaks against readings so far
 * @param warnings of calibrations that have lapsed
 * @param secondsLeft at the pace so far; null before it is known, and once everything is read
 */
public record CaptureView(
    @Nullable Ask next,
    List<Angle> angles,
    int done,
    int of,
    int probesRead,
    int probes,
    List<Remark> standing,
    List<String> warnings,
    @Nullable Long secondsLeft) {
  public CaptureView {
    angles = List.copyOf(angles);
    standing = List.copyOf(standing);
    warnings = List.copyOf(warnings);
  }

  /**
   * A setting of the array.
   *
   * @param taken whether it was read whole
   * @param silent probes that did not lock there
   */
  public record Angle(double angleDeg, boolean taken, List<Integer> silent) {
    public Angle {
      silent = List.copyOf(silent);
    }
  }

  static CaptureView of(
      @Nullable Ask next,
      CapturePlan plan,
      CaptureState state,
      int probes,
      List<Remark> standing,
      List<String> warnings) {
    List<Angle> angles = new ArrayList<>();
    List<Remark> remarks = new ArrayList<>();
    for (int step = 0; step < plan.steps(); step++) {
      Visit visit = state.visitOf(step);
      boolean taken = visit != null && visit.done();
      List<Integer> silent =
          visit != null && taken ? CaptureState.silent(visit) : List.<Integer>of();
      if (!silent.isEmpty()) {
        remarks.add(Announcer.silent(plan.angleDeg(step), silent));
      }
      if (!plan.isRevisit(step)) {
        angles.add(new Angle(plan.angleDeg(step), taken, silent));
      } else if (angles.get(0).silent().isEmpty()) { // one or the other visit is to be repeated
        angles.set(0, new Angle(plan.angleDeg(0), angles.get(0).taken(), silent));
      }
    }
    remarks.addAll(standing);
    Visit open = next == null ? null : state.visitOf(next.number() - 1);
    int read = open == null || open.done() ? 0 : open.taken().size();
    Duration each = state.perVisit();
    int done = state.doneCount();
    int missing = plan.steps() - done + (next != null && next.failedOnly() ? 1 : 0);
    Long left =
        each == null || missing == 0 ? null : (Long) wholeSeconds(each.multipliedBy(missing));
    return new CaptureView(next, angles, done, plan.steps(), read, probes, remarks, warnings, left);
  }

  /** Rounded up: nobody is told that there are 0 s left while something is. */
  private static long wholeSeconds(Duration time) {
    return time.plusMillis(999).toSeconds();
  }
}
