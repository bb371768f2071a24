package org.fieldwright.core.homogeneity;

import java.util.List;
import java.util.SplittableRandom;
import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.AngularSupport;
import org.fieldwright.core.harmonic.ErrorSources;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.FieldModels;
import org.fieldwright.core.harmonic.HarmonicDesign;
import org.fieldwright.core.harmonic.Sampling;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.harmonic.WorkingFit;
import org.jspecify.annotations.Nullable;

/**
 * Virtual surveys of random fields: 10 probes at Gauss–Legendre angles × 16 angles on 200 mm,
 * degree 6, every error drawn as large as it is stated and read where the probe really stood.
 *
 * @param name of the regime
 * @param first size of the first-degree coefficients, ppm
 * @param decay of the coefficients per degree
 * @param errors what is stated; the drift is that over the whole survey
 */
record SurveyTrial(String name, double first, double decay, ErrorSources errors) {
  static final int DEGREE = 6;
  private static final int PROBES = 10;
  private static final int ANGLES = 16;
  private static final double RADIUS = 0.2;
  private static final HarmonicDesign DESIGN = design();

  static SurveyTrial of(
      String name,
      double first,
      double decay,
      double reading,
      double position,
      double angle,
      double normalisation,
      double drift) {
    return new SurveyTrial(
        name,
        first,
        decay,
        new ErrorSources(
            reading,
            position,
            angle,
            normalisation,
            null,
            List.of(row -> drift * row / (PROBES * ANGLES))));
  }

  private static HarmonicDesign design() {
    GaussLegendre rule = GaussLegendre.of(PROBES);
    double[] settings = new double[ANGLES];
    Vec3[] points = new Vec3[PROBES * ANGLES];
    double[] weight = new double[points.length];
    int[] probe = new int[points.length];
    int[] angle = new int[points.length];
    for (int i = 0; i < points.length; i++) {
      probe[i] = i % PROBES;
      angle[i] = i / PROBES;
      settings[angle[i]] = 360.0 * angle[i] / ANGLES;
      weight[i] = 1;
      points[i] =
          Vec3.spherical(
              RADIUS, Math.acos(rule.node(probe[i])), Math.toRadians(settings[angle[i]]));
    }
    return HarmonicDesign.of(
        new Sampling(points, weight, probe, angle), DEGREE, RADIUS, AngularSupport.of(settings));
  }

  /** A field of this regime. */
  Expansion truth(SplittableRandom random) {
    double[] c = new double[Term.count(DEGREE)];
    for (int i = 1; i < c.length; i++) {
      c[i] = first * Math.pow(decay, Term.at(i).n() - 1) * random.nextGaussian();
    }
    return new Expansion(RADIUS, c);
  }

  /** The model that one survey of the field gives. */
  FieldModel survey(Expansion truth, SplittableRandom random) {
    Vec3[] shift = new Vec3[PROBES]; // along r, θ, φ
    double[] offset = new double[PROBES];
    for (int p = 0; p < PROBES; p++) {
      shift[p] =
          new Vec3(random.nextGaussian(), random.nextGaussian(), random.nextGaussian())
              .times(value(errors.position()));
      offset[p] = value(errors.normalisationPpm()) * random.nextGaussian();
    }
    double[] turn = new double[ANGLES];
    for (int a = 0; a < ANGLES; a++) {
      turn[a] = value(errors.angle()) * random.nextGaussian();
    }
    double drift = random.nextGaussian();
    double[] values = new double[DESIGN.sampling().size()];
    for (int i = 0; i < values.length; i++) {
      Vec3 p = DESIGN.sampling().point(i);
      Vec3 s = shift[DESIGN.sampling().probe(i)];
      double r = p.norm() + s.x();
      double theta = p.polar() + s.y() / p.norm();
      double phi =
          p.azimuth() + s.z() / (p.norm() * Math.sin(p.polar())) + turn[DESIGN.sampling().angle(i)];
      values[i] =
          truth.at(Vec3.spherical(r, theta, phi))
              + offset[DESIGN.sampling().probe(i)]
              + drift * errors.drift().get(0).at(i)
              + value(errors.readingPpm()) * random.nextGaussian();
    }
    return FieldModels.of(new WorkingFit(DESIGN, DEGREE, values).solve(), 1, errors, "fixed");
  }

  private static double value(@Nullable Double stated) {
    return stated == null ? 0 : stated;
  }
}
