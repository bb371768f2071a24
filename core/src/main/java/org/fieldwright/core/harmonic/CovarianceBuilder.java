package org.fieldwright.core.harmonic;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.FieldModel.Share;
import org.fieldwright.core.harmonic.FieldModel.Source;
import org.jspecify.annotations.Nullable;

/**
 * Covariance of a fit's coefficients by source of error.
 *
 * <p>An error common to several readings (a probe's position or offset, one angle, the drift) is a
 * pattern over the rows; the fit turns it into a pattern over the coefficients, whose outer product
 * is its covariance (JCGM 100:2008, 5.2, in matrix form). Errors of single readings add with the
 * usual (XᵀWX)⁻¹.
 *
 * <p>The scatter of the readings is what the residuals show beyond what the stated sources put into
 * them, and never less than what is stated for it.
 */
final class CovarianceBuilder {
  /** Scatter is at least this share of the residual variance when nothing is stated for it. */
  private static final double LEAST_SCATTER_SHARE = 0.05;

  private final FieldFit fit;
  private final ErrorSources errors;
  private final List<Term> terms;
  private final int size;
  private final int rows;
  private final Vec3[] gradient; // per metre, at each row
  private double correlatedResidual; // expected Σ r² from the patterns and independent positions
  private final List<Share> shares = new ArrayList<>();

  CovarianceBuilder(FieldFit fit, ErrorSources errors) {
    this.fit = fit;
    this.errors = errors;
    terms = fit.terms();
    size = Term.count(fit.degree());
    rows = fit.rows();
    gradient = fit.sampling().slopes(fit.expansion());
  }

  /** Every share, scatter first. */
  List<Share> build() {
    Sampling s = fit.sampling();
    boolean turning = s.size() > 0 && s.probe(0) >= 0;
    List<Share> stated = new ArrayList<>();
    if (errors.position() != null) {
      stated.add(turning ? probePositions(errors.position()) : pointPositions(errors.position()));
    }
    if (errors.angle() != null && turning) {
      stated.add(angles(errors.angle()));
    }
    if (errors.normalisationPpm() != null && turning) {
      stated.add(normalisation(errors.normalisationPpm()));
    }
    if (!errors.drift().isEmpty()) {
      stated.add(drift());
    }
    if (errors.fieldAxis() != null) {
      stated.add(modulus(errors.fieldAxis()));
    }
    shares.add(scatter(errors.readingPpm()));
    shares.addAll(stated);
    return shares;
  }

  private Share scatter(@Nullable Double statedPpm) {
    int dof = fit.degreesOfFreedom();
    double statedVariance = statedPpm == null ? 0 : statedPpm * statedPpm;
    double variance = statedVariance;
    if (dof > 0) {
      double seen = fit.residualSumOfSquares() / dof;
      double beyond = (fit.residualSumOfSquares() - correlatedResidual) / dof;
      double least = statedPpm == null ? LEAST_SCATTER_SHARE * seen : statedVariance;
      variance = Math.max(least, beyond);
    }
    double[] c = fit.unitCovariance();
    for (int i = 0; i < c.length; i++) {
      c[i] *= variance;
    }
    return new Share(Source.READING, new Covariance(size, placed(c)));
  }

  private Share probePositions(double sigma) {
    Patterns patterns = new Patterns();
    for (int probe = 0; probe < fit.sampling().probes(); probe++) {
      for (int axis = 0; axis < 3; axis++) {
        double[] pattern = new double[rows];
        for (int i = 0; i < rows; i++) {
          if (fit.sampling().probe(i) == probe) {
            pattern[i] = sigma * gradient[i].dot(localAxis(i, axis));
          }
        }
        patterns.add(pattern);
      }
    }
    return patterns.share(Source.POSITION);
  }

  /** Unit vector along r, θ or φ of a row's point. */
  private Vec3 localAxis(int row, int axis) {
    Vec3 p = fit.sampling().point(row);
    return switch (axis) {
      case 0 -> Vec3.spherical(1, p.polar(), p.azimuth());
      case 1 -> p.alongPolar();
      default -> p.alongAzimuth();
    };
  }

  private Share angles(double sigma) {
    Patterns patterns = new Patterns();
    for (int angle = 0; angle < fit.sampling().angles(); angle++) {
      double[] pattern = new double[rows];
      for (int i = 0; i < rows; i++) {
        if (fit.sampling().angle(i) == angle) {
          pattern[i] = sigma * alongTurn(i);
        }
      }
      patterns.add(pattern);
    }
    return patterns.share(Source.ANGLE);
  }

  /** ∂/∂φ of the field at a row, per radian. */
  private double alongTurn(int row) {
    return fit.sampling().point(row).cross(gradient[row]).z();
  }

  private Share normalisation(double sigma) {
    Patterns patterns = new Patterns();
    for (int probe = 0; probe < fit.sampling().probes(); probe++) {
      double[] pattern = new double[rows];
      for (int i = 0; i < rows; i++) {
        pattern[i] = fit.sampling().probe(i) == probe ? sigma : 0;
      }
      patterns.add(pattern);
    }
    return patterns.share(Source.NORMALISATION);
  }

  private Share drift() {
    Patterns patterns = new Patterns();
    for (ErrorSources.Pattern error : errors.drift()) {
      double[] pattern = new double[rows];
      for (int i = 0; i < rows; i++) {
        pattern[i] = error.at(i);
      }
      patterns.add(pattern);
    }
    return patterns.share(Source.DRIFT);
  }

  /** As wrong as |B| exceeds the component: nothing was taken off for it. */
  private Share modulus(Vec3 fieldAxis) {
    TransverseField transverse = new TransverseField(fit.expansion(), fieldAxis);
    double[] pattern = new double[rows];
    for (int i = 0; i < rows; i++) {
      pattern[i] = transverse.excess(fit.sampling().point(i));
    }
    Patterns patterns = new Patterns();
    patterns.add(pattern);
    return patterns.share(Source.MODULUS);
  }

  /** Free points err independently: a diagonal matrix instead of patterns. */
  private Share pointPositions(double sigma) {
    double[] variance = new double[rows];
    for (int i = 0; i < rows; i++) {
      double e = fit.isSetAside(i) ? 0 : sigma * gradient[i].norm() * weight(i);
      variance[i] = e * e;
      correlatedResidual += variance[i] * fit.redundancy(i);
    }
    return new Share(Source.POSITION, new Covariance(size, placed(fit.covariance(variance))));
  }

  /** A matrix over the terms fitted as one over all. */
  private double[] placed(double[] seen) {
    int p = terms.size();
    double[] all = new double[size * size];
    for (int i = 0; i < p; i++) {
      for (int j = 0; j < p; j++) {
        all[terms.get(i).index() * size + terms.get(j).index()] = seen[i * p + j];
      }
    }
    return all;
  }

  private double weight(int row) {
    return fit.sampling().rootWeight(row);
  }

  /** Gathers the covariance of patterns over the rows. */
  private final class Patterns {
    private final double[] covariance = new double[size * size];

    void add(double[] pattern) {
      double square = 0;
      for (int i = 0; i < rows; i++) {
        pattern[i] = fit.isSetAside(i) ? 0 : pattern[i] * weight(i);
        square += pattern[i] * pattern[i];
      }
      if (square == 0) {
        return;
      }
      FieldFit.Effect found = fit.effect(pattern);
      correlatedResidual += found.left();
      double[] effect = found.terms();
      for (int i = 0; i < effect.length; i++) {
        int row = terms.get(i).index() * size;
        for (int j = 0; j < effect.length; j++) {
          covariance[row + terms.get(j).index()] += effect[i] * effect[j];
        }
      }
    }

    Share share(Source source) {
      return new Share(source, new Covariance(size, covariance));
    }
  }
}
