package org.fieldwright.core.harmonic;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;

/**
 * A least-squares fit that can take further columns as suspicion grows: a column that is 1 on a
 * single row sets that reading aside; a column that is 1 on a probe's rows frees its offset.
 *
 * <p>Residuals and leverages stay up to date at the cost of one projection per column, so a search
 * for faults never factorises again. Everything here is weighted: a row's residual and column are
 * multiplied by its √weight.
 */
public final class WorkingFit implements FitResiduals {
  private final HarmonicDesign design;
  private final int degree;
  private final OrthonormalColumns columns;
  private final double[] weightedValues;
  private final double[] residual;
  private final boolean[] setAside;
  private final List<Extra> extras = new ArrayList<>();

  /** What a further column stands for. */
  public sealed interface Extra {
    /** The reading of this row has a column of its own, so it says nothing about the field. */
    record SetAside(int row) implements Extra {}

    /**
     * A nuisance shared by several rows.
     *
     * @param label the caller's name for it
     */
    record Nuisance(Object label) implements Extra {}
  }

  /**
   * @param values of each row, ppm (or any unit; results carry the same)
   */
  public WorkingFit(HarmonicDesign design, int degree, double[] values) {
    this.design = design;
    this.degree = degree;
    columns = design.columns(degree);
    weightedValues = new double[values.length];
    for (int i = 0; i < values.length; i++) {
      weightedValues[i] = values[i] * design.sampling().rootWeight(i);
    }
    setAside = new boolean[values.length];
    TurningFit turning = design.turningFit(degree);
    residual = turning == null ? beside(weightedValues) : turning.fit(values).residuals();
  }

  /**
   * What the columns leave of a pattern.
   *
   * @param pattern weighted, by row
   */
  public double[] beside(double[] pattern) {
    return columns.remainder(pattern);
  }

  @Override
  public int rows() {
    return residual.length;
  }

  public int degree() {
    return degree;
  }

  public HarmonicDesign design() {
    return design;
  }

  /** Sets a row aside. Does nothing where the fit depends on the row alone for some unknown. */
  public boolean setAside(int row) {
    double[] unit = new double[rows()];
    unit[row] = 1;
    boolean kept = append(unit, new Extra.SetAside(row));
    if (kept) {
      setAside[row] = true;
      residual[row] = 0;
    }
    return kept;
  }

  /**
   * Frees a nuisance.
   *
   * @param pattern its weighted effect on each row
   * @return false where the other columns already explain it
   */
  public boolean free(double[] pattern, Object label) {
    return append(pattern, new Extra.Nuisance(label));
  }

  private boolean append(double[] column, Extra extra) {
    if (columns.append(column, 1e-7) <= 1e-7) {
      return false;
    }
    int last = columns.count() - 1;
    columns.subtract(last, columns.coordinate(last, residual), residual);
    extras.add(extra);
    return true;
  }

  @Override
  public boolean isSetAside(int row) {
    return setAside[row];
  }

  @Override
  public double residual(int row) {
    return residual[row];
  }

  @Override
  public double redundancy(int row) {
    return setAside[row] ? 0 : Math.max(0, 1 - columns.leverage(row));
  }

  @Override
  public int degreesOfFreedom() {
    return rows() - columns.count();
  }

  @Override
  public double residualSumOfSquares() {
    double s = 0;
    for (double r : residual) {
      s += r * r;
    }
    return s;
  }

  /**
   * How much freeing a pattern would explain.
   *
   * @param pattern weighted effect on each row
   */
  public Score score(double[] pattern) {
    return new Watch(pattern).score();
  }

  /**
   * What freeing a pattern would explain.
   *
   * @param along pattern · residual
   * @param left of |pattern|² beside the columns: along/left is the estimate, along/√left its
   *     z-score times the scatter
   * @param square |pattern|² over the rows not set aside
   */
  public record Score(double along, double left, double square) {}

  /** A pattern whose score follows as columns are taken up, at the cost of one product for each. */
  public final class Watch {
    private final double[] pattern;
    private final int[] where;
    private final double whole;
    private double explained;
    private int known; // columns that have been asked

    /**
     * @param pattern weighted effect on each row; not to be changed
     */
    public Watch(double[] pattern) {
      this.pattern = pattern;
      where = IntStream.range(0, pattern.length).filter(i -> pattern[i] != 0).toArray();
      double square = 0;
      for (int i : where) {
        square += pattern[i] * pattern[i];
      }
      whole = square;
    }

    /** As things stand; what lies on rows set aside is explained by their own columns. */
    public Score score() {
      explained += columns.explained(pattern, where, known);
      known = columns.count();
      double along = 0;
      double square = 0;
      for (int i : where) {
        along += pattern[i] * residual[i];
        square += setAside[i] ? 0 : pattern[i] * pattern[i];
      }
      return new Score(along, Math.max(0, whole - explained), square);
    }
  }

  /** How every weighted residual answers to a unit error on one row: that column of I − QQᵀ. */
  public double[] response(int row) {
    double[] unit = new double[rows()];
    unit[row] = 1;
    return columns.remainder(unit);
  }

  public List<Extra> extras() {
    return List.copyOf(extras);
  }

  /** Solves for every unknown: the terms of the design up to the degree, then the extras. */
  public Solution solve() {
    double[] c = columns.coordinates(weightedValues);
    columns.solveUpper(c);
    return new Solution(c);
  }

  OrthonormalColumns columns() {
    return columns;
  }

  /**
   * The solved unknowns.
   *
   * @see WorkingFit#solve()
   */
  public final class Solution implements FieldFit {
    private final double[] unknowns;
    private double @Nullable [] inverse; // R⁻¹, row-major; dear, so only when asked for

    private Solution(double[] unknowns) {
      this.unknowns = unknowns;
    }

    private double[] inverse() {
      if (inverse == null) {
        inverse = columns.inverseUpper(unknowns.length); // columns added since do not touch it
      }
      return inverse;
    }

    private int termCount() {
      return design.columnCount(degree);
    }

    @Override
    public List<Term> terms() {
      return design.terms().subList(0, termCount());
    }

    @Override
    public Set<Term> unseen() {
      return design.unseen(degree);
    }

    @Override
    public Sampling sampling() {
      return design.sampling();
    }

    @Override
    public int degree() {
      return degree;
    }

    @Override
    public int rows() {
      return WorkingFit.this.rows();
    }

    @Override
    public boolean isSetAside(int row) {
      return WorkingFit.this.isSetAside(row);
    }

    @Override
    public double residual(int row) {
      return WorkingFit.this.residual(row);
    }

    @Override
    public double redundancy(int row) {
      return WorkingFit.this.redundancy(row);
    }

    @Override
    public int degreesOfFreedom() {
      return WorkingFit.this.degreesOfFreedom();
    }

    @Override
    public double residualSumOfSquares() {
      return WorkingFit.this.residualSumOfSquares();
    }

    @Override
    public Expansion expansion() {
      double[] coefficients = new double[Term.count(degree)];
      for (int j = 0; j < termCount(); j++) {
        coefficients[design.terms().get(j).index()] = unknowns[j];
      }
      return new Expansion(design.referenceRadius(), coefficients);
    }

    /** Value of the k-th extra. For a row set aside: its weighted reading − fit. */
    public double extra(int k) {
      return unknowns[termCount() + k];
    }

    /** Standard uncertainty of the k-th extra per unit scatter of a row of weight one. */
    public double extraUncertainty(int k) {
      int row = termCount() + k;
      int count = unknowns.length;
      double s = 0;
      double[] r = inverse();
      for (int j = row; j < count; j++) {
        s += r[row * count + j] * r[row * count + j];
      }
      return Math.sqrt(s);
    }

    @Override
    public Effect effect(double[] pattern) {
      double[] coordinates = columns.coordinates(pattern);
      double left = 0;
      for (double p : pattern) {
        left += p * p;
      }
      for (double c : coordinates) {
        left -= c * c;
      }
      return new Effect(termsFromCoordinates(coordinates), Math.max(0, left));
    }

    /** R⁻¹ QᵀDQ R⁻ᵀ. */
    @Override
    public double[] covariance(double[] variance) {
      double[] middle = columns.weightedProducts(variance);
      int count = columns.count();
      int p = termCount();
      double[] half = new double[count * p]; // rows of the middle mapped to the terms
      for (int j = 0; j < count; j++) {
        double[] mapped =
            termsFromCoordinates(Arrays.copyOfRange(middle, j * count, (j + 1) * count));
        for (int i = 0; i < p; i++) {
          half[i * count + j] = mapped[i];
        }
      }
      double[] c = new double[p * p];
      for (int i = 0; i < p; i++) {
        double[] row = Arrays.copyOfRange(half, i * count, (i + 1) * count);
        System.arraycopy(termsFromCoordinates(row), 0, c, i * p, p);
      }
      return c;
    }

    /** RᵀR of the terms less the rows set aside. */
    @Override
    public double[] gram() {
      int p = termCount();
      double[] gram = new double[p * p];
      for (int i = 0; i < p; i++) {
        for (int j = i; j < p; j++) {
          double s = 0;
          for (int k = 0; k <= i; k++) {
            s += columns.r(k, i) * columns.r(k, j);
          }
          gram[i * p + j] = s;
          gram[j * p + i] = s;
        }
      }
      for (int row = 0; row < rows(); row++) {
        if (isSetAside(row)) {
          subtractRow(gram, row, p);
        }
      }
      return gram;
    }

    private void subtractRow(double[] gram, int row, int p) {
      double[] x = new double[p]; // the row of the design, Q R
      for (int j = 0; j < p; j++) {
        for (int k = 0; k <= j; k++) {
          x[j] += columns.q(row, k) * columns.r(k, j);
        }
      }
      for (int i = 0; i < p; i++) {
        for (int j = 0; j < p; j++) {
          gram[i * p + j] -= x[i] * x[j];
        }
      }
    }

    /** What the terms' values become for given coordinates in the columns. */
    private double[] termsFromCoordinates(double[] coordinates) {
      int count = unknowns.length;
      double[] t = new double[termCount()];
      double[] r = inverse();
      for (int i = 0; i < t.length; i++) {
        double s = 0;
        for (int j = i; j < count; j++) {
          s += r[i * count + j] * coordinates[j];
        }
        t[i] = s;
      }
      return t;
    }

    /** Row i of R⁻¹ dotted with row j. */
    @Override
    public double[] unitCovariance() {
      int count = unknowns.length;
      int p = termCount();
      double[] c = new double[p * p];
      double[] r = inverse();
      for (int i = 0; i < p; i++) {
        for (int j = i; j < p; j++) {
          double s = 0;
          for (int k = j; k < count; k++) {
            s += r[i * count + k] * r[j * count + k];
          }
          c[i * p + j] = s;
          c[j * p + i] = s;
        }
      }
      return c;
    }
  }

  /** A copy of the weighted residuals. */
  public double[] residuals() {
    return Arrays.copyOf(residual, residual.length);
  }
}
