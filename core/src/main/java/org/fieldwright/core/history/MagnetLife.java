package org.fieldwright.core.history;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.stability.Estimate;
import org.jspecify.annotations.Nullable;

/**
 * A magnet's life: its surveys in the order of time, each held against what those before predict;
 * how its centre field runs; how its logs' drifts compare.
 *
 * <p>Every survey asks several questions (shape, centre field, each limit); the chance that one of
 * them is answered "changed" without any change is at most {@link #LEVEL}. Of surveys of one visit
 * with nothing loaded between, the last one stands for the visit; the others are shown only.
 *
 * @param referenceRadius of the harmonics, m
 * @param referenceField that ppm refer to: the first survey's, T
 * @param snapshots all surveys
 * @param judgements of every survey that stands for its visit, but for the first
 * @param decays the centre field's runs, the present one last
 * @param drifts of the logs
 * @param repeatability beyond what is stated
 */
public record MagnetLife(
    double referenceRadius,
    double referenceField,
    List<Snapshot> snapshots,
    List<Judgement> judgements,
    List<Decay> decays,
    List<DriftJudgement> drifts,
    Repeatability repeatability) {

  /** Chance, per survey, of speaking of a change where there is none. */
  public static final double LEVEL = 0.01;

  public MagnetLife {
    snapshots = List.copyOf(snapshots);
    judgements = List.copyOf(judgements);
    decays = List.copyOf(decays);
    drifts = List.copyOf(drifts);
  }

  /**
   * The centre field between two events that set it anew, or changes that were found.
   *
   * @param surveys that it rests on
   * @param ppmPerYear null where no two of them were taken at different times with the same iron
   */
  public record Decay(Instant from, Instant to, int surveys, @Nullable Estimate ppmPerYear) {}

  /**
   * A log's drift held against the earlier ones.
   *
   * @param change ppm per hour; null for the first
   */
  public record DriftJudgement(DriftReading reading, @Nullable ScalarChange change) {}

  /**
   * How visits scatter beyond what is stated of each, one standard deviation; 0 where the stated
   * uncertainty explains all.
   *
   * @param visits that it rests on
   * @param known from four visits on
   * @param harmonicPpm of one term, by degree; index 0 is unused
   * @param fieldPpm of the centre field about its line; 0 where unknown
   * @param driftPpmPerHour of the logs' drifts; 0 where unknown
   */
  @SuppressWarnings("ArrayRecordComponent") // read once, never compared
  public record Repeatability(
      int visits, boolean known, double[] harmonicPpm, double fieldPpm, double driftPpmPerHour) {}

  /**
   * Judges a life.
   *
   * @param snapshots at least one, in any order
   * @param drifts of the logs, in any order
   * @param limits of the magnet
   * @param placement displacement of the whole array, each direction, one standard uncertainty, m
   * @param turn of the array's zero, one standard uncertainty, rad
   */
  public static MagnetLife of(
      List<Snapshot> snapshots,
      List<DriftReading> drifts,
      List<MagnetEvent> events,
      List<Limit> limits,
      double placement,
      double turn) {
    List<Snapshot> inOrder =
        snapshots.stream().sorted(Comparator.comparing(Snapshot::time)).toList();
    List<Snapshot> standing = standing(inOrder);
    LifeJudge judge = new LifeJudge(standing, events, limits, placement, turn);
    judge.judge();
    DriftJudge driftJudge = new DriftJudge(drifts);
    Repeatability repeatability =
        new Repeatability(
            standing.size(),
            standing.size() >= LifeJudge.FEWEST_FOR_SCATTER,
            Scatter.deviations(judge.shapeScatter()),
            Math.sqrt(judge.fieldScatter().variance()),
            Math.sqrt(driftJudge.scatter().variance()));
    return new MagnetLife(
        judge.radius(),
        judge.field(),
        inOrder,
        judge.judgements(),
        judge.decays(),
        driftJudge.judge(),
        repeatability);
  }

  /**
   * The surveys that stand for their visits: those not repeated with nothing loaded between. What
   * was loaded before a repeated survey was loaded before its repeat.
   */
  private static List<Snapshot> standing(List<Snapshot> inOrder) {
    List<Snapshot> standing = new ArrayList<>();
    for (Snapshot s : inOrder) {
      Snapshot last = standing.isEmpty() ? null : standing.get(standing.size() - 1);
      if (last != null && s.loadedSince() == null && s.visit().equals(last.visit())) {
        standing.set(standing.size() - 1, s.withLoadedSince(last.loadedSince()));
      } else {
        standing.add(s);
      }
    }
    return standing;
  }
}
