package org.fieldwright.core.reading;

import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.stream.IntStream;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.AngularSupport;
import org.fieldwright.core.harmonic.DegreeLadder;
import org.fieldwright.core.harmonic.Term;
import org.jspecify.annotations.Nullable;

/**
 * The degree of the field model: the largest supported one whose added terms lower the
 * leave-one-out error (PRESS, Allen 1974) below that of every smaller degree.
 */
record DegreeChoice(int degree, String reason, List<DegreeTried> tried) {
  /** Beyond this the choice is the user's: no array resolves more, and the time grows as n⁴. */
  private static final int MOST_AUTOMATIC = 30;

  /** Largest share of the readings that may go into unknowns. */
  static final double MOST_UNKNOWNS = 0.8;

  /** With no more, nearly all bad readings of 8 × the noise are found (docs/method/vetting.md). */
  private static final double SPARE_UNKNOWNS = 0.3;

  /**
   * The leave-one-out error of a degree with hidden orders must be below this part of the best
   * one's without: such an error is known to 1/√(2 · readings), some 3 %.
   */
  private static final double BY_MORE = 0.95;

  /** Below it an error is rounding. */
  private static final double NOTHING_PPM = 1e-6;

  /** What a sampling supports: every order of every degree, one phase at half the angles aside. */
  static int supported(Places places, int rows) {
    return supported(rows, places.angles(), positions(places));
  }

  /**
   * The degree to which a sampling tells at least the orders that its angles show. At the angles
   * read the hidden ones look like those, so readings of a field that goes on can be judged by
   * them.
   */
  static int reach(Places places, int rows) {
    AngularSupport angles = places.angles();
    int supported = supported(places, rows);
    if (angles == null || !angles.equal()) {
      return supported;
    }
    int most = Math.min(MOST_AUTOMATIC, circles(positions(places)) - 1);
    int degree = supported;
    while (degree < most && seen(degree + 1, angles) <= MOST_UNKNOWNS * rows) {
      degree++;
    }
    return degree;
  }

  private static long seen(int degree, AngularSupport angles) {
    return IntStream.range(0, Term.count(degree)).filter(k -> !angles.hides(Term.at(k))).count();
  }

  private static List<Vec3> positions(Places places) {
    return places.places().stream().map(Places.Place::position).toList();
  }

  /** How many circles about the axis the places lie on. */
  private static int circles(List<Vec3> positions) {
    Set<Long> heights = new HashSet<>();
    for (Vec3 p : positions) {
      heights.add(
          Math.round(p.z() * 1e5) * 1_000_000L + Math.round(Math.hypot(p.x(), p.y()) * 1e5));
    }
    return heights.size();
  }

  /**
   * The degree to begin with: with no more terms than three tenths of free points, so that most of
   * a bad reading shows; where angles limit the degree, what they support.
   */
  static int first(Places places, int rows) {
    int supported = supported(places, rows);
    int spare = (int) Math.floor(Math.sqrt(SPARE_UNKNOWNS * rows)) - 1;
    return places.angles() == null ? Math.max(1, Math.min(supported, spare)) : supported;
  }

  /** The same for places that need not have been read yet. */
  static int supported(int rows, @Nullable AngularSupport angles, List<Vec3> positions) {
    int byCount = (int) Math.floor(Math.sqrt(MOST_UNKNOWNS * rows)) - 1;
    int supported = Math.min(MOST_AUTOMATIC, byCount);
    if (angles != null) {
      int byAngles = angles.equal() ? angles.highestWholeDegree() : (angles.count() - 1) / 2;
      supported = Math.min(supported, Math.min(circles(positions) - 1, byAngles));
    }
    return Math.max(1, supported);
  }

  /**
   * The degree at which to judge readings: that which predicts best; one of which the angles hide
   * orders only if it does so by more than chance.
   *
   * @param ladder every degree from 0 to the largest tried, faults taken up
   * @param whole the largest degree that the sampling supports
   * @param masked whether faults may still hide what a higher degree would gain
   */
  static int toJudge(List<DegreeLadder.Rung> ladder, int whole, boolean masked) {
    DegreeLadder.Rung best = least(ladder.subList(1, Math.min(whole + 1, ladder.size())));
    DegreeLadder.Rung farther = least(ladder.subList(1, ladder.size()));
    double gained = masked ? 1 : BY_MORE;
    return farther.leaveOneOut() < gained * best.leaveOneOut() - NOTHING_PPM
        ? farther.degree()
        : best.degree();
  }

  /**
   * Chooses the model's degree among those from 1 to the largest that the sampling supports: a
   * model with hidden orders would look better than it is, because they fall into others without a
   * trace.
   *
   * @param ladder every degree from 0 at least to that, faults taken up
   * @param whole the largest degree that the sampling supports
   * @param judged degree at which readings were judged
   */
  static DegreeChoice byPress(List<DegreeLadder.Rung> ladder, int whole, int judged) {
    List<DegreeLadder.Rung> supported = ladder.subList(1, whole + 1);
    DegreeLadder.Rung best = least(supported);
    String reason =
        best.degree() == whole
            ? "the largest degree the sampling supports; its leave-one-out error is the least: %s ppm"
                .formatted(shown(best.leaveOneOut()))
            : "least leave-one-out error: %s ppm, against %s ppm at degree %d, the largest the sampling supports"
                .formatted(
                    shown(best.leaveOneOut()), shown(ladder.get(whole).leaveOneOut()), whole);
    if (judged > whole) {
      reason +=
          "; the field goes on, and readings were judged at degree %d (%s ppm), of which the angles hide orders"
              .formatted(judged, shown(ladder.get(judged).leaveOneOut()));
    }
    List<DegreeTried> tried =
        supported.stream().map(r -> new DegreeTried(r.degree(), r.leaveOneOut())).toList();
    return new DegreeChoice(best.degree(), reason, tried);
  }

  /** The least leave-one-out error of the degrees up to one. */
  static double leastError(List<DegreeLadder.Rung> ladder, int highest) {
    return least(ladder.subList(1, highest + 1)).leaveOneOut();
  }

  private static DegreeLadder.Rung least(List<DegreeLadder.Rung> rungs) {
    return rungs.stream().min(Comparator.comparingDouble(DegreeLadder.Rung::leaveOneOut)).get();
  }

  private static String shown(double ppm) {
    return String.format(Locale.ROOT, "%.3g", ppm);
  }
}
