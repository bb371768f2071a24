package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.core.harmonic.Sampling;
import org.fieldwright.core.harmonic.WorkingFit;
import org.jspecify.annotations.Nullable;

/**
 * The faults that a probe's or an angle's readings may share, and which of them a fit suspects.
 * What an angle's error does to readings follows the field's slope, so they are made anew when the
 * field is known better.
 */
final class SharedSuspects {
  /** A further probe must be off by at least this share of what the worst one is. */
  private static final double DWARFED = 0.33;

  private final Sampling sampling;
  private final FaultSearch.Tolerances tolerances;
  private final NuisanceColumns wanted;
  private final @Nullable SharedFault drift;
  private final Map<Integer, Double> halfTurn = new HashMap<>();
  private List<SharedFault> all = List.of();
  private List<WorkingFit.Watch> watches = List.of(); // of these suspects in this fit
  private @Nullable WorkingFit watched;

  /**
   * @param hours at which each row was read
   */
  SharedSuspects(
      Sampling sampling,
      double[] hours,
      FaultSearch.Tolerances tolerances,
      NuisanceColumns wanted) {
    this.sampling = sampling;
    this.tolerances = tolerances;
    this.wanted = wanted;
    drift = wanted.drift(sampling, hours);
  }

  List<SharedFault> all() {
    return all;
  }

  /** Takes the field's slopes, and where wrong angles stood, from a fit. */
  void renew(WorkingFit fit) {
    noteTurns(fit);
    List<SharedFault> anew =
        new ArrayList<>(SharedFault.all(sampling, fit.solve().expansion(), halfTurn, tolerances));
    if (drift != null) {
      anew.add(drift);
    }
    all = anew;
    watched = null;
  }

  /** Half of each angle's error found so far: where its slope speaks for the whole step. */
  private void noteTurns(WorkingFit fit) {
    for (SharedFault g : all) {
      if (g.label() instanceof SharedFault.OfAngle fault && isFreed(fit, g)) {
        halfTurn.put(fault.angle(), valueOf(fit, g) / 2);
      }
    }
  }

  /** How many a fit has taken up that nobody asked for. */
  long found(WorkingFit fit) {
    return fit.extras().stream()
        .filter(e -> e instanceof WorkingFit.Extra.Nuisance n && !wanted.isWanted(n.label()))
        .count();
  }

  /** The one that an extra of a fit frees; null where it does something else. */
  @Nullable SharedFault freedBy(WorkingFit.Extra extra) {
    return extra instanceof WorkingFit.Extra.Nuisance n
        ? all.stream().filter(g -> g.label().equals(n.label())).findFirst().orElse(null)
        : null;
  }

  static double valueOf(WorkingFit fit, SharedFault g) {
    int k = place(fit, g);
    return k < 0 ? 0 : fit.solve().extra(k);
  }

  static boolean isFreed(WorkingFit fit, SharedFault g) {
    return place(fit, g) >= 0;
  }

  /** Which extra of a fit a shared fault is; −1 where it is not taken up. */
  private static int place(WorkingFit of, SharedFault g) {
    return of.extras().indexOf(new WorkingFit.Extra.Nuisance(g.label()));
  }

  /** The one that stands out most from a fit's residuals, by more than others do; null = none. */
  @Nullable SharedFault strongest(WorkingFit fit, double toBeat) {
    if (watched != fit) {
      watches = all.stream().map(g -> fit.new Watch(g.pattern())).toList();
      watched = fit;
    }
    SharedFault strongest = null;
    double best = toBeat;
    for (int k = 0; k < watches.size(); k++) {
      SharedFault g = all.get(k);
      WorkingFit.Score score = watches.get(k).score();
      if (score.left() < FaultSearch.TESTABLE * score.square() || score.square() == 0) {
        continue;
      }
      double z = Math.abs(score.along()) / Math.sqrt(score.left());
      double size = Math.abs(score.along() / score.left());
      if (z > best
          && size > FaultSearch.BEYOND_STATED * g.stated()
          && !isFreed(fit, g)
          && isShared(fit, g)
          && !isDwarfed(fit, g, size)) {
        best = z;
        strongest = g;
      }
    }
    return strongest;
  }

  /** Whether the fault shows without the few readings that speak loudest for it. */
  private static boolean isShared(WorkingFit fit, SharedFault g) {
    List<double[]> contributions = new ArrayList<>();
    for (int i = 0; i < fit.rows(); i++) {
      if (g.pattern()[i] != 0 && !fit.isSetAside(i)) {
        contributions.add(new double[] {g.pattern()[i], fit.residual(i)});
      }
    }
    return SharedFault.isShared(contributions);
  }

  /**
   * Whether a probe is off by little beside one already found: what a field richer than the model
   * leaves of the large offset looks like small ones elsewhere.
   */
  boolean isDwarfed(WorkingFit fit, SharedFault g, double size) {
    return g.label() instanceof SharedFault.OfProbe
        && all.stream()
            .filter(other -> other.label() instanceof SharedFault.OfProbe)
            .anyMatch(other -> size < DWARFED * Math.abs(valueOf(fit, other)));
  }
}
