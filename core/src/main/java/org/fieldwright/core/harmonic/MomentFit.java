package org.fieldwright.core.harmonic;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;

/**
 * The normal equations of a fit, made from the moments of its points and factorised, G = RᵀR.
 *
 * <p>Terms come in the order of {@link Term#index()}, so the equations of every lower degree are
 * solved by the leading part of the same factor. A term is unseen by the rule of {@link
 * HarmonicDesign}: its pivot, what its column leaves beside those before it, squared, is less than
 * {@link HarmonicDesign#LEAST_REMAINDER}² of the column's square.
 *
 * <p>Squaring costs digits. Coefficients get them back from one step against the residuals, which
 * are formed from the points (corrected seminormal equations, Björck 1987): {@link CorrectionStep}.
 * Columns that are nearly dependent, and columns far smaller than the moments they are differences
 * of (Σ w ρ^2n ≫ Σ w T_nm², as of high orders in a narrow cylinder), leave too few digits: {@link
 * #isSound} says when, and the matrix itself must be factorised.
 *
 * <p>Not thread-safe.
 */
public final class MomentFit {
  /** Beyond this a leverage is good to fewer than seven digits, and two corrections fall short. */
  private static final double MOST_AMPLIFIED = 1e10;

  /** Rows that are worked on together. */
  private static final int PANEL = 32;

  private final HarmonicProducts products;
  private final int degree;
  private final double referenceRadius;
  private final int size;
  private final double[][] gram; // over all terms
  private final List<Term> terms = new ArrayList<>();
  private final Set<Term> unseen = new TreeSet<>(Comparator.comparingInt(Term::index));
  private final double[][] upper; // rows of R over all terms, zero for those unseen
  private final double[] whole; // Σ w ρ^2n by degree
  private double @Nullable [][] inverse; // dear, so only when asked for

  /**
   * Factorises.
   *
   * @param products of the moments' degree or a higher one
   * @param degree not above that of the moments
   */
  public MomentFit(PointMoments moments, HarmonicProducts products, int degree) {
    this.products = products;
    this.degree = degree;
    size = Term.count(degree);
    referenceRadius = moments.referenceRadius();
    gram = products(moments);
    whole = Arrays.stream(moments.sums()).mapToDouble(row -> row[0]).toArray();
    upper = new double[size][];
    for (int i = 0; i < size; i++) {
      upper[i] = gram[i].clone();
    }
    for (int from = 0; from < size; from += PANEL) {
      int to = Math.min(from + PANEL, size);
      Combinations.addProducts(upper, from, to, -1, upper, upper, 0, from, from, size);
      for (int i = from; i < to; i++) {
        Combinations.addProducts(upper, i, i + 1, -1, upper, upper, from, i, i, size);
        keep(i);
      }
    }
  }

  /** Makes what is left of the i-th row one of R, if enough is. */
  private void keep(int i) {
    double[] row = upper[i];
    double left = row[i];
    double least = HarmonicDesign.LEAST_REMAINDER * HarmonicDesign.LEAST_REMAINDER;
    boolean seen = left > least * gram[i][i];
    (seen ? (Collection<Term>) terms : unseen).add(Term.at(i));
    double factor = seen ? 1 / Math.sqrt(left) : 0;
    for (int j = 0; j < size; j++) {
      row[j] = j < i ? 0 : row[j] * factor;
    }
  }

  /**
   * Whether the digits suffice: rounding of 1e-16 of a degree's whole moment Σ w ρ^2n reaches its
   * terms' equations through G⁻¹, and a term is called unseen only where its column can be told
   * from rounding.
   */
  public boolean isSound() {
    double[][] covariance = unitCovariance();
    double most = 0;
    for (int k = 0; k < size; k++) {
      Term term = Term.at(k);
      double amplified =
          unseen.contains(term) ? whole[term.n()] / gram[k][k] : whole[term.n()] * covariance[k][k];
      most = amplified > 0 ? Math.max(most, amplified) : Double.POSITIVE_INFINITY;
    }
    return most < MOST_AMPLIFIED;
  }

  /** Highest degree. */
  public int degree() {
    return degree;
  }

  /** R0, m. */
  public double referenceRadius() {
    return referenceRadius;
  }

  /** The terms that the points determine, in the order of {@link Term#index()}. */
  public List<Term> terms() {
    return List.copyOf(terms);
  }

  /** The terms up to the degree that the points do not determine. */
  public Set<Term> unseen() {
    return Set.copyOf(unseen);
  }

  /** Σ w T_a T_b, by rows over all terms. */
  double[][] gram() {
    return gram;
  }

  /** The same of other moments of these or more degrees. */
  double[][] products(PointMoments other) {
    return products.products(other.sums(), degree);
  }

  /** Of a matrix over all terms the part of those that are seen, row-major. */
  double[] seen(double[][] matrix) {
    int p = terms.size();
    double[] seen = new double[p * p];
    for (int i = 0; i < p; i++) {
      for (int j = 0; j < p; j++) {
        seen[i * p + j] = matrix[terms.get(i).index()][terms.get(j).index()];
      }
    }
    return seen;
  }

  /** The coefficients of the points in the moments, all terms up to the degree, 0 where unseen. */
  public double[] solve(PointMoments moments) {
    return solve(moments.values(degree), degree);
  }

  /**
   * The coefficients that a right-hand side gives.
   *
   * @param right Σ w y T, all terms up to {@code upTo}; or Σ w r T for a correction
   * @param upTo degree of the fit, not above {@link #degree()}
   * @return all terms up to it, 0 where unseen
   */
  double[] solve(double[] right, int upTo) {
    int count = Term.count(upTo);
    double[] x = Arrays.copyOf(right, count);
    for (int i = 0; i < count; i++) {
      double[] row = upper[i];
      x[i] = row[i] == 0 ? 0 : x[i] / row[i];
      for (int j = i + 1; j < count; j++) {
        x[j] -= row[j] * x[i];
      }
    }
    for (int i = count - 1; i >= 0; i--) {
      double[] row = upper[i];
      double sum = x[i];
      for (int j = i + 1; j < count; j++) {
        sum -= row[j] * x[j];
      }
      x[i] = row[i] == 0 ? 0 : sum / row[i];
    }
    return x;
  }

  /** R⁻ᵀ by rows, zero for terms unseen. */
  private double[][] inverseFactor() {
    double[][] rows = new double[size][size];
    for (int from = 0; from < size; from += PANEL) {
      int to = Math.min(from + PANEL, size);
      Combinations.addProducts(rows, from, to, -1, upper, rows, 0, from, 0, from);
      for (int i = from; i < to; i++) {
        double pivot = upper[i][i];
        if (pivot == 0) {
          Arrays.fill(rows[i], 0);
          continue;
        }
        Combinations.addProducts(rows, i, i + 1, -1, upper, rows, from, i, 0, i);
        rows[i][i] = 1;
        for (int j = 0; j <= i; j++) {
          rows[i][j] /= pivot;
        }
      }
    }
    return rows;
  }

  /** Adds to G⁻¹ of the leading terms what further ones bring: with rows v of R⁻ᵀ it is Σ vᵀv. */
  private static void addInverse(double[][] sum, double[][] rows, int from, int to) {
    for (int panel = from; panel < to; panel += PANEL) {
      int end = Math.min(panel + PANEL, to);
      Combinations.addProducts(sum, 0, end, 1, rows, rows, panel, end, 0, end);
    }
  }

  /** G⁻¹ by rows over all terms, 0 where unseen: their covariance per unit variance. */
  double[][] unitCovariance() {
    if (inverse == null) {
      double[][] sum = new double[size][size];
      addInverse(sum, inverseFactor(), 0, size);
      inverse = sum;
    }
    return inverse;
  }

  /** Leverage of a point of weight one that is in the moments, as a function of its place. */
  PolynomialSum leverage() {
    return products.quadratic(unitCovariance(), degree);
  }

  /** The same of the fit of every degree from 0 to this one's. */
  List<PolynomialSum> leverages() {
    double[][] rows = inverseFactor();
    double[][] sum = new double[size][size];
    List<PolynomialSum> all = new ArrayList<>();
    for (int n = 0; n <= degree; n++) {
      addInverse(sum, rows, n * n, Term.count(n));
      all.add(products.quadratic(sum, n));
    }
    return all;
  }
}
