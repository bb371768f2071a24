package org.fieldwright.core.harmonic;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import org.fieldwright.core.geometry.Vec3;
import org.junit.jupiter.api.Test;

/**
 * The Schmidt basis and its gradient against the World Magnetic Model 2025: coefficients and the
 * twelve official test values of the NOAA/NCEI report (published to 0.1 nT). The exterior form
 * (a/r)^(n+1) is summed here: on the unit sphere it has the interior form's tangential gradient.
 */
class WorldMagneticModelTest {
  private static final double RADIUS = 6371.2; // km, of the model
  private static final double EQUATOR = 6378.137; // km, WGS 84
  private static final double FLATTENING = 1 / 298.257223563;

  @Test
  void officialTestValuesAreMet() throws Exception {
    JsonNode model = new ObjectMapper().readTree(Resources.text("wmm-2025.json"));
    for (String[] row : Resources.rows("wmm-2025-table.csv")) {
      double[] v = java.util.Arrays.stream(row).mapToDouble(Double::parseDouble).toArray();
      double[] xyz = field(model, v[0], v[1], Math.toRadians(v[2]), Math.toRadians(v[3]));
      for (int k = 0; k < 3; k++) {
        assertThat(xyz[k]).as(String.join(",", row)).isCloseTo(v[4 + k], within(0.0501));
      }
    }
  }

  private static double[] field(
      JsonNode model, double year, double height, double latitude, double longitude) {
    double e2 = FLATTENING * (2 - FLATTENING);
    double curvature = EQUATOR / Math.sqrt(1 - e2 * Math.pow(Math.sin(latitude), 2));
    double rho = (curvature + height) * Math.cos(latitude);
    double z = (curvature * (1 - e2) + height) * Math.sin(latitude);
    double r = Math.hypot(rho, z);
    double geocentric = Math.atan2(z, rho);
    double[] scaled = new double[Term.count(12)];
    double[] radial = new double[Term.count(12)];
    for (int n = 1; n <= 12; n++) {
      double power = Math.pow(RADIUS / r, n + 2);
      for (int m = 0; m <= n; m++) {
        for (Term.Part part : Term.Part.values()) {
          if (m > 0 || part == Term.Part.COS) {
            int k = Term.index(n, m, part);
            scaled[k] = power * coefficient(model, n, m, part, year);
            radial[k] = (n + 1) * scaled[k];
          }
        }
      }
    }
    Vec3 up = Vec3.spherical(1, Math.PI / 2 - geocentric, longitude);
    Expansion[] gradient = new Expansion(1, scaled).gradient();
    Vec3 g = new Vec3(gradient[0].at(up), gradient[1].at(up), gradient[2].at(up));
    Vec3 south = Vec3.spherical(1, Math.PI - geocentric, longitude);
    Vec3 east = new Vec3(-Math.sin(longitude), Math.cos(longitude), 0);
    double northward = g.dot(south);
    double downward = -new Expansion(1, radial).at(up);
    double tilt = geocentric - latitude; // from geocentric to geodetic axes
    return new double[] {
      northward * Math.cos(tilt) - downward * Math.sin(tilt),
      -g.dot(east),
      northward * Math.sin(tilt) + downward * Math.cos(tilt)
    };
  }

  private static double coefficient(JsonNode model, int n, int m, Term.Part part, double year) {
    String letter = part == Term.Part.COS ? "g" : "h";
    int k = n * (n + 1) / 2 + m;
    double main = model.get("main_field_coeff_" + letter).get(k).asDouble();
    double rate = model.get("secular_var_coeff_" + letter).get(k).asDouble();
    return main + (year - model.get("epoch").asDouble()) * rate;
  }
}
