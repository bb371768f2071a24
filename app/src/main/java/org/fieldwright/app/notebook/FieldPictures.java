package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.assess.AssessmentJson;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.SolidHarmonics;
import org.fieldwright.core.homogeneity.HomogeneityAssessment;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.VettedSurvey;
import org.fieldwright.core.stability.FieldLog;
import org.fieldwright.core.stability.LogTrace;
import org.fieldwright.core.uncertainty.Interval;
import org.jspecify.annotations.Nullable;

/**
 * What is drawn of a survey and of its field: columns of numbers, lengths in mm, fields in ppm of
 * the fitted centre field, rounded to what a picture can show (1e-4 ppm).
 */
public final class FieldPictures {
  private static final JsonNodeFactory JSON = JsonNodeFactory.instance;
  private static final double MM = 1e3;
  private static final int POLAR_STEPS = 72;
  private static final int AZIMUTH_STEPS = 144;
  private static final int PROFILE_POINTS = 121;
  private static final int RADII = 16;

  private FieldPictures() {}

  /** Every reading with what became of it, one array per column. */
  public static ObjectNode readings(Assessment a) {
    double bc = a.model().centreField();
    Columns columns = new Columns();
    VettedSurvey v = a.vetted();
    for (VettedSurvey.Used u : v.used()) {
      columns.add(u.reading(), "used", 1e6 * (u.field() - bc) / bc, u.residualPpm());
    }
    for (VettedSurvey.SetAside s : v.setAside()) {
      Double residual = s.ppm();
      Double value =
          residual == null
              ? null
              : (Double) (a.model().ppm().at(s.reading().position()) + residual);
      columns.add(s.reading(), s.why().id(), value, residual);
    }
    for (Reading r : v.revisits()) {
      Double field = r.field();
      Double value = field == null ? null : (Double) (1e6 * (field - bc) / bc);
      columns.add(r, "revisit", value, null);
    }
    return columns.node;
  }

  /** The columns of {@link #readings}. */
  private static final class Columns {
    private final ObjectNode node = JSON.objectNode();
    private final ArrayNode row = node.putArray("row");
    private final ArrayNode probe = node.putArray("probe");
    private final ArrayNode angle = node.putArray("angle_deg");
    private final ArrayNode x = node.putArray("x_mm");
    private final ArrayNode y = node.putArray("y_mm");
    private final ArrayNode z = node.putArray("z_mm");
    private final ArrayNode state = node.putArray("state");
    private final ArrayNode ppm = node.putArray("ppm");
    private final ArrayNode residual = node.putArray("residual_ppm");
    private final ArrayNode time = node.putArray("time");

    void add(Reading r, String became, @Nullable Double value, @Nullable Double left) {
      row.add(r.row());
      probe.add(r.probe());
      angle.add(r.angleDeg());
      x.add(rounded(MM * r.position().x()));
      y.add(rounded(MM * r.position().y()));
      z.add(rounded(MM * r.position().z()));
      state.add(became);
      ppm.add(value == null ? null : (Double) rounded(value));
      residual.add(left == null ? null : (Double) rounded(left));
      time.add(r.time() == null ? null : String.valueOf(r.time()));
    }
  }

  /**
   * The field over the surface of a volume, seen from the origin: rows of equal polar angle from +z
   * down, columns of equal azimuth from +x on, both ends included. {@code r_mm} is one number for a
   * sphere, one per value otherwise.
   */
  public static ObjectNode surface(FieldModel model, Volume volume) {
    ObjectNode node = JSON.objectNode();
    node.put("polar_steps", POLAR_STEPS).put("azimuth_steps", AZIMUTH_STEPS);
    ArrayNode values = node.putArray("ppm");
    ArrayNode radii = JSON.arrayNode();
    for (int i = 0; i <= POLAR_STEPS; i++) {
      double theta = Math.PI * i / POLAR_STEPS;
      for (int j = 0; j <= AZIMUTH_STEPS; j++) {
        Vec3 direction = Vec3.spherical(1, theta, 2 * Math.PI * j / AZIMUTH_STEPS);
        double r = reach(volume, direction);
        values.add(rounded(model.ppm().at(direction.times(r))));
        radii.add(rounded(MM * r));
      }
    }
    if (volume instanceof Volume.Sphere sphere) {
      node.put("r_mm", MM * sphere.radius());
    } else {
      node.set("r_mm", radii);
    }
    return node;
  }

  /** Distance from the origin to the surface along a unit vector. */
  private static double reach(Volume volume, Vec3 u) {
    if (volume instanceof Volume.Ellipsoid e) {
      return 1 / new Vec3(u.x() / e.semiX(), u.y() / e.semiY(), u.z() / e.semiZ()).norm();
    }
    if (volume instanceof Volume.Cylinder c) {
      return Math.min(
          c.radius() / Math.max(1e-12, Math.hypot(u.x(), u.y())),
          c.halfLength() / Math.max(1e-12, Math.abs(u.z())));
    }
    return volume.outerRadius();
  }

  /**
   * The field along a straight line through a point, with its standard uncertainty.
   *
   * @param direction unit vector
   * @param reach how far from the point to go either way, m
   */
  public static ObjectNode profile(FieldModel model, Vec3 through, Vec3 direction, double reach) {
    SolidHarmonics basis = new SolidHarmonics(model.ppm().degree(), model.ppm().referenceRadius());
    ObjectNode node = JSON.objectNode();
    ArrayNode s = node.putArray("s_mm");
    ArrayNode ppm = node.putArray("ppm");
    ArrayNode u = node.putArray("uncertainty_ppm");
    for (int i = 0; i < PROFILE_POINTS; i++) {
      double along = reach * (2.0 * i / (PROFILE_POINTS - 1) - 1);
      Vec3 at = through.plus(direction.times(along));
      double[] g = basis.evaluate(at);
      g[0] = 0; // ppm are of the fitted centre field itself
      s.add(rounded(MM * along));
      ppm.add(rounded(model.ppm().at(at)));
      u.add(rounded(Math.sqrt(Math.max(0, model.covariance().varianceOf(g)))));
    }
    return node;
  }

  /**
   * Peak-to-peak and volume RMS over spheres about the origin, from small to the largest that
   * matters.
   */
  public static ObjectNode byRadius(FieldModel model, List<Limit> limits) {
    double largest =
        limits.stream()
            .filter(l -> l.volume() instanceof Volume.Sphere)
            .mapToDouble(l -> l.requireVolume().outerRadius())
            .reduce(model.measuredRadius(), Math::max);
    List<Limit> spheres = new ArrayList<>();
    for (Limit.Measure measure : List.of(Limit.Measure.PEAK_TO_PEAK, Limit.Measure.VOLUME_RMS)) {
      for (int i = 1; i <= RADII; i++) {
        Volume sphere = new Volume.Sphere(largest * i / RADII);
        spheres.add(new Limit(measure.id() + i, measure, sphere, Double.MAX_VALUE));
      }
    }
    List<LimitResult> results = HomogeneityAssessment.assess(model, spheres);
    ObjectNode node = JSON.objectNode();
    ArrayNode radius = node.putArray("radius_mm");
    for (int i = 0; i < RADII; i++) {
      radius.add(rounded(MM * spheres.get(i).requireVolume().outerRadius()));
    }
    node.set("peak_to_peak", band(results.subList(0, RADII)));
    node.set("volume_rms", band(results.subList(RADII, 2 * RADII)));
    node.put("measured_radius_mm", MM * model.measuredRadius());
    return node;
  }

  private static ObjectNode band(List<LimitResult> results) {
    ObjectNode node = JSON.objectNode();
    ArrayNode ppm = node.putArray("ppm");
    ArrayNode low = node.putArray("low_ppm");
    ArrayNode high = node.putArray("high_ppm");
    for (LimitResult r : results) {
      Interval interval = r.interval95();
      ppm.add(r.valuePpm() == null ? null : (Double) rounded(r.valuePpm()));
      low.add(interval == null ? null : (Double) rounded(interval.low()));
      high.add(interval == null ? null : (Double) rounded(interval.high()));
    }
    return node;
  }

  /** Every limit held against a field. */
  public static ObjectNode limits(FieldModel model, List<Limit> limits) {
    ObjectNode node = JSON.objectNode();
    ArrayNode list = node.putArray("limits");
    HomogeneityAssessment.assess(model, limits).forEach(r -> list.add(AssessmentJson.limit(r)));
    return node;
  }

  /**
   * A field log as a picture can hold it: the least and the greatest value of each of so many
   * stretches of time, ppm of the log's first locked value; and who took the samples.
   */
  public static ObjectNode series(FieldLog log, int stretches) {
    ObjectNode node = JSON.objectNode().put("start", log.start().toString());
    ArrayNode probes = node.putArray("probes");
    int[] by = log.probe();
    if (by != null) {
      Arrays.stream(by)
          .filter(p -> p != FieldLog.Builder.NO_PROBE)
          .distinct()
          .sorted()
          .forEach(probes::add);
    }
    ArrayNode hours = node.putArray("time_h");
    ArrayNode low = node.putArray("low_ppm");
    ArrayNode high = node.putArray("high_ppm");
    double reference =
        Arrays.stream(log.field()).filter(b -> !Double.isNaN(b)).findFirst().orElse(1);
    for (LogTrace.Stretch s : LogTrace.of(log, reference, stretches).stretches()) {
      hours.add(rounded(s.time() / 3600));
      low.add(rounded(s.lowPpm()));
      high.add(rounded(s.highPpm()));
    }
    return node;
  }

  private static double rounded(double value) {
    return Math.rint(value * 1e4) / 1e4;
  }
}
