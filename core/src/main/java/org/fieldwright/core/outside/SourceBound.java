package org.fieldwright.core.outside;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.factory.DecompositionFactory_DDRM;
import org.ejml.interfaces.decomposition.EigenDecomposition_F64;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.OrthonormalColumns;
import org.jspecify.annotations.Nullable;

/**
 * The Cramér–Rao bound of places and moments: σ² (JᵀJ)⁻¹ with J the derivatives of the readings,
 * nuisances taken out (S. M. Kay, Fundamentals of Statistical Signal Processing: Estimation Theory,
 * 1993, section 3.7). No unbiased estimate scatters less; the least squares estimate reaches it
 * where the noise is small enough for the model to be straight across it.
 */
final class SourceBound {
  /** 95 % of χ² with three degrees of freedom. */
  private static final double CHI2_95 = 7.814728;

  private final int own; // unknowns of one source
  private final int size;
  private final double[] covariance;

  private SourceBound(int own, int size, double[] covariance) {
    this.own = own;
    this.size = size;
    this.covariance = covariance;
  }

  /**
   * The bound at some sources; null where the readings do not determine them at all.
   *
   * @param scatter of a reading of weight one, ppm
   */
  static @Nullable SourceBound of(Remainder remainder, Sources s, double scatter) {
    int own = 3 + s.directions().size();
    OrthonormalColumns columns = new OrthonormalColumns(remainder.left().length, s.unknowns());
    for (int k = 0; k < s.count(); k++) {
      Vec3 at = s.positions().get(k);
      for (double[] slope : remainder.slopes(at, s.moment(k), SourceFit.AXES)) {
        columns.append(slope, SourceFit.DEPENDENT);
      }
      for (Vec3 direction : s.directions()) {
        columns.append(remainder.column(at, direction), SourceFit.DEPENDENT);
      }
    }
    int size = s.unknowns();
    if (columns.count() < size) {
      return null;
    }
    double[] covariance = columns.unitCovariance(size);
    for (int i = 0; i < covariance.length; i++) {
      covariance[i] *= scatter * scatter;
    }
    return new SourceBound(own, size, covariance);
  }

  /** A source with its uncertainties. */
  OutsideSource source(Sources s, int source, Vec3 axis) {
    DMatrixRMaj place = new DMatrixRMaj(3, 3);
    for (int i = 0; i < 3; i++) {
      for (int j = 0; j < 3; j++) {
        place.set(i, j, covariance[(source * own + i) * size + source * own + j]);
      }
    }
    Vec3 moment = s.moment(source);
    Vec3 along = moment.unit();
    double[] parts = s.directions().stream().mapToDouble(along::dot).toArray();
    return new OutsideSource(
        s.positions().get(source),
        moment,
        Math.sqrt(momentVariance(source, parts)),
        new Vec3(
            Math.sqrt(place.get(0, 0)), Math.sqrt(place.get(1, 1)), Math.sqrt(place.get(2, 2))),
        ellipsoid(place),
        along.dot(axis));
  }

  /** Semi-axes of the ellipsoid that holds 95 %, longest first. */
  private static List<Vec3> ellipsoid(DMatrixRMaj place) {
    EigenDecomposition_F64<DMatrixRMaj> eigen = DecompositionFactory_DDRM.eig(3, true, true);
    if (!eigen.decompose(place)) {
      throw new IllegalStateException("the covariance of a place has no axes");
    }
    List<Vec3> axes = new ArrayList<>();
    for (int k = 0; k < 3; k++) {
      DMatrixRMaj v = eigen.getEigenVector(k);
      double length = Math.sqrt(CHI2_95 * Math.max(0, eigen.getEigenvalue(k).getReal()));
      axes.add(new Vec3(v.get(0), v.get(1), v.get(2)).times(length));
    }
    axes.sort(Comparator.comparingDouble(a -> -a.norm()));
    return axes;
  }

  /** Variance of a source's moment along a unit vector made of its parts, (T·m³)². */
  private double momentVariance(int source, double[] parts) {
    int at = source * own + 3;
    double sum = 0;
    for (int i = 0; i < parts.length; i++) {
      for (int j = 0; j < parts.length; j++) {
        sum += parts[i] * parts[j] * covariance[(at + i) * size + at + j];
      }
    }
    return sum;
  }
}
