package org.fieldwright.core.harmonic;

import java.util.Arrays;
import java.util.Comparator;
import java.util.Set;
import java.util.TreeSet;
import org.fieldwright.core.geometry.Vec3;

/**
 * Least squares over any number of free points in bounded memory: points pass by once, in whatever
 * portions, and only the (degree + 1)⁴ / 2 sums of products stay.
 *
 * <p>Harmonics of different degree or order are different functions of direction, so for points
 * spread around the origin the columns, scaled to norm one, are nearly orthogonal and their normal
 * equations lose nothing against a QR factorisation. Where points are spread badly the loss grows
 * with the square of the condition; one {@link Correction} over the same points takes it back
 * (corrected seminormal equations, Björck 1987). Terms of which less than {@link
 * HarmonicDesign#LEAST_REMAINDER} is left beside those before them are unseen, as in {@link
 * HarmonicDesign}.
 *
 * <p>Not thread-safe; for several threads give each its own and merge them.
 */
public final class PointFit {
  private static final int BLOCK = 8; // rows that stay in the first cache with one row of the sums

  private final SolidHarmonics basis;
  private final double[][] gram; // lower triangle
  private final double[] along; // Xᵀy
  private double square; // yᵀy
  private long count;
  private final double[][] block;

  /**
   * @param degree highest degree
   * @param referenceRadius R0, m
   */
  public PointFit(int degree, double referenceRadius) {
    basis = new SolidHarmonics(degree, referenceRadius);
    gram = new double[basis.count()][];
    for (int i = 0; i < gram.length; i++) {
      gram[i] = new double[i + 1];
    }
    along = new double[gram.length];
    block = new double[BLOCK][gram.length];
  }

  /**
   * Takes points.
   *
   * @param points metres
   * @param values of each, any unit; the results carry the same
   */
  public void add(Vec3[] points, double[] values) {
    double[] factor = new double[BLOCK];
    for (int from = 0; from < points.length; from += BLOCK) {
      int rows = Math.min(BLOCK, points.length - from);
      for (int b = 0; b < rows; b++) {
        Vec3 p = points[from + b];
        basis.evaluate(p.x(), p.y(), p.z(), block[b], 0);
        Combinations.addTimes(along, values[from + b], block[b], along.length);
        square += values[from + b] * values[from + b];
      }
      for (int i = 0; i < gram.length; i++) {
        for (int b = 0; b < rows; b++) {
          factor[b] = block[b][i];
        }
        Combinations.addCombination(gram[i], factor, block, rows, i + 1);
      }
    }
    count += points.length;
  }

  /** Takes over what another one has seen; that one is not to be used any more. */
  public void merge(PointFit other) {
    if (other.gram.length != gram.length
        || other.basis.referenceRadius() != basis.referenceRadius()) {
      throw new IllegalArgumentException("another degree or reference radius");
    }
    for (int i = 0; i < gram.length; i++) {
      Combinations.addTimes(gram[i], 1, other.gram[i], i + 1);
    }
    Combinations.addTimes(along, 1, other.along, along.length);
    square += other.square;
    count += other.count;
  }

  /** The fit of all points so far; more may follow. */
  public Solution solve() {
    int size = gram.length;
    double[] scale = new double[size];
    double[][] lower = new double[size][];
    Set<Term> unseen = new TreeSet<>(Comparator.comparingInt(Term::index));
    double least = HarmonicDesign.LEAST_REMAINDER * HarmonicDesign.LEAST_REMAINDER;
    for (int i = 0; i < size; i++) {
      scale[i] = gram[i][i] > 0 ? 1 / Math.sqrt(gram[i][i]) : 0;
      lower[i] = new double[i + 1];
      double rest = scale[i] > 0 ? 1 : 0;
      for (int j = 0; j < i; j++) {
        double s = gram[i][j] * scale[i] * scale[j] - Combinations.dot(lower[i], lower[j], j);
        lower[i][j] = lower[j][j] > 0 ? s / lower[j][j] : 0;
        rest -= lower[i][j] * lower[i][j];
      }
      if (rest > least) {
        lower[i][i] = Math.sqrt(rest);
      } else {
        Arrays.fill(lower[i], 0);
        unseen.add(Term.at(i));
      }
    }
    return new Solution(scale, lower, unseen);
  }

  /** What the points say. Holds no reference to the sums, so that more points do not change it. */
  public final class Solution {
    private final double[] scale;
    private final double[][] lower;
    private final Set<Term> unseen;
    private final double[] coefficients;
    private final double residualSquare;
    private final long points = count;

    private Solution(double[] scale, double[][] lower, Set<Term> unseen) {
      this.scale = scale;
      this.lower = lower;
      this.unseen = unseen;
      coefficients = solved(along);
      residualSquare = Math.max(0, square - Combinations.dot(coefficients, along, along.length));
    }

    private Solution(Solution first, double[] coefficients, double residualSquare) {
      scale = first.scale;
      lower = first.lower;
      unseen = first.unseen;
      this.coefficients = coefficients;
      this.residualSquare = residualSquare;
    }

    /** (XᵀX)⁻¹ v over the terms seen. */
    private double[] solved(double[] v) {
      int size = scale.length;
      double[] x = new double[size];
      for (int i = 0; i < size; i++) {
        double s = v[i] * scale[i] - Combinations.dot(lower[i], x, i);
        x[i] = lower[i][i] > 0 ? s / lower[i][i] : 0;
      }
      for (int i = size - 1; i >= 0; i--) {
        x[i] = lower[i][i] > 0 ? x[i] / lower[i][i] : 0;
        Combinations.addTimes(x, -x[i], lower[i], i);
      }
      for (int i = 0; i < size; i++) {
        x[i] *= scale[i];
      }
      return x;
    }

    /** The fitted field; terms the points cannot see are 0. */
    public Expansion expansion() {
      return new Expansion(basis.referenceRadius(), coefficients);
    }

    /** Terms that the points do not determine. */
    public Set<Term> unseen() {
      return Set.copyOf(unseen);
    }

    /**
     * Σ r². Before a correction it is the difference of two sums, good to 1e-16 of Σ y²; after one
     * it is that of the field before it, summed point by point.
     */
    public double residualSumOfSquares() {
      return residualSquare;
    }

    /** Covariance of the coefficients from the scatter that the residuals show. */
    public Covariance covariance() {
      int size = scale.length;
      double variance = residualSquare / (points - (size - unseen.size()));
      double[] c = new double[size * size];
      double[] unit = new double[size];
      for (int i = 0; i < size; i++) {
        Arrays.fill(unit, 0);
        unit[i] = variance;
        System.arraycopy(lower[i][i] > 0 ? solved(unit) : new double[size], 0, c, i * size, size);
      }
      return new Covariance(size, c);
    }

    /** A second look at the same points. */
    public Correction correction() {
      return new Correction(this);
    }
  }

  /** Gathers what a solution leaves of the points it came from, and takes it into account. */
  public final class Correction {
    private final Solution first;
    private final double[] left = new double[along.length]; // Xᵀr
    private double leftSquare;

    private Correction(Solution first) {
      this.first = first;
    }

    /** Takes the same points again, in any portions. */
    public void add(Vec3[] points, double[] values) {
      double[] h = new double[left.length];
      for (int i = 0; i < points.length; i++) {
        Vec3 p = points[i];
        basis.evaluate(p.x(), p.y(), p.z(), h, 0);
        double r = values[i] - Combinations.dot(first.coefficients, h, h.length);
        Combinations.addTimes(left, r, h, h.length);
        leftSquare += r * r;
      }
    }

    /** Takes over what another correction of the same solution has seen. */
    public void merge(Correction other) {
      Combinations.addTimes(left, 1, other.left, left.length);
      leftSquare += other.leftSquare;
    }

    public Solution solve() {
      double[] better = first.solved(left);
      Combinations.addTimes(better, 1, first.coefficients, better.length);
      return new Solution(first, better, leftSquare);
    }
  }
}
