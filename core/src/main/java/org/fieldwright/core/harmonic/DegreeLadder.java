package org.fieldwright.core.harmonic;

import java.util.ArrayList;
import java.util.List;

/**
 * The leave-one-out error of one survey at every degree of a design, by a single walk over its
 * columns: those of a degree are the first of any higher one, so residuals, leverages and what is
 * left of each nuisance follow from one degree to the next. Equal to a {@link WorkingFit} of each
 * degree with the same rows set aside and the same nuisances freed.
 */
public final class DegreeLadder {
  /** Less of a nuisance than this beside the other columns, and it is none: as in a fit. */
  private static final double DEPENDENT = 1e-7;

  /** With less redundancy a reading alone holds an unknown: what it has is rounding. */
  private static final double ALONE = 1e-10;

  private final HarmonicDesign design;
  private final double[] residual;
  private final double[] leverage;
  private final List<double[]> patterns = new ArrayList<>();
  private final List<Integer> rowOf = new ArrayList<>(); // −1 where shared by several rows

  /**
   * A degree.
   *
   * @param press weighted sum of squared leave-one-out residuals (PRESS)
   * @param readings whose residuals those are: rows not set aside, without those that alone hold an
   *     unknown, which the others cannot predict
   */
  public record Rung(int degree, double press, int readings) {

    /** Root mean square of the leave-one-out residuals; infinite where there are none. */
    public double leaveOneOut() {
      return readings == 0 ? Double.POSITIVE_INFINITY : Math.sqrt(press / readings);
    }
  }

  /**
   * @param values of each row, ppm (or any unit)
   */
  public DegreeLadder(HarmonicDesign design, double[] values) {
    this.design = design;
    residual = values.clone();
    for (int i = 0; i < residual.length; i++) {
      residual[i] *= design.sampling().rootWeight(i);
    }
    leverage = new double[residual.length];
  }

  /** Sets a row aside at every degree. */
  public void setAside(int row) {
    double[] unit = new double[residual.length];
    unit[row] = 1;
    patterns.add(unit);
    rowOf.add(row);
  }

  /**
   * Frees a nuisance at every degree.
   *
   * @param pattern its weighted effect on each row
   */
  public void free(double[] pattern) {
    patterns.add(pattern.clone());
    rowOf.add(-1);
  }

  /** Every degree from 0 to the design's. May be called once. */
  public List<Rung> climb() {
    double[] norm = patterns.stream().mapToDouble(OrthonormalColumns::norm).toArray();
    double[][] left = new double[patterns.size() + 1][];
    for (int k = 0; k < norm.length; k++) {
      left[k] = patterns.get(k);
    }
    left[norm.length] = residual;
    List<Rung> rungs = new ArrayList<>();
    int from = 0;
    for (int degree = 0; degree <= design.degree(); degree++) {
      double[][] added = design.columns().slice(from, design.columnCount(degree));
      from += added.length;
      double[][] unused = new double[left.length][added.length];
      Combinations.project(added, left, unused, residual.length);
      for (double[] column : added) {
        for (int i = 0; i < leverage.length; i++) {
          leverage[i] += column[i] * column[i];
        }
      }
      rungs.add(rung(degree, left, norm));
    }
    return rungs;
  }

  private Rung rung(int degree, double[][] left, double[] norm) {
    OrthonormalColumns extras = new OrthonormalColumns(residual.length, norm.length);
    boolean[] aside = new boolean[residual.length];
    for (int k = 0; k < norm.length; k++) {
      double share = OrthonormalColumns.norm(left[k]) / norm[k];
      boolean taken =
          share > DEPENDENT && extras.append(left[k], DEPENDENT / share) * share > DEPENDENT;
      if (taken && rowOf.get(k) >= 0) {
        aside[rowOf.get(k)] = true;
      }
    }
    double[] rest = extras.remainder(residual);
    double press = 0;
    int readings = 0;
    for (int i = 0; i < rest.length; i++) {
      double redundancy = 1 - leverage[i] - extras.leverage(i);
      if (!aside[i] && redundancy > ALONE) {
        press += Math.pow(rest[i] / redundancy, 2);
        readings++;
      }
    }
    return new Rung(degree, press, readings);
  }
}
