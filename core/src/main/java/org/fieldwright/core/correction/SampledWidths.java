package org.fieldwright.core.correction;

import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import org.fieldwright.core.Vectors;
import org.fieldwright.core.correction.IronColumns.Column;
import org.fieldwright.core.correction.IronSystem.Errors;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.SolidHarmonics;
import org.fieldwright.core.harmonic.Term;
import org.hipparchus.special.Erf;

/**
 * How wide the field gets, over draws of what pieces and places do wrong, as one smooth function of
 * the column values: the sample average approximation of the promise (Shapiro, Dentcheva and
 * Ruszczyński 2009, ch. 5).
 *
 * <p>For every draw the width is smoothed, (1/β)(ln Σ e^{β f} + ln Σ e^{−β f}) over points of the
 * surface, and the widths are put together as (1/q) ln mean e^{q w}, which stands for the upper end
 * of their distribution the more the larger q. The errors are those of {@link PieceErrors}, to
 * first order, as expansions of low degree: they are small and what they do at high degree is
 * smaller.
 */
final class SampledWidths implements ProjectedDescent.Objective {
  private static final double SPACING_DEG = 7;
  private static final int DEGREE = 10;
  private static final double SPREAD = 2;

  private final double[] before;
  private final double[][] response; // by column and point
  private final double[][] basis; // by coefficient and point
  private final double[][][] shape; // by column and 0 field, 1..3 slope along x, y, z: coefficients
  private final double[][][] error; // by draw and column: own, common, three displacements
  private final double[] smear; // by column, ppm² per piece²
  private final double own;
  private double sharpness = 1;
  private double severity = 0.3;

  /**
   * @param requirement number of the one whose volume counts
   * @param draws how many
   * @param seed of the draws; not the one that the promise is made from
   */
  SampledWidths(
      ShimProblem problem, int requirement, IronColumns iron, Errors errors, int draws, long seed) {
    this.own = errors.pieceMass();
    Volume volume = problem.requirements().get(requirement).volume();
    TargetSurface surface = new TargetSurface(volume, Math.toRadians(SPACING_DEG));
    TargetPoints points = new TargetPoints(problem, List.of(surface));
    before = new double[points.size()];
    points.field(new double[problem.size()], before);
    response = new double[problem.size()][];
    Arrays.setAll(response, j -> Arrays.copyOf(points.response(j), points.size()));
    SolidHarmonics harmonics = new SolidHarmonics(DEGREE, volume.outerRadius());
    basis = new double[Term.count(DEGREE)][points.size()];
    double[] at = new double[harmonics.count()];
    for (int i = 0; i < points.size(); i++) {
      harmonics.evaluate(surface.x[i], surface.y[i], surface.z[i], at, 0);
      for (int c = 0; c < basis.length; c++) {
        basis[c][i] = at[c];
      }
    }
    shape = new double[iron.count()][4][];
    Arrays.setAll(shape, j -> iron.series(j, DEGREE, volume.outerRadius()));
    smear = smear(errors.position());
    error = draw(iron, errors, draws, seed);
  }

  /**
   * What is common to a kind is drawn in strata of equal probability, what is each place's own in
   * pairs of opposite sign: both lessen how far so few draws are from the whole distribution.
   */
  private static double[][][] draw(IronColumns iron, Errors errors, int draws, long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    double spread = Math.hypot(errors.lotMass(), errors.strength());
    double[][][] drawn = new double[draws][iron.count()][];
    Map<String, double[]> common = new HashMap<>();
    for (int s = 0; s < draws; s++) {
      Map<Place, double[]> displacement = new HashMap<>();
      for (int j = 0; j < iron.count(); j++) {
        Column column = iron.column(j);
        double[] strata = common.computeIfAbsent(column.piece().id(), id -> strata(random, draws));
        Place place = column.places().get(0);
        double[] off =
            displacement.computeIfAbsent(
                new Place(place.tray(), place.pocket(), ""), p -> normal(random, 3));
        double mass = random.nextGaussian();
        double factor = 1 + spread * strata[s];
        double sigma = errors.position();
        drawn[s][j] =
            s % 2 == 0
                ? new double[] {mass, factor, sigma * off[0], sigma * off[1], sigma * off[2]}
                : opposite(drawn[s - 1][j], factor);
      }
    }
    return drawn;
  }

  private static double[] opposite(double[] draw, double factor) {
    double[] other = Arrays.stream(draw).map(v -> -v).toArray();
    other[1] = factor;
    return other;
  }

  private static double[] normal(SplittableRandom random, int count) {
    double[] z = new double[count];
    Arrays.setAll(z, i -> random.nextGaussian());
    return z;
  }

  /** A standard normal variable in the middle of strata of equal probability, shuffled. */
  private static double[] strata(SplittableRandom random, int count) {
    double[] strata = new double[count];
    for (int s = 0; s < count; s++) {
      strata[s] = Math.sqrt(2) * Erf.erfInv(2 * (s + 0.5) / count - 1);
    }
    for (int s = count - 1; s > 0; s--) {
      int other = random.nextInt(s + 1);
      double swapped = strata[s];
      strata[s] = strata[other];
      strata[other] = swapped;
    }
    return strata;
  }

  /**
   * @param newSharpness β, 1/ppm
   * @param newSeverity q, 1/ppm
   */
  void set(double newSharpness, double newSeverity) {
    sharpness = newSharpness;
    severity = newSeverity;
  }

  /**
   * A cheap stand-in to start from: the smoothed width without errors, and {@link #SPREAD} times
   * what displaced pockets add to the surface's RMS (Schmidt: Σ c²/(2n + 1)).
   */
  double smeared(double[] x, double[] gradient) {
    double[] field = nominal(x);
    double width = smoothWidth(field);
    double square = 1e-12;
    for (int j = 0; j < shape.length; j++) {
      square += smear[j] * x[j] * x[j];
    }
    double root = Math.sqrt(square);
    for (int j = 0; j < response.length; j++) {
      gradient[j] = Vectors.dot(response[j], field);
      if (j < shape.length) {
        gradient[j] += SPREAD * smear[j] * x[j] / root;
      }
    }
    return width + SPREAD * root;
  }

  /** Mean square over the surface of what displacing one piece by σ in each direction adds. */
  private double[] smear(double position) {
    double[] squares = new double[shape.length];
    for (int j = 0; j < shape.length; j++) {
      for (int k = 1; k <= 3; k++) {
        for (int c = 1; c < basis.length; c++) {
          double v = position * shape[j][k][c];
          squares[j] += v * v / (2 * Term.at(c).n() + 1);
        }
      }
    }
    return squares;
  }

  /** Widths over the points, not smoothed, by draw. */
  double[] widths(double[] x) {
    double[] nominal = nominal(x);
    double[] widths = new double[error.length];
    for (int s = 0; s < widths.length; s++) {
      double[] field = field(nominal, x, error[s]);
      widths[s] = Arrays.stream(field).max().orElse(0) - Arrays.stream(field).min().orElse(0);
    }
    return widths;
  }

  @Override
  public double at(double[] x, double[] gradient) {
    int draws = error.length;
    double[] nominal = nominal(x);
    double[] widths = new double[draws];
    double[][] slopes = new double[draws][];
    for (int s = 0; s < draws; s++) {
      slopes[s] = field(nominal, x, error[s]);
      widths[s] = smoothWidth(slopes[s]);
    }
    double most = Arrays.stream(widths).max().orElse(0);
    double[] weight = new double[draws];
    Arrays.setAll(weight, s -> Math.exp(severity * (widths[s] - most)));
    double all = Arrays.stream(weight).sum();
    Arrays.fill(gradient, 0);
    double[] total = new double[before.length];
    for (int s = 0; s < draws; s++) {
      double share = weight[s] / all;
      for (int i = 0; i < total.length; i++) {
        slopes[s][i] *= share;
        total[i] += slopes[s][i];
      }
      addErrorSlope(gradient, x, error[s], slopes[s]);
    }
    for (int j = 0; j < response.length; j++) {
      gradient[j] += Vectors.dot(response[j], total);
    }
    return most + Math.log(all / draws) / severity;
  }

  private double[] nominal(double[] x) {
    double[] field = before.clone();
    for (int j = 0; j < response.length; j++) {
      Vectors.add(field, x[j], response[j]);
    }
    return field;
  }

  private double[] field(double[] nominal, double[] x, double[][] draw) {
    double[] c = new double[basis.length];
    for (int j = 0; j < shape.length; j++) {
      if (x[j] != 0) {
        double[] e = draw[j];
        Vectors.add(c, (x[j] + own * e[0] * x[j] / Math.sqrt(x[j] + 1)) * e[1] - x[j], shape[j][0]);
        for (int k = 1; k <= 3; k++) {
          Vectors.add(c, x[j] * e[1 + k], shape[j][k]);
        }
      }
    }
    double[] field = nominal.clone();
    for (int k = 0; k < c.length; k++) {
      Vectors.add(field, c[k], basis[k]);
    }
    return field;
  }

  /** What the errors of a draw add to the gradient. */
  private void addErrorSlope(double[] gradient, double[] x, double[][] draw, double[] slope) {
    double[] c = new double[basis.length];
    for (int k = 0; k < c.length; k++) {
      c[k] = Vectors.dot(basis[k], slope);
    }
    for (int j = 0; j < shape.length; j++) {
      double[] e = draw[j];
      double root = Math.sqrt(x[j] + 1);
      double amount = (1 + own * e[0] * (x[j] / 2 + 1) / (root * root * root)) * e[1] - 1;
      gradient[j] += amount * Vectors.dot(shape[j][0], c);
      for (int k = 1; k <= 3; k++) {
        gradient[j] += e[1 + k] * Vectors.dot(shape[j][k], c);
      }
    }
  }

  /** The smoothed width of a field, which is overwritten by the slope. */
  private double smoothWidth(double[] field) {
    double max = Double.NEGATIVE_INFINITY;
    double min = Double.POSITIVE_INFINITY;
    for (double v : field) {
      max = Math.max(max, v);
      min = Math.min(min, v);
    }
    double up = 0;
    double down = 0;
    double[] low = new double[field.length];
    for (int i = 0; i < field.length; i++) {
      low[i] = Math.exp(sharpness * (min - field[i]));
      field[i] = Math.exp(sharpness * (field[i] - max));
      up += field[i];
      down += low[i];
    }
    for (int i = 0; i < field.length; i++) {
      field[i] = field[i] / up - low[i] / down;
    }
    return max - min + (Math.log(up) + Math.log(down)) / sharpness;
  }
}
