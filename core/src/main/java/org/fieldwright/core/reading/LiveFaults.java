package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.core.harmonic.RecursiveFit;
import org.fieldwright.core.uncertainty.Normal;

/** The faults that show in a survey that is still growing, by the rules of {@link FaultSearch}. */
final class LiveFaults {
  /** Fewer degrees of freedom than this say nothing about a single reading. */
  private static final double LEAST_FREEDOM = 12;

  /** Least share of an angle's column that must be left beside the field to judge it. */
  private static final double LEAST_OF_ANGLE = 1e-3;

  private static final double MOST_FAULTS = 0.25;

  /** What readings left out and a better known slope of the field may take of a share again. */
  private static final double SLACK = 0.5;

  private final LiveField field;
  private final RecursiveFit fit;
  private final ProbeArray.Uncertainty stated;
  private final double readingScore;
  private final Map<LiveField.Group, Double> leastShare = new HashMap<>(); // at the last look

  /**
   * @param looks how many readings are judged how often: the false alarms are spread over them
   */
  LiveFaults(LiveField field, ProbeArray.Uncertainty stated, int looks) {
    this.field = field;
    this.stated = stated;
    fit = field.fit();
    readingScore = Normal.quantile(1 - FaultSearch.FALSE_ALARMS / (2.0 * looks));
  }

  /** Whether there are enough readings to judge any. */
  boolean judges() {
    return field.freedom() >= LEAST_FREEDOM;
  }

  /** Looks at every reading, probe and angle again. */
  void judge() {
    if (!judges()) {
      return;
    }
    restoreInnocent();
    takeAll();
    if (shareBlame()) {
      takeAll();
    }
  }

  private void takeAll() {
    int most = (int) (MOST_FAULTS * field.rows().size());
    for (int taken = 0; taken < most && takeStrongest(); taken++) {}
  }

  private void restoreInnocent() {
    double scatter = field.scatter();
    for (int i = 0; i < field.rows().size(); i++) {
      if (fit.isLeftOut(i) && field.score(i) < readingScore * scatter) {
        fit.setLeftOut(i, false);
      }
    }
    for (LiveField.Group g : List.copyOf(field.freed())) {
      int number = field.freed().indexOf(g);
      double score = Math.abs(field.wholeOf(number)) / Math.sqrt(fit.sizeVariance(number));
      boolean stays = score > FaultSearch.GROUP_SCORE * scatter;
      if (!stays || (g.angle() >= 0 && !field.sharpen(g))) {
        field.drop(g);
      }
    }
  }

  private boolean takeStrongest() {
    double slope = field.slope();
    double scatter = field.scatter();
    double best = readingScore * scatter;
    int row = -1;
    for (int i = 0; i < field.rows().size(); i++) {
      if (!fit.isLeftOut(i) && fit.residualVariance(i) > 1e-4) {
        double score = Math.abs(field.residual(i, slope)) / Math.sqrt(fit.residualVariance(i));
        if (score > best) {
          best = score;
          row = i;
        }
      }
    }
    if (takeGroup(Math.max(best, FaultSearch.GROUP_SCORE * scatter), slope)) {
      return true;
    }
    if (row >= 0) {
      fit.setLeftOut(row, true);
    }
    return row >= 0;
  }

  private boolean takeGroup(double toBeat, double slope) {
    LiveField.Group strongest = null;
    double[] itsPattern = new double[0];
    double best = toBeat;
    double[] alongTurn = field.alongTurn(slope);
    Map<LiveField.Group, double[]> sums = sums(alongTurn, slope);
    for (LiveField.Group g : groups()) {
      double[] sum = sums.getOrDefault(g, new double[2]);
      double share = leastShare.getOrDefault(g, LEAST_OF_ANGLE);
      if (Math.abs(sum[0]) <= best * Math.sqrt(share * sum[1])) {
        continue; // cannot stand out: readings since then have left more of the pattern, not less
      }
      double[] pattern = field.pattern(g, alongTurn);
      double score = score(g, pattern, slope);
      if (score > best) {
        best = score;
        strongest = g;
        itsPattern = pattern;
      }
    }
    return strongest != null && freeIfItExplains(strongest, itsPattern, 0);
  }

  /**
   * Frees a shared fault. At the edge of what was read the field explains most of a turn, and few
   * readings show the rest; so an angle must leave no more than so many of its readings standing
   * out, where a probe must show without the loudest of them.
   */
  private boolean freeIfItExplains(LiveField.Group g, double[] pattern, int mostLeft) {
    double toBeat = readingScore * field.scatter();
    field.free(g, pattern);
    boolean explains = g.angle() < 0 || field.sharpen(g);
    int left = 0;
    for (int i = 0; i < field.rows().size(); i++) {
      left += g.angle() >= 0 && g.holds(field.rows().get(i)) && field.score(i) > toBeat ? 1 : 0;
    }
    if (!explains || left > mostLeft) {
      field.drop(g);
    }
    return explains && left <= mostLeft;
  }

  /** Of each probe and angle: pattern · residual and |pattern|², over the readings in use. */
  private Map<LiveField.Group, double[]> sums(double[] alongTurn, double slope) {
    Map<LiveField.Group, double[]> sums = new HashMap<>();
    for (int i = 0; i < alongTurn.length; i++) {
      if (!fit.isLeftOut(i)) {
        LiveField.Row row = field.rows().get(i);
        double r = field.residual(i, slope);
        double[] ofProbe =
            sums.computeIfAbsent(new LiveField.Group(row.probe(), -1), g -> new double[2]);
        ofProbe[0] += r;
        ofProbe[1]++;
        double[] ofAngle =
            sums.computeIfAbsent(new LiveField.Group(-1, row.angle()), g -> new double[2]);
        ofAngle[0] += alongTurn[i] * r;
        ofAngle[1] += alongTurn[i] * alongTurn[i];
      }
    }
    return sums;
  }

  /** Score of a shared fault, in units of the fit; 0 where it breaks a rule. */
  private double score(LiveField.Group g, double[] pattern, double slope) {
    List<double[]> contributions = new ArrayList<>();
    double along = 0;
    double square = 0;
    for (int i = 0; i < field.rows().size(); i++) {
      if (pattern[i] != 0 && !fit.isLeftOut(i)) {
        double r = field.residual(i, slope);
        contributions.add(new double[] {pattern[i], r});
        along += pattern[i] * r;
        square += pattern[i] * pattern[i];
      }
    }
    double rest = fit.remainder(pattern);
    leastShare.put(g, Math.max(LEAST_OF_ANGLE, SLACK * rest / square));
    boolean allowed =
        rest > (g.probe() >= 0 ? FaultSearch.TESTABLE : LEAST_OF_ANGLE) * square
            && Math.abs(along) / rest > FaultSearch.BEYOND_STATED * tolerance(g)
            && (g.probe() < 0 || SharedFault.isShared(contributions));
    return allowed ? Math.abs(along) / Math.sqrt(rest) : 0;
  }

  /** Where several readings of one probe or angle are left out, tries the shared fault instead. */
  private boolean shareBlame() {
    double slope = field.slope();
    double toBeat = FaultSearch.GROUP_SCORE * field.scatter();
    boolean changed = false;
    for (LiveField.Group g : groups()) {
      List<Integer> blamed = new ArrayList<>();
      for (int i = 0; i < field.rows().size(); i++) {
        if (fit.isLeftOut(i) && g.holds(field.rows().get(i))) {
          blamed.add(i);
        }
      }
      if (blamed.size() < FaultSearch.LOUDEST) {
        continue;
      }
      double[] pattern = field.pattern(g, field.alongTurn(slope));
      blamed.forEach(i -> fit.setLeftOut(i, false));
      if (score(g, pattern, slope) > toBeat && freeIfItExplains(g, pattern, blamed.size() / 3)) {
        changed = true;
      } else {
        blamed.forEach(i -> fit.setLeftOut(i, true));
      }
    }
    return changed;
  }

  /** Every shared fault that could be, less those freed; none where too many are. */
  private List<LiveField.Group> groups() {
    int probes = 0;
    int angles = 0;
    for (LiveField.Row row : field.rows()) {
      probes = Math.max(probes, row.probe() + 1);
      angles = Math.max(angles, row.angle() + 1);
    }
    List<LiveField.Group> groups = new ArrayList<>();
    for (int p = 0; p < probes; p++) {
      groups.add(new LiveField.Group(p, -1));
    }
    for (int a = 0; a < angles; a++) {
      groups.add(new LiveField.Group(-1, a));
    }
    if (field.freed().size() >= MOST_FAULTS * Math.max(8, groups.size() / 2)) {
      return List.of(); // so many at once are the field's higher terms, not the array's faults
    }
    groups.removeAll(field.freed());
    return groups;
  }

  /** What is stated for a shared fault: units of the fit, or rad. */
  private double tolerance(LiveField.Group g) {
    Double given = g.probe() >= 0 ? stated.normalisationPpm() : stated.angle();
    return given == null ? 0 : g.probe() >= 0 ? given / field.unit() : given;
  }
}
