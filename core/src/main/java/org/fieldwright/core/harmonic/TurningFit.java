package org.fieldwright.core.harmonic;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Fits complete surveys of one turning array one after another: coefficients, residuals,
 * leave-one-out residuals and covariance at the cost of a Fourier transform over the angles and one
 * small triangular system per order.
 *
 * <p>The dense matrix of the harmonics is never formed. With P probes, M angles and degree N a
 * survey costs about 4·P·M·N + 2·P·N² multiplications instead of some 2·P·M·N⁴. The factors, the
 * leverages and the covariance of unit scatter belong to the geometry and are computed once.
 * Immutable and thread-safe.
 */
public final class TurningFit {
  private final TurningGrid grid;
  private final int degree;
  private final double referenceRadius;
  private final List<Wave> waves;
  private final double[] leverage; // [angle · probes + probe]
  private final int unknowns;
  private final double[] unitCovariance;

  /** One order and phase: its factor over the angles (norm one), its terms over the probes. */
  private static final class Wave {
    private final double[] azimuthal;
    private final OrthonormalColumns columns;
    private final int[] index; // of each column's term
    private final double root;

    Wave(double[] azimuthal, OrthonormalColumns columns, int[] index, double root) {
      this.azimuthal = azimuthal;
      this.columns = columns;
      this.index = index;
      this.root = root;
    }
  }

  private TurningFit(
      TurningGrid grid, SolidHarmonics basis, AngularSupport support, TurningGrid.Orders orders) {
    this.grid = grid;
    degree = basis.degree();
    referenceRadius = basis.referenceRadius();
    waves = new ArrayList<>();
    for (int m = 0; m <= degree; m++) {
      for (Term.Part part : Term.Part.values()) {
        boolean exists = m > 0 || part == Term.Part.COS;
        if (exists && !orders.kept().get(m).isEmpty() && !support.hides(new Term(m, m, part))) {
          waves.add(wave(orders, m, part));
        }
      }
    }
    leverage = new double[grid.probes() * grid.angles()];
    int count = 0;
    for (Wave w : waves) {
      count += w.index.length;
      for (int i = 0; i < leverage.length; i++) {
        double f = w.azimuthal[i / grid.probes()];
        leverage[i] += f * f * w.columns.leverage(i % grid.probes());
      }
    }
    unknowns = count;
    unitCovariance = unitCovariance(degree, waves);
  }

  private Wave wave(TurningGrid.Orders orders, int m, Term.Part part) {
    double root = Math.sqrt(grid.azimuthalSquare(new Term(m, m, part)));
    double[] azimuthal = grid.wave(new Term(m, m, part));
    for (int a = 0; a < azimuthal.length; a++) {
      azimuthal[a] /= root;
    }
    int[] index = orders.kept().get(m).stream().mapToInt(t -> Term.index(t.n(), m, part)).toArray();
    return new Wave(azimuthal, orders.columns().get(m), index, root);
  }

  /**
   * The fit for a geometry; null where its points are not complete equal turns of the same probes,
   * weighted by probe.
   *
   * @param degree highest degree
   * @param referenceRadius R0, m
   */
  public static @Nullable TurningFit of(
      Sampling sampling, int degree, double referenceRadius, AngularSupport support) {
    TurningGrid grid = TurningGrid.find(sampling, support);
    if (grid == null) {
      return null;
    }
    SolidHarmonics basis = new SolidHarmonics(degree, referenceRadius);
    return new TurningFit(grid, basis, support, grid.orders(basis));
  }

  /** Readings less fitted terms. */
  public int degreesOfFreedom() {
    return leverage.length - unknowns;
  }

  /**
   * Fits one survey.
   *
   * @param values of every row of the sampling, any unit; the results carry the same
   */
  public Result fit(double[] values) {
    int probes = grid.probes();
    int angles = grid.angles();
    double[][] rest = new double[angles][probes]; // weighted values, residuals in the end
    for (int a = 0; a < angles; a++) {
      for (int p = 0; p < probes; p++) {
        rest[a][p] = values[grid.row(p, a)] * grid.rootWeight(p);
      }
    }
    double[] coefficients = new double[Term.count(degree)];
    double[][] fitted = new double[waves.size()][probes];
    double[] transformed = new double[probes];
    for (int k = 0; k < fitted.length; k++) {
      Wave w = waves.get(k);
      Arrays.fill(transformed, 0);
      Combinations.addCombination(transformed, w.azimuthal, rest, angles, probes);
      double[] c = new double[w.index.length];
      for (int j = 0; j < c.length; j++) {
        c[j] = w.columns.coordinate(j, transformed);
        w.columns.subtract(j, -c[j], fitted[k]);
      }
      w.columns.solveUpper(c);
      for (int j = 0; j < c.length; j++) {
        coefficients[w.index[j]] = c[j] / w.root;
      }
    }
    double[] factor = new double[fitted.length];
    for (int a = 0; a < angles; a++) {
      for (int k = 0; k < factor.length; k++) {
        factor[k] = -waves.get(k).azimuthal[a];
      }
      Combinations.addCombination(rest[a], factor, fitted, factor.length, probes);
    }
    return new Result(coefficients, rest);
  }

  /** (XᵀWX)⁻¹ by {@link Term#index()}, row-major; zero for terms the sampling cannot see. */
  private static double[] unitCovariance(int degree, List<Wave> waves) {
    int size = Term.count(degree);
    double[] covariance = new double[size * size];
    for (Wave w : waves) {
      int count = w.index.length;
      double[] own = w.columns.unitCovariance(count);
      for (int i = 0; i < count; i++) {
        for (int j = 0; j < count; j++) {
          covariance[w.index[i] * size + w.index[j]] = own[i * count + j] / (w.root * w.root);
        }
      }
    }
    return covariance;
  }

  /** What the fit found in one survey. */
  public final class Result {
    private final double[] coefficients;
    private final double[][] rest;

    private Result(double[] coefficients, double[][] rest) {
      this.coefficients = coefficients;
      this.rest = rest;
    }

    /** The fitted field; terms the sampling cannot see are 0. */
    public Expansion expansion() {
      return new Expansion(referenceRadius, coefficients);
    }

    /** Weighted residual of every row of the sampling. */
    public double[] residuals() {
      return byRow(false);
    }

    /** Weighted residual of every row from the fit of all others. */
    public double[] leaveOneOut() {
      return byRow(true);
    }

    private double[] byRow(boolean leaveOneOut) {
      int probes = grid.probes();
      double[] out = new double[leverage.length];
      for (int i = 0; i < out.length; i++) {
        int a = i / probes;
        int p = i % probes;
        out[grid.row(p, a)] = leaveOneOut ? rest[a][p] / (1 - leverage[i]) : rest[a][p];
      }
      return out;
    }

    /** Weighted Σ r². */
    public double residualSumOfSquares() {
      double sum = 0;
      for (double[] ofAngle : rest) {
        for (double r : ofAngle) {
          sum += r * r;
        }
      }
      return sum;
    }

    /** Covariance of the coefficients from the scatter that the residuals show. */
    public Covariance covariance() {
      double variance = residualSumOfSquares() / degreesOfFreedom();
      double[] c = unitCovariance.clone();
      for (int i = 0; i < c.length; i++) {
        c[i] *= variance;
      }
      return new Covariance(Term.count(degree), c);
    }
  }
}
