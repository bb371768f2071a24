package org.fieldwright.app.simulate;

import java.util.List;
import java.util.Set;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.homogeneity.HomogeneityAssessment;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.simulation.Scenario;
import org.fieldwright.core.simulation.VirtualMagnet;

/**
 * What a virtual magnet's field really is.
 *
 * @param ppm the component along the main field, ppm of its value at the origin
 * @param centreField that value, T
 * @param centreMagnitude |B| at the origin, T
 * @param limits every limit of the magnet file, without uncertainty
 */
public record Truth(
    Expansion ppm, double centreField, double centreMagnitude, List<LimitResult> limits) {

  /** High enough for iron at twice the radius: what is left out is below 1e-9 of its field. */
  private static final int DEGREE = 40;

  private static final double SMALLEST_RADIUS = 0.01;

  public Truth {
    limits = List.copyOf(limits);
  }

  /** The truth of a scenario with these pieces loaded. */
  public static Truth of(Scenario scenario, Loading loading) {
    VirtualMagnet magnet = scenario.with(loading);
    Expansion field = magnet.expansion(DEGREE, referenceRadius(scenario));
    double centre = field.coefficient(0);
    Expansion ppm = field.times(1e6 / centre).withConstant(0);
    FieldModel exact =
        new FieldModel(
            ppm,
            centre,
            Set.of(),
            Covariance.zero(1),
            List.of(),
            1,
            0,
            0,
            Double.POSITIVE_INFINITY,
            "known");
    return new Truth(
        ppm,
        centre,
        magnet.magnitude(Vec3.ZERO),
        HomogeneityAssessment.assess(exact, scenario.magnet().limits()));
  }

  private static double referenceRadius(Scenario scenario) {
    Double stated = scenario.magnet().array().radius();
    if (stated != null) {
      return stated;
    }
    double outermost = SMALLEST_RADIUS;
    for (Limit limit : scenario.magnet().limits()) {
      if (limit.volume() != null) {
        outermost = Math.max(outermost, limit.requireVolume().outerRadius());
      }
    }
    return outermost;
  }
}
