package org.fieldwright.core.stability;

import java.util.Arrays;
import org.fieldwright.core.Vectors;

/**
 * Weighted least squares of a {@link SeparableModel}: variable projection (G. H. Golub and V.
 * Pereyra, 1973, with L. Kaufman's Jacobian of 1975) by Levenberg–Marquardt steps in the shape
 * parameters alone, then Gauss–Newton steps in all parameters until rounding stops them. Checked
 * against the certified values of NIST StRD (MGH17, Lanczos3, Misra1a, Eckerle4) from both of their
 * starting points.
 */
final class SeparableFit {
  private static final int MOST_ITERATIONS = 400;
  private static final int POLISH = 12;

  /**
   * Longest steps of a shape parameter that are tried, in its own unit. Two exponentials that meet
   * do not part again, and whether they meet depends on how far a step may go: the best end counts.
   */
  private static final double[] LONGEST_STEPS = {0.5, 1, 3};

  private final SeparableModel model;
  private final double[] t;
  private final double[] y;
  private final double[] weight;

  private double[] alpha;
  private double[] coefficients = new double[0];
  private double[] residual = new double[0];
  private double squares;
  private Dense.LeastSquares full;

  /**
   * Fits from a start.
   *
   * @param weight square roots of the statistical weights
   * @param start shape parameters
   * @param unit of the shape parameters: 1 for logarithms
   */
  SeparableFit(
      SeparableModel model, double[] t, double[] y, double[] weight, double[] start, double unit) {
    this(model, t, y, weight, start);
    double[] best = start.clone();
    double least = Double.POSITIVE_INFINITY;
    for (double step : LONGEST_STEPS) {
      alpha = start.clone();
      double value = search(step * unit);
      if (value < least) {
        least = value;
        best = alpha;
      }
    }
    alpha = best.clone();
    project(alpha);
    full = polish();
  }

  /** Sum of squares of the best linear coefficients at these shapes, without fitting further. */
  static double squaresAt(
      SeparableModel model, double[] t, double[] y, double[] weight, double[] alpha) {
    SeparableFit probe = new SeparableFit(model, t, y, weight, alpha);
    return probe.project(alpha);
  }

  private SeparableFit(
      SeparableModel model, double[] t, double[] y, double[] weight, double[] alpha) {
    this.model = model;
    this.t = t;
    this.y = y;
    this.weight = weight;
    this.alpha = alpha;
    this.full = Dense.leastSquares(new double[0][], new double[0]);
  }

  double[] coefficients() {
    return coefficients.clone();
  }

  double[] shapes() {
    return alpha.clone();
  }

  /** Weighted sum of squared residuals. */
  double squares() {
    return squares;
  }

  /**
   * Standard uncertainty of a parameter from the scatter of the residuals taken as white, linear
   * coefficients first, then shapes.
   */
  double uncertainty(int parameter) {
    int p = model.functions() + model.shapes();
    return Math.sqrt(full.inverseNormal()[parameter * p + parameter] * squares / (t.length - p));
  }

  private double search(double longestStep) {
    double damping = 1e-3;
    double value = project(alpha);
    int quiet = 0;
    for (int i = 0; i < MOST_ITERATIONS && quiet < 3; i++) {
      double[][] jacobian = kaufman();
      double[] step = step(jacobian, damping);
      double[] trial = new double[alpha.length];
      for (int q = 0; q < trial.length; q++) {
        trial[q] = alpha[q] + Math.max(-longestStep, Math.min(longestStep, step[q]));
      }
      double trialValue = project(trial);
      if (trialValue < value) {
        quiet = value - trialValue < 1e-13 * value ? quiet + 1 : 0;
        alpha = trial;
        value = trialValue;
        damping = Math.max(damping / 5, 1e-12);
      } else {
        quiet = damping > 1e10 ? 3 : quiet;
        damping *= 4;
        project(alpha);
      }
    }
    return value;
  }

  /** Best linear coefficients at these shapes; leaves coefficients and weighted residual behind. */
  private double project(double[] shapes) {
    double[][] columns = weightedFunctions(shapes);
    residual = new double[t.length];
    for (int i = 0; i < t.length; i++) {
      residual[i] = weight[i] * y[i];
    }
    double[] scale = normalise(columns);
    Dense.LeastSquares linear = Dense.leastSquares(columns, residual);
    coefficients = linear.coefficients();
    for (int k = 0; k < coefficients.length; k++) {
      coefficients[k] /= scale[k];
    }
    squares = linear.squares();
    basis = columns;
    return Double.isFinite(squares) ? squares : Double.POSITIVE_INFINITY;
  }

  /** Orthonormal basis of the functions at the last projection. */
  private double[][] basis = new double[0][];

  private double[][] weightedFunctions(double[] shapes) {
    int k = model.functions();
    double[][] columns = new double[k][t.length];
    double[] phi = new double[k];
    double[] slopes = new double[k * model.shapes()];
    for (int i = 0; i < t.length; i++) {
      model.at(t[i], shapes, phi, slopes);
      for (int j = 0; j < k; j++) {
        columns[j][i] = weight[i] * phi[j];
      }
    }
    return columns;
  }

  private static double[] normalise(double[][] columns) {
    double[] scale = new double[columns.length];
    for (int j = 0; j < columns.length; j++) {
      scale[j] = Math.sqrt(Vectors.dot(columns[j], columns[j]));
      scale[j] = scale[j] > 0 ? scale[j] : 1;
      for (int i = 0; i < columns[j].length; i++) {
        columns[j][i] /= scale[j];
      }
    }
    return scale;
  }

  /** −P⊥ ∂Φ/∂α c: how the residual changes with the shapes. */
  private double[][] kaufman() {
    double[][] jacobian = shapeColumns();
    for (double[] column : jacobian) {
      for (double[] unit : basis) {
        double part = Vectors.dot(column, unit);
        for (int i = 0; i < column.length; i++) {
          column[i] -= part * unit[i];
        }
      }
    }
    return jacobian;
  }

  /** Σ c ∂φ/∂α, weighted, for each shape. */
  private double[][] shapeColumns() {
    int k = model.functions();
    int q = model.shapes();
    double[][] columns = new double[q][t.length];
    double[] phi = new double[k];
    double[] slopes = new double[k * q];
    for (int i = 0; i < t.length; i++) {
      model.at(t[i], alpha, phi, slopes);
      for (int j = 0; j < q; j++) {
        for (int f = 0; f < k; f++) {
          columns[j][i] += weight[i] * coefficients[f] * slopes[f * q + j];
        }
      }
    }
    return columns;
  }

  /** Marquardt's step: least squares with rows of damping below. */
  private double[] step(double[][] jacobian, double damping) {
    int q = jacobian.length;
    int n = t.length;
    double[][] extended = new double[q][];
    double[] right = Arrays.copyOf(residual, n + q);
    double[] scale = normalise(jacobian);
    for (int j = 0; j < q; j++) {
      extended[j] = Arrays.copyOf(jacobian[j], n + q);
      extended[j][n + j] = Math.sqrt(damping);
    }
    double[] step = Dense.leastSquares(extended, right).coefficients();
    for (int j = 0; j < q; j++) {
      step[j] /= scale[j];
    }
    return step;
  }

  /** Gauss–Newton in all parameters; stops when the steps no longer shrink. */
  private Dense.LeastSquares polish() {
    double last = Double.POSITIVE_INFINITY;
    Dense.LeastSquares solution = fullStep();
    for (int i = 0; i < POLISH; i++) {
      double size = 0;
      double[] step = solution.coefficients();
      int k = coefficients.length;
      for (int j = 0; j < step.length; j++) {
        double now = j < k ? coefficients[j] : alpha[j - k];
        size = Math.max(size, Math.abs(step[j]) / (Math.abs(now) + 1e-300));
      }
      if (!(size < 1e-3) || size >= last) {
        break;
      }
      for (int j = 0; j < step.length; j++) {
        if (j < k) {
          coefficients[j] += step[j];
        } else {
          alpha[j - k] += step[j];
        }
      }
      last = size;
      solution = fullStep();
    }
    return solution;
  }

  private Dense.LeastSquares fullStep() {
    double[][] functions = weightedFunctions(alpha);
    double[][] shapes = shapeColumns();
    double[][] columns = Arrays.copyOf(functions, functions.length + shapes.length);
    System.arraycopy(shapes, 0, columns, functions.length, shapes.length);
    residual = new double[t.length];
    squares = 0;
    for (int i = 0; i < t.length; i++) {
      double sum = weight[i] * y[i];
      for (int k = 0; k < functions.length; k++) {
        sum -= coefficients[k] * functions[k][i];
      }
      residual[i] = sum;
      squares += sum * sum;
    }
    double[] scale = normalise(columns);
    Dense.LeastSquares solution = Dense.leastSquares(columns, residual.clone());
    int p = scale.length;
    for (int i = 0; i < p; i++) {
      solution.coefficients()[i] /= scale[i];
      for (int j = 0; j < p; j++) {
        solution.inverseNormal()[i * p + j] /= scale[i] * scale[j];
      }
    }
    return solution;
  }
}
