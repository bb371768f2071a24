package org.fieldwright.core.harmonic;

import java.util.List;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.CommonOps_DDRM;
import org.ejml.dense.row.factory.DecompositionFactory_DDRM;
import org.ejml.interfaces.decomposition.EigenDecomposition_F64;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.FieldModel.Share;

/** Turns a finished fit into a {@link FieldModel}. */
public final class FieldModels {
  private FieldModels() {}

  /**
   * The model of a finished fit.
   *
   * @param fit of values in ppm of {@code referenceField}
   * @param referenceField T
   * @param errors what is stated
   * @param degreeReason why this degree
   */
  public static FieldModel of(
      FieldFit fit, double referenceField, ErrorSources errors, String degreeReason) {
    Expansion fitted = fit.expansion();
    double centreField = referenceField * (1 + fitted.coefficient(0) * 1e-6);
    double toCentre = referenceField / centreField;
    int size = Term.count(fit.degree());
    double[] total = new double[size * size];
    List<Share> shares = new CovarianceBuilder(fit, errors).build();
    for (Share share : shares) {
      double[] values = share.covariance().values();
      for (int i = 0; i < total.length; i++) {
        total[i] += values[i];
      }
    }
    return new FieldModel(
        fitted.times(toCentre).withConstant(0),
        centreField,
        fit.unseen(),
        new Covariance(size, total),
        shares,
        condition(fit),
        residualRms(fit) * toCentre,
        fit.degreesOfFreedom(),
        measuredRadius(fit),
        degreeReason);
  }

  /**
   * The same model about another point: coefficients moved exactly, the covariance with them. What
   * counts as measured shrinks to the largest sphere about the new centre inside the old one.
   *
   * @param to the new centre, m
   */
  public static FieldModel about(FieldModel model, Vec3 to) {
    int degree = model.ppm().degree();
    int size = Term.count(degree);
    Translation move = new Translation(degree, model.ppm().referenceRadius(), to);
    double[] c = move.apply(model.ppm().coefficients());
    double[][] columns = new double[size][];
    for (int k = 0; k < size; k++) {
      double[] unit = new double[size];
      unit[k] = 1;
      columns[k] = move.apply(unit);
    }
    List<Share> shares =
        model.shares().stream()
            .map(s -> new Share(s.source(), moved(s.covariance(), columns)))
            .toList();
    return new FieldModel(
        new Expansion(model.ppm().referenceRadius(), c).withConstant(0),
        model.centreField() * (1 + c[0] * 1e-6),
        model.unseen(),
        moved(model.covariance(), columns),
        shares,
        model.condition(),
        model.residualRmsPpm(),
        model.degreesOfFreedom(),
        model.measuredRadius() - to.norm(),
        model.degreeReason());
  }

  private static Covariance moved(Covariance c, double[][] columns) {
    int size = c.size();
    DMatrixRMaj t = new DMatrixRMaj(size, size);
    for (int k = 0; k < size; k++) {
      for (int i = 0; i < size; i++) {
        t.set(i, k, columns[k][i]);
      }
    }
    DMatrixRMaj half = new DMatrixRMaj(size, size);
    CommonOps_DDRM.mult(t, new DMatrixRMaj(size, size, true, c.values()), half);
    DMatrixRMaj whole = new DMatrixRMaj(size, size);
    CommonOps_DDRM.multTransB(half, t, whole);
    return new Covariance(size, whole.data);
  }

  private static double residualRms(FieldFit fit) {
    int dof = fit.degreesOfFreedom();
    double sum = 0;
    for (int i = 0; i < fit.rows(); i++) {
      double r = fit.residual(i) / fit.sampling().rootWeight(i);
      sum += fit.isSetAside(i) ? 0 : r * r;
    }
    return dof > 0 ? Math.sqrt(sum / dof) : 0;
  }

  private static double measuredRadius(FieldFit fit) {
    double r = 0;
    for (int i = 0; i < fit.rows(); i++) {
      r = fit.isSetAside(i) ? r : Math.max(r, fit.sampling().point(i).norm());
    }
    return r;
  }

  /**
   * The 2-norm condition number of the weighted matrix over the rows used, from the eigenvalues of
   * its Gram matrix; good to about 1e-16 × condition², relative.
   */
  private static double condition(FieldFit fit) {
    int p = fit.terms().size();
    DMatrixRMaj gram = new DMatrixRMaj(p, p, true, fit.gram());
    EigenDecomposition_F64<DMatrixRMaj> eigen = DecompositionFactory_DDRM.eig(p, false, true);
    if (!eigen.decompose(gram)) {
      return Double.NaN;
    }
    double least = Double.POSITIVE_INFINITY;
    double most = 0;
    for (int k = 0; k < p; k++) {
      double value = eigen.getEigenvalue(k).getReal();
      least = Math.min(least, value);
      most = Math.max(most, value);
    }
    return least > 0 ? Math.sqrt(most / least) : Double.POSITIVE_INFINITY;
  }
}
