package org.fieldwright.adapters.report;

import java.util.ArrayList;
import java.util.List;
import java.util.function.ToDoubleBiFunction;
import org.fieldwright.adapters.report.chart.CurveChart;
import org.fieldwright.adapters.report.chart.CurveChart.Curve;
import org.fieldwright.adapters.report.chart.CurveChart.Line;
import org.fieldwright.adapters.report.chart.CurveChart.Point;
import org.fieldwright.adapters.report.chart.Markup;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.core.geometry.Volume.Sphere;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.homogeneity.Limit.Measure;
import org.fieldwright.core.homogeneity.Rms;
import org.fieldwright.core.homogeneity.SurfaceExtremes;

/** How homogeneity changes with the size of the sphere, up to the measured radius. */
final class GrowthWithSize {
  private static final int SPHERES = 10;
  private static final int SMALLEST = 2; // tenths of the measured radius
  private static final int MARKS = 5;

  private final Numerals numerals;
  private final List<FieldState> states;
  private final double largest;

  GrowthWithSize(VisitReport report) {
    numerals = report.numerals();
    states = FieldState.of(report);
    largest = report.found().model().measuredRadius();
  }

  Markup draw() {
    List<Curve> curves = new ArrayList<>();
    addCurves(curves, states.get(0), Line.BEFORE, Line.BEFORE_SECOND);
    if (states.size() > 1) {
      addCurves(curves, states.get(states.size() - 1), Line.AFTER, Line.AFTER_SECOND);
    }
    return CurveChart.draw(
        numerals,
        "Peak-to-peak and volume RMS against the size of the sphere",
        "sphere diameter, mm",
        "ppm",
        CurveChart.roundMarks(2e3 * largest * SMALLEST / SPHERES, 2e3 * largest, MARKS),
        curves);
  }

  String caption() {
    return "Peak-to-peak (solid) and RMS over the volume (dashed) of spheres about the isocentre,"
        + " from the coefficients as they are, noise included.";
  }

  private void addCurves(List<Curve> curves, FieldState state, Line peak, Line rms) {
    curves.add(
        new Curve(
            state.name(),
            peak,
            points(state.ppm(), (f, s) -> SurfaceExtremes.of(f, s).peakToPeak())));
    curves.add(
        new Curve(
            "the same, RMS", rms, points(state.ppm(), (f, s) -> Rms.of(f, s, Measure.VOLUME_RMS))));
  }

  private List<Point> points(Expansion field, ToDoubleBiFunction<Expansion, Sphere> measure) {
    List<Point> points = new ArrayList<>();
    for (int k = SMALLEST; k <= SPHERES; k++) {
      Sphere sphere = new Sphere(largest * k / SPHERES);
      points.add(new Point(2e3 * sphere.radius(), measure.applyAsDouble(field, sphere)));
    }
    return points;
  }
}
