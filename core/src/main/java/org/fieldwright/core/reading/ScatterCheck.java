package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.harmonic.FieldFit;
import org.fieldwright.core.harmonic.Sampling;
import org.jspecify.annotations.Nullable;

/**
 * Whether the residuals scatter as is stated: a chi-square test in both directions, and the
 * readings' own repeats against what is stated for a reading.
 *
 * <p>Above: Σr² against what the stated scatter, places, angles and normalisation would leave; its
 * degrees of freedom are those whose variance it would have (Welch–Satterthwaite, JCGM 100:2008,
 * G.4). Below: against the stated scatter alone, since places and angles may well be better than
 * stated. Either is named from 1 in 2000 on, by the cube-root normal form of chi-square (Wilson and
 * Hilferty 1931), and only where the standard deviations are a fifth apart: less is of no
 * consequence.
 */
final class ScatterCheck {
  private static final double UNLIKELY = 3.29; // normal, one-sided 1 in 2000
  private static final double APART = 1.2;
  private static final int LEAST_FREEDOM = 10;
  private static final double MOST_ASIDE = 0.05;

  private ScatterCheck() {}

  /**
   * What the repeats of all readings say together.
   *
   * @param ppm standard deviation of a typical reading's mean, by the median, so that one bad probe
   *     does not speak for all
   * @param dof repeats less readings
   */
  record Repeats(double ppm, double dof) {

    /** Of readings that give their scatter and more than one repeat; null if there are none. */
    static @Nullable Repeats of(List<Visit> visits, double referenceField) {
      List<Double> ppm = new ArrayList<>();
      double dof = 0;
      for (Visit v : visits) {
        Reading r = v.reading();
        Integer repeats = r.locked() != null ? r.locked() : r.averages();
        if (r.sd() != null && repeats != null && repeats > 1) {
          ppm.add(r.sd() / referenceField * 1e6 / Math.sqrt(repeats));
          dof += repeats - 1;
        }
      }
      double typical = DriftFit.median(ppm.stream().mapToDouble(Double::doubleValue).toArray());
      return dof > 0 ? new Repeats(typical, dof) : null;
    }
  }

  /**
   * What is inconsistent.
   *
   * @param fit of the finished search
   * @param stated ppm, m, rad; 0 where nothing is stated
   * @param repeats of the readings; null where the survey does not say
   */
  static List<Finding> findings(
      FieldFit fit, FaultSearch.Tolerances stated, @Nullable Repeats repeats) {
    List<Finding> findings = new ArrayList<>();
    int dof = fit.degreesOfFreedom();
    double reading = stated.readingPpm();
    if (!(reading > 0) || dof < LEAST_FREEDOM) {
      return findings;
    }
    Expected expected = Expected.of(fit, stated);
    double square = fit.residualSumOfSquares();
    double seen = reading * Math.sqrt(square / expected.scatter());
    double should = reading * Math.sqrt(expected.all() / expected.scatter());
    double above = deviate(square / expected.all(), expected.dof());
    double below = deviate(square / expected.scatter(), expected.scatterDof());
    if (above > UNLIKELY && seen > APART * should) {
      findings.add(above(fit.degree(), seen, should, dof, above));
    } else if (below < -UNLIKELY && APART * seen < reading && isWhole(fit)) {
      findings.add(below(seen, reading, dof, below));
    }
    if (repeats != null && repeats.ppm() > APART * reading) {
      double wide = deviate(Math.pow(repeats.ppm() / reading, 2), repeats.dof());
      if (wide > UNLIKELY) {
        findings.add(repeats(repeats, reading, wide));
      }
    }
    return findings;
  }

  /** Whether few readings are set aside: what a search takes out is the loudest. */
  private static boolean isWhole(FieldFit fit) {
    return fit.setAsideCount() <= MOST_ASIDE * fit.rows();
  }

  /**
   * Weighted Σ r² as it would be: with W the weights and M the projection on the residuals, a
   * variance σ² common to all readings leaves σ² tr(WM), whatever the weights were made from.
   *
   * @param scatter from the stated scatter of a reading
   * @param scatterDof degrees of freedom of that
   * @param all from places, angles and normalisation too
   * @param dof degrees of freedom of that
   */
  private record Expected(double scatter, double scatterDof, double all, double dof) {

    static Expected of(FieldFit fit, FaultSearch.Tolerances stated) {
      Sampling s = fit.sampling();
      double[] misplaced = SharedFault.misplaced(s, fit.expansion(), stated);
      double sum = 0;
      double fourth = 0;
      double shared = 0;
      int companies = 1;
      for (int i = 0; i < fit.rows(); i++) {
        double square = s.rootWeight(i) * s.rootWeight(i);
        double offset = s.probe(i) < 0 ? 0 : stated.normalisationPpm();
        double left = square * fit.redundancy(i);
        sum += left;
        fourth += left * square;
        shared += left * (misplaced[i] * misplaced[i] + offset * offset);
        companies = Math.max(companies, s.probe(i) < 0 ? i + 1 : s.probe(i) + 1);
      }
      double scatter = sum * stated.readingPpm() * stated.readingPpm();
      double scatterDof = sum * sum / fourth;
      double all = scatter + shared;
      double variance = scatter * scatter / scatterDof + shared * shared / companies;
      return new Expected(scatter, scatterDof, all, all * all / variance);
    }
  }

  /** The normal deviate of a chi-square over its degrees of freedom. */
  static double deviate(double ratio, double dof) {
    double spread = 2 / (9 * dof);
    return (Math.cbrt(ratio) - (1 - spread)) / Math.sqrt(spread);
  }

  private static Finding above(int degree, double seen, double should, int dof, double deviate) {
    return new Finding(
        Finding.What.SCATTER_ABOVE_STATED,
        "The residuals scatter by %.3g ppm, %.1f times what is stated for readings, places and angles (%.3g ppm; chi-square, %d degrees of freedom)."
            .formatted(seen, seen / should, should, dof),
        deviate * deviate,
        seen,
        seen / Math.sqrt(2.0 * dof),
        "ppm",
        "Either the field is richer than degree %d, which more angles or probes would show, or the magnet file states too little under array.uncertainty."
            .formatted(degree));
  }

  private static Finding below(double seen, double stated, int dof, double deviate) {
    return new Finding(
        Finding.What.SCATTER_BELOW_STATED,
        "The residuals scatter by only %.3g ppm, where the magnet file states %.3g ppm for a reading (chi-square, %d degrees of freedom)."
            .formatted(seen, stated, dof),
        deviate * deviate,
        seen,
        seen / Math.sqrt(2.0 * dof),
        "ppm",
        "Every uncertainty rests on what is stated; state less as array.uncertainty.reading_ppm if this array always does so well.");
  }

  private static Finding repeats(Repeats repeats, double stated, double deviate) {
    return new Finding(
        Finding.What.REPEATS_ABOVE_STATED,
        "By their own repeats the readings scatter by %.3g ppm, %.1f times what the magnet file states for one (%.3g ppm)."
            .formatted(repeats.ppm(), repeats.ppm() / stated, stated),
        deviate * deviate,
        repeats.ppm(),
        repeats.ppm() / Math.sqrt(2 * repeats.dof()),
        "ppm",
        "Take more repeats, or state what they show as array.uncertainty.reading_ppm.");
  }
}
