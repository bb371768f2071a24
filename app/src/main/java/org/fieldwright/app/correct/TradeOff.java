package org.fieldwright.app.correct;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.function.ToDoubleFunction;
import org.fieldwright.adapters.AtomicFile;
import org.fieldwright.adapters.report.chart.CurveChart;
import org.fieldwright.adapters.report.chart.CurveChart.Curve;
import org.fieldwright.adapters.report.chart.CurveChart.Line;
import org.fieldwright.adapters.report.chart.CurveChart.Point;
import org.fieldwright.adapters.report.chart.Markup;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.magnet.Magnet;

/**
 * What uniformity costs: plans from the best field that was found up to five times as wide, each
 * once with the least iron and once with the fewest pockets touched.
 */
public final class TradeOff {
  private static final double[] WIDER = {1.25, 1.6, 2.2, 3.2, 5};

  /** How many plans a curve has at most. */
  public static final int SEARCHES = 1 + 2 * WIDER.length;

  private static final double GRAMS = 1e3;
  private static final int MARKS = 6;

  /**
   * One plan of the curve.
   *
   * @param askedPpm what it had to keep; that of the best plan for that plan itself
   */
  public record Row(double askedPpm, Plan plan) {}

  private final List<Row> rows = new ArrayList<>();

  private TradeOff() {}

  /**
   * Makes all plans.
   *
   * @param options goal and target apart
   * @param secondsEach of every search
   */
  public static TradeOff of(
      Magnet magnet,
      FieldModel model,
      CorrectService.Options options,
      double secondsEach,
      Progress progress) {
    TradeOff curve = new TradeOff();
    Plan best =
        CorrectService.plan(
            magnet,
            model,
            options.with(Plan.Goal.PEAK_TO_PEAK, null),
            new Slice(progress, secondsEach));
    curve.rows.add(new Row(best.plannedPpm(), best));
    for (double wider : WIDER) {
      double asked = wider * best.plannedPpm();
      for (Plan.Goal goal : List.of(Plan.Goal.LEAST_IRON, Plan.Goal.FEWEST_POCKETS)) {
        if (asked < best.beforePpm() && !progress.shouldStop()) {
          Plan plan =
              CorrectService.plan(
                  magnet, model, options.with(goal, asked), new Slice(progress, secondsEach));
          curve.rows.add(new Row(asked, plan));
        }
      }
    }
    return curve;
  }

  /** A search's share of the time. */
  private record Slice(Progress whole, double seconds, long start) implements Progress {
    Slice(Progress whole, double seconds) {
      this(whole, seconds, System.nanoTime());
    }

    @Override
    public void report(String stage, double fraction, double bestSoFar) {
      whole.report(stage, fraction, bestSoFar);
    }

    @Override
    public boolean shouldStop() {
      return whole.shouldStop() || (System.nanoTime() - start) * 1e-9 > seconds;
    }
  }

  /** The plans in the order they were made. */
  public List<Row> rows() {
    return List.copyOf(rows);
  }

  /** For a person at a terminal. */
  public String text() {
    StringBuilder text =
        new StringBuilder("   ppm asked   planned  95 % below   iron, g  pockets  goal\n");
    for (Row row : rows) {
      Plan p = row.plan;
      text.append(
          String.format(
              Locale.ROOT,
              "%12.2f %9.2f %11s %9.0f %8d  %s%s%n",
              row.askedPpm,
              p.plannedPpm(),
              p.promise() == null ? "" : String.format(Locale.ROOT, "%.1f", p.promise().ppm95()),
              GRAMS * p.massAdded(),
              p.pocketsTouched(),
              p.goal().id(),
              p.missedByPpm() > 0 ? " (missed)" : ""));
    }
    return text.toString();
  }

  /** {@code trade_off}: one object per plan. */
  public ObjectNode json() {
    ObjectNode root = JsonNodeFactory.instance.objectNode();
    ArrayNode list = root.putArray("trade_off");
    for (Row row : rows) {
      Plan p = row.plan;
      ObjectNode node = list.addObject();
      node.put("goal", p.goal().id());
      node.put("asked_ppm", row.askedPpm);
      node.put("planned_ppm", p.plannedPpm());
      node.put("missed_by_ppm", p.missedByPpm());
      node.put("promised_ppm_95", p.promise() == null ? null : (Double) p.promise().ppm95());
      node.put("mass_added_g", GRAMS * p.massAdded());
      node.put(
          "relaxed_mass_bound_g",
          p.relaxedMassBound() == null ? null : (Double) (GRAMS * p.relaxedMassBound()));
      node.put("pockets_touched", p.pocketsTouched());
    }
    return root;
  }

  /** Writes the plots, whole or not at all. */
  public void writePlot(Path target) throws IOException {
    AtomicFile.write(target, svg().getBytes(StandardCharsets.UTF_8));
  }

  /** Two plots, one above the other: peak-to-peak against iron and against pockets. */
  String svg() {
    Markup both =
        new Markup()
            .open(
                "svg",
                "xmlns",
                "http://www.w3.org/2000/svg",
                "width",
                "320",
                "height",
                "480",
                "viewBox",
                "0 0 320 480");
    both.append(plot("against iron", "iron added, g", p -> GRAMS * p.massAdded()));
    both.open("g", "transform", "translate(0 240)")
        .append(plot("against pockets", "pockets touched", Plan::pocketsTouched))
        .close();
    return both.close().toString();
  }

  private Markup plot(String name, String axis, ToDoubleFunction<Plan> x) {
    List<Curve> curves = new ArrayList<>();
    curves.add(curve("least iron", Line.BEFORE, Plan.Goal.LEAST_IRON, x));
    curves.add(curve("fewest pockets", Line.AFTER, Plan.Goal.FEWEST_POCKETS, x));
    double low = curves.stream().mapToDouble(c -> c.points().get(0).x()).min().orElse(0);
    double high =
        curves.stream().mapToDouble(c -> c.points().get(c.points().size() - 1).x()).max().orElse(1);
    return CurveChart.draw(
        Numerals.ENGLISH,
        "Peak-to-peak " + name,
        axis,
        "planned, ppm",
        CurveChart.roundMarks(low, high, MARKS),
        curves);
  }

  /** The plans of one goal and the best plan, which ends every curve. */
  private Curve curve(String name, Line line, Plan.Goal goal, ToDoubleFunction<Plan> x) {
    List<Point> points =
        rows.stream()
            .map(Row::plan)
            .filter(p -> p.goal() == goal || p.goal() == Plan.Goal.PEAK_TO_PEAK)
            .map(p -> new Point(x.applyAsDouble(p), p.plannedPpm()))
            .sorted(Comparator.comparingDouble(Point::x))
            .toList();
    return new Curve(name, line, points);
  }
}
