package org.fieldwright.core.harmonic;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.CommonOps_DDRM;
import org.fieldwright.core.geometry.Vec3;
import org.jspecify.annotations.Nullable;

/**
 * Where the array stands in a field that an earlier survey measured, from readings of one or a few
 * angles, and how far it is to go to where it should stand.
 *
 * <p>Each reading is the earlier field where its probe stands now, besides a level of the field for
 * each angle, because the magnet drifts. The displacement of the array's centre, those levels and
 * the errors of the angles are found by Gauss–Newton on the expansion itself, at the displaced
 * probes; generalised least squares with the readings' own uncertainties and the covariance of the
 * earlier model. Of a displacement only what changes the differences between the probes is seen: a
 * field that does not vary across the plane of the probes says nothing of the displacement across
 * it. So each direction starts from {@value #BELIEVED} m, and one whose uncertainty stays above
 * {@value #UNSEEN} m is not seen.
 *
 * @param shift of the array's centre from where it was in the earlier survey, m
 * @param components what is to be done, along two directions across the bore and along it
 * @param misfit χ² by degree of freedom; well above 1, the field is not that of the earlier survey
 *     any more or an angle is wrong. All uncertainties are widened by its root
 * @param leftOut readings, counted from 0, that do not fit the others
 */
public record Seating(
    Vec3 shift, List<Component> components, double misfit, List<Integer> leftOut) {
  private static final double BELIEVED = 0.02;
  private static final double UNSEEN = 0.01;
  private static final int MOST_STEPS = 25;
  private static final double LONGEST_STEP = 0.005; // m
  private static final double OUTLIER = 5;

  public Seating {
    components = List.copyOf(components);
    leftOut = List.copyOf(leftOut);
  }

  /**
   * One direction.
   *
   * @param direction unit vector
   * @param move how far the array is to go along it, m
   * @param uncertainty one standard uncertainty, m
   * @param seen whether the readings tell
   */
  public record Component(Vec3 direction, double move, double uncertainty, boolean seen) {

    /** Whether nothing needs to be done, and that is certain enough. */
    public boolean within(double tolerance) {
      return seen && Math.abs(move) <= tolerance && uncertainty <= tolerance;
    }
  }

  /**
   * A probe as it reads now.
   *
   * @param place where it would stand if the array's centre were at the origin, m
   * @param angle which angle of the array it was read at, from 0
   * @param field T, its known offset taken off
   */
  public record Shown(Vec3 place, int angle, double field) {}

  /**
   * One standard uncertainty of each kind.
   *
   * @param readingPpm of one reading against the others
   * @param position of a probe in each direction, m
   * @param angle of one setting of the array, rad
   */
  public record Errors(double readingPpm, double position, double angle) {}

  /**
   * Finds out.
   *
   * @param model of the earlier survey
   * @param target where the array's centre should be along that survey's axes
   * @param anglesRad of the array, by number
   * @return null if too few probes read to tell anything
   */
  public static @Nullable Seating of(
      FieldModel model, Target target, List<Shown> readings, double[] anglesRad, Errors errors) {
    List<Integer> left = new ArrayList<>();
    while (readings.size() - left.size() >= 4 + 2 * anglesRad.length) {
      Solver solver = new Solver(model, readings, left, anglesRad.length, errors);
      solver.solve();
      int worst = left.size() < readings.size() / 4 ? solver.worst() : -1;
      if (worst < 0) {
        return solver.result(target, directions(anglesRad), left);
      }
      left.add(worst);
    }
    return null;
  }

  /**
   * Where the array's centre should be.
   *
   * @param at along the earlier survey's axes, m
   * @param response how it moves with the coefficients of the model, m/ppm; by x, y, z
   */
  @SuppressWarnings("ArrayRecordComponent") // shared, never written to
  public record Target(Vec3 at, double[][] response) {

    /** The magnetic centre of the model. */
    public static Target of(MagneticCentre centre, FieldModel model) {
      return new Target(centre.at(), centre.response(model));
    }

    /** Where the array's centre was in the earlier survey. */
    public static Target asBefore(FieldModel model) {
      return new Target(Vec3.ZERO, new double[3][model.covariance().size()]);
    }
  }

  /** Along and across the plane of the probes for one angle; along x and y for several. */
  private static List<Vec3> directions(double[] anglesRad) {
    double a = anglesRad.length == 1 ? anglesRad[0] : 0;
    return List.of(
        new Vec3(Math.cos(a), Math.sin(a), 0),
        new Vec3(-Math.sin(a), Math.cos(a), 0),
        new Vec3(0, 0, 1));
  }

  /** Unknowns: displacement, then for each angle its level, ppm, and its error, rad. */
  private static final class Solver {
    private final FieldModel model;
    private final Expansion[] gradient;
    private final SolidHarmonics harmonics;
    private final List<Shown> used = new ArrayList<>();
    private final List<Integer> rows = new ArrayList<>();
    private final int unknowns;
    private final Errors errors;
    private final double[] p;
    private double least;

    private DMatrixRMaj jacobian = new DMatrixRMaj(0, 0);
    private DMatrixRMaj basis = new DMatrixRMaj(0, 0);
    private DMatrixRMaj weight = new DMatrixRMaj(0, 0);
    private DMatrixRMaj inverse = new DMatrixRMaj(0, 0);
    private double[] variances = new double[0];

    Solver(FieldModel model, List<Shown> readings, List<Integer> left, int angles, Errors errors) {
      this.model = model;
      this.errors = errors;
      gradient = model.ppm().gradient();
      harmonics = new SolidHarmonics(model.ppm().degree(), model.ppm().referenceRadius());
      for (int i = 0; i < readings.size(); i++) {
        if (!left.contains(i)) {
          used.add(readings.get(i));
          rows.add(i);
        }
      }
      unknowns = 3 + 2 * angles;
      p = new double[unknowns];
      for (Shown shown : used) {
        p[3 + 2 * shown.angle()] = ppm(shown); // a start; the level is linear
      }
    }

    private double ppm(Shown shown) {
      return (shown.field() / model.centreField() - 1) * 1e6;
    }

    private Vec3 place(Shown shown, double[] at) {
      double turn = at[4 + 2 * shown.angle()];
      Vec3 r = shown.place();
      double c = Math.cos(turn);
      double s = Math.sin(turn);
      return new Vec3(c * r.x() - s * r.y() + at[0], s * r.x() + c * r.y() + at[1], r.z() + at[2]);
    }

    /** Gauss–Newton with the weights of each place; ends where the step is a tenth of a micron. */
    void solve() {
      for (int step = 0; step < MOST_STEPS; step++) {
        weigh();
        DMatrixRMaj right = new DMatrixRMaj(unknowns, 1);
        DMatrixRMaj jw = weighedJacobian();
        CommonOps_DDRM.mult(jw, new DMatrixRMaj(used.size(), 1, true, residuals()), right);
        DMatrixRMaj normal = new DMatrixRMaj(unknowns, unknowns);
        CommonOps_DDRM.mult(jw, jacobian, normal);
        for (int k = 0; k < unknowns; k++) {
          normal.add(k, k, prior(k));
          right.add(k, 0, -prior(k) * p[k]);
        }
        inverse = new DMatrixRMaj(unknowns, unknowns);
        if (!CommonOps_DDRM.invert(normal, inverse)) {
          throw new IllegalStateException("levels without readings");
        }
        DMatrixRMaj move = new DMatrixRMaj(unknowns, 1);
        CommonOps_DDRM.mult(inverse, right, move);
        double length = new Vec3(move.get(0, 0), move.get(1, 0), move.get(2, 0)).norm();
        double part = Math.min(1, LONGEST_STEP / Math.max(length, 1e-12));
        for (int k = 0; k < unknowns; k++) {
          p[k] += part * move.get(k, 0);
        }
        if (length < 1e-7) {
          break;
        }
      }
      weigh();
      least = chiSquare(residuals());
    }

    private DMatrixRMaj weighedJacobian() {
      DMatrixRMaj jw = new DMatrixRMaj(unknowns, used.size());
      CommonOps_DDRM.multTransA(jacobian, weight, jw);
      return jw;
    }

    /** Weight of the starting knowledge of an unknown. */
    private double prior(int k) {
      if (k < 3) {
        return 1 / (BELIEVED * BELIEVED);
      }
      return k % 2 == 1 ? 0 : 1 / (errors.angle() * errors.angle());
    }

    private void weigh() {
      int n = used.size();
      int size = model.covariance().size();
      jacobian = new DMatrixRMaj(n, unknowns);
      basis = new DMatrixRMaj(n, size);
      variances = new double[n];
      for (int i = 0; i < n; i++) {
        Shown shown = used.get(i);
        Vec3 at = place(shown, p);
        Vec3 slope = Expansion.at(gradient, at);
        double[] h = harmonics.evaluate(at);
        for (int k = 0; k < size; k++) {
          basis.set(i, k, h[k]);
        }
        jacobian.set(i, 0, slope.x());
        jacobian.set(i, 1, slope.y());
        jacobian.set(i, 2, slope.z());
        jacobian.set(i, 3 + 2 * shown.angle(), 1);
        Vec3 r = shown.place();
        jacobian.set(i, 4 + 2 * shown.angle(), slope.y() * r.x() - slope.x() * r.y());
        variances[i] =
            errors.readingPpm() * errors.readingPpm()
                + Math.pow(errors.position() * slope.norm(), 2);
      }
      DMatrixRMaj covariance = new DMatrixRMaj(n, n);
      DMatrixRMaj half = new DMatrixRMaj(n, size);
      CommonOps_DDRM.mult(
          basis, new DMatrixRMaj(size, size, true, model.covariance().values()), half);
      CommonOps_DDRM.multTransB(half, basis, covariance);
      for (int i = 0; i < n; i++) {
        covariance.add(i, i, variances[i]);
      }
      weight = new DMatrixRMaj(n, n);
      if (!CommonOps_DDRM.invert(covariance, weight)) {
        throw new IllegalArgumentException("the readings carry no uncertainty");
      }
    }

    private double[] residuals() {
      double[] r = new double[used.size()];
      for (int i = 0; i < r.length; i++) {
        Shown shown = used.get(i);
        r[i] = ppm(shown) - model.ppm().at(place(shown, p)) - p[3 + 2 * shown.angle()];
      }
      return r;
    }

    private double chiSquare(double[] r) {
      DMatrixRMaj column = new DMatrixRMaj(r.length, 1, true, r);
      DMatrixRMaj weighed = new DMatrixRMaj(r.length, 1);
      CommonOps_DDRM.mult(weight, column, weighed);
      return CommonOps_DDRM.dot(column, weighed);
    }

    /**
     * The reading that the others contradict most, by its weighed residual (W r)_i/√W_ii, which is
     * its distance from what the others predict in standard uncertainties of that; held against the
     * median, so that a changed field does not make outliers of everything. −1 if none.
     */
    int worst() {
      double[] r = residuals();
      DMatrixRMaj weighed = new DMatrixRMaj(r.length, 1);
      CommonOps_DDRM.mult(weight, new DMatrixRMaj(r.length, 1, true, r), weighed);
      double[] score = new double[r.length];
      int worst = 0;
      for (int i = 0; i < r.length; i++) {
        score[i] = Math.abs(weighed.get(i, 0)) / Math.sqrt(weight.get(i, i));
        worst = score[i] > score[worst] ? i : worst;
      }
      double[] sorted = score.clone();
      Arrays.sort(sorted);
      double usual = Math.max(1, 1.4826 * sorted[sorted.length / 2]);
      return score[worst] > OUTLIER * usual ? rows.get(worst) : -1;
    }

    Seating result(Target target, List<Vec3> directions, List<Integer> left) {
      double misfit = least / Math.max(1, used.size() - unknowns + 3);
      double widened = Math.sqrt(Math.max(1, misfit));
      Vec3 shift = new Vec3(p[0], p[1], p[2]);
      Vec3 move = target.at().minus(shift);
      DMatrixRMaj gain = new DMatrixRMaj(unknowns, used.size());
      CommonOps_DDRM.mult(inverse, weighedJacobian(), gain);
      List<Component> components = new ArrayList<>();
      for (Vec3 d : directions) {
        double u = widened * Math.sqrt(variance(target, d, gain));
        components.add(new Component(d, move.dot(d), u, u < UNSEEN));
      }
      return new Seating(shift, components, misfit, left);
    }

    /**
     * Of the distance from the array's centre to the target along a direction. The model's errors
     * move both: the gain G of the readings carries −Φ c into the displacement, and the target
     * moves with the coefficients by its own response.
     */
    private double variance(Target target, Vec3 d, DMatrixRMaj gain) {
      double[] axis = {d.x(), d.y(), d.z()};
      double[] byCoefficient = new double[model.covariance().size()];
      double variance = 0;
      for (int i = 0; i < used.size(); i++) {
        double g = 0;
        for (int k = 0; k < 3; k++) {
          g += axis[k] * gain.get(k, i);
        }
        variance += g * g * variances[i];
        for (int j = 0; j < byCoefficient.length; j++) {
          byCoefficient[j] += g * basis.get(i, j);
        }
      }
      for (int j = 0; j < byCoefficient.length; j++) {
        for (int k = 0; k < 3; k++) {
          byCoefficient[j] += axis[k] * target.response()[k][j];
        }
      }
      for (int k = 0; k < unknowns; k++) {
        double a = 0;
        for (int j = 0; j < 3; j++) {
          a += axis[j] * inverse.get(j, k);
        }
        variance += a * a * prior(k);
      }
      return variance + Math.max(0, model.covariance().varianceOf(byCoefficient));
    }
  }
}
