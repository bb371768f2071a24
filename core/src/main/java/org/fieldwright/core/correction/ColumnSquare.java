package org.fieldwright.core.correction;

import java.util.List;
import org.fieldwright.core.Vectors;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.homogeneity.MeanSquareForm;

/**
 * The mean square of the field about its mean as it depends on the values x of the columns: square
 * + 2 slopeᵀx + xᵀ product x.
 *
 * @param product AᵀWA, by column and column, ppm²
 * @param slope AᵀW·field before, by column, ppm²
 * @param square of the field before, ppm²
 */
@SuppressWarnings("ArrayRecordComponent") // flat arrays for the inner loops; nobody writes to them
record ColumnSquare(double[][] product, double[] slope, double square) {

  /**
   * Of a field and its columns.
   *
   * @param before the field that the columns add to, ppm
   * @param columns what one unit of each column adds, ppm, of one degree and radius
   * @param form the mean square that counts, of the same degree and radius
   */
  static ColumnSquare of(Expansion before, List<Expansion> columns, MeanSquareForm form) {
    int n = columns.size();
    Expansion like = columns.get(0);
    double[] field =
        before.withReferenceRadius(like.referenceRadius()).withDegree(like.degree()).coefficients();
    double[][] c = columns.stream().map(Expansion::coefficients).toArray(double[][]::new);
    double[] weightedField = form.times(field);
    double[] slope = new double[n];
    double[][] product = new double[n][n];
    for (int j = 0; j < n; j++) {
      double[] weighted = form.times(c[j]);
      slope[j] = Vectors.dot(c[j], weightedField);
      for (int k = 0; k < n; k++) {
        product[j][k] = Vectors.dot(c[k], weighted);
      }
    }
    return new ColumnSquare(product, slope, Vectors.dot(field, weightedField));
  }

  /** The mean square at values of the columns, ppm². */
  double of(double[] x) {
    double sum = square;
    for (int j = 0; j < x.length; j++) {
      if (x[j] != 0) {
        sum += x[j] * (2 * slope[j] + Vectors.dot(product[j], x));
      }
    }
    return sum;
  }

  /** This and a multiple of another. */
  ColumnSquare plus(ColumnSquare other, double factor) {
    double[][] sum = new double[product.length][];
    for (int j = 0; j < sum.length; j++) {
      sum[j] = plus(product[j], other.product[j], factor);
    }
    return new ColumnSquare(sum, plus(slope, other.slope, factor), square + factor * other.square);
  }

  private static double[] plus(double[] a, double[] b, double factor) {
    double[] sum = a.clone();
    Vectors.add(sum, factor, b);
    return sum;
  }
}
