package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.AngularSupport;
import org.fieldwright.core.harmonic.DegreeLadder;
import org.jspecify.annotations.Nullable;

/**
 * The degree of the field model: the largest supported one whose added terms lower the
 * leave-one-out error (PRESS, Allen 1974) below that of every smaller degree.
 */
record DegreeChoice(int degree, String reason, List<DegreeTried> tried) {
  /** Beyond this the choice is the user's: no array resolves more, and the time grows as n⁴. */
  private static final int MOST_AUTOMATIC = 30;

  /** Largest share of the readings that may go into unknowns. */
  private static final double MOST_UNKNOWNS = 0.8;

  /** What a sampling supports: every order of every degree, one phase at half the angles aside. */
  static int supported(Places places, int rows) {
    return supported(
        rows, places.angles(), places.places().stream().map(Places.Place::position).toList());
  }

  /** The same for places that need not have been read yet. */
  static int supported(int rows, @Nullable AngularSupport angles, List<Vec3> positions) {
    int byCount = (int) Math.floor(Math.sqrt(MOST_UNKNOWNS * rows)) - 1;
    int supported = Math.min(MOST_AUTOMATIC, byCount);
    if (angles != null) {
      Set<Long> heights = new HashSet<>();
      for (Vec3 p : positions) {
        heights.add(
            Math.round(p.z() * 1e5) * 1_000_000L + Math.round(Math.hypot(p.x(), p.y()) * 1e5));
      }
      int byAngles = angles.equal() ? angles.highestWholeDegree() : (angles.count() - 1) / 2;
      supported = Math.min(supported, Math.min(heights.size() - 1, byAngles));
    }
    return Math.max(1, supported);
  }

  /**
   * Chooses among the degrees from 1 to the largest.
   *
   * @param ladder every degree from 0 to the largest, faults taken up
   */
  static DegreeChoice byPress(List<DegreeLadder.Rung> ladder) {
    int largest = ladder.size() - 1;
    DegreeLadder.Rung best = ladder.get(1);
    List<DegreeTried> tried = new ArrayList<>();
    for (DegreeLadder.Rung rung : ladder.subList(1, largest + 1)) {
      best = rung.leaveOneOut() < best.leaveOneOut() ? rung : best;
      tried.add(new DegreeTried(rung.degree(), rung.leaveOneOut()));
    }
    String reason =
        best.degree() == largest
            ? "the largest degree the sampling supports; its leave-one-out error is the least: %s ppm"
                .formatted(shown(best.leaveOneOut()))
            : "least leave-one-out error: %s ppm, against %s ppm at degree %d, the largest the sampling supports"
                .formatted(
                    shown(best.leaveOneOut()), shown(ladder.get(largest).leaveOneOut()), largest);
    return new DegreeChoice(best.degree(), reason, tried);
  }

  private static String shown(double ppm) {
    return String.format(Locale.ROOT, "%.3g", ppm);
  }
}
