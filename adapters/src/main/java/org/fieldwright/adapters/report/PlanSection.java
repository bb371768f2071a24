package org.fieldwright.adapters.report;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.fieldwright.adapters.report.Page.Column;
import org.fieldwright.adapters.report.Page.Fact;
import org.fieldwright.adapters.report.chart.Markup;
import org.fieldwright.adapters.report.chart.TrayChart;
import org.fieldwright.adapters.report.chart.TrayChart.Cell;
import org.fieldwright.adapters.report.chart.TrayChart.Change;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.LoadingSteps;
import org.fieldwright.core.correction.PieceType;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.correction.Pocket;
import org.fieldwright.core.correction.Promise;

/** What to load, all trays at a glance. */
final class PlanSection {
  private final Wording words;
  private final Numerals numerals;
  private final Plan plan;
  private final LoadingSteps steps;
  private final IronSystem iron;
  private final String title;
  private final String id;

  /**
   * @param title what follows “Plan” in the heading
   * @param id distinguishes the plans of a report
   */
  PlanSection(VisitReport report, Plan plan, IronSystem iron, String title, String id) {
    this.words = report.words();
    this.numerals = report.numerals();
    this.plan = plan;
    this.title = title;
    this.id = id;
    this.iron = iron;
    this.steps = new LoadingSteps(plan.installed(), plan.planned(), iron);
  }

  void write(Page page) {
    page.heading(1, "plan" + id, "Plan" + title);
    page.lead(words.planSentence(plan));
    if (plan.missedByPpm() > 0) {
      page.warnings(List.of(words.missedSentence(plan)));
    }
    page.facts(facts());
    page.warnings(plan.warnings());
    if (plan.piecesAdded() + plan.piecesRemoved() > 0) {
      page.figure(
          trays(), "The bore unrolled, trays in the order of their numbers, +z at the top.");
      page.heading(2, "pieces" + id, "Pieces to have at hand");
      pieces(page);
    }
    coils(page);
  }

  private List<Fact> facts() {
    List<Fact> facts = new ArrayList<>();
    facts.add(new Fact("goal", plan.goal().id().replace('-', ' ')));
    Double bound = plan.relaxedBoundPpm();
    if (bound != null) {
      facts.add(
          new Fact(
              "lower bound",
              "%s ppm: no loading of these pockets can do better, not even with parts of pieces"
                  .formatted(numerals.significant(bound, 3))));
    }
    Double massBound = plan.relaxedMassBound();
    if (massBound != null) {
      facts.add(
          new Fact(
              "least iron possible",
              "%s g, with parts of pieces".formatted(numerals.decimals(massBound * 1e3, 0))));
    }
    Promise promise = plan.promise();
    if (promise != null) {
      facts.add(
          new Fact(
              "promised",
              "%s ppm or better in 95 of 100 cases, given the errors of pieces, places and survey"
                  .formatted(numerals.significant(promise.ppm95(), 3))));
    }
    facts.add(
        new Fact(
            "centre field moves by",
            "%s ppm by the iron".formatted(numerals.signed(plan.centreShiftPpm(), 1))));
    return facts;
  }

  private Markup trays() {
    List<Integer> trays = iron.pockets().stream().map(Pocket::tray).distinct().sorted().toList();
    List<Double> heights =
        iron.pockets().stream()
            .map(p -> millimetre(p.centre().z()))
            .distinct()
            .sorted(Comparator.reverseOrder())
            .toList();
    List<Cell> cells = new ArrayList<>();
    for (Pocket p : iron.pockets()) {
      cells.add(
          new Cell(
              trays.indexOf(p.tray()),
              heights.indexOf(millimetre(p.centre().z())),
              steps.massAfter(p) * 1e3,
              change(p)));
    }
    return TrayChart.draw(
        numerals,
        "Iron in every pocket after loading",
        trays.stream().map(String::valueOf).toList(),
        heights.stream().map(z -> numerals.trimmed(z, 1)).toList(),
        cells);
  }

  /** Pockets that differ by less than a millimetre in z share a row. */
  private static double millimetre(double z) {
    return Math.rint(z * 1e3) + 0.0;
  }

  private Change change(Pocket pocket) {
    double change = steps.massAfter(pocket) - steps.massBefore(pocket);
    if (Math.abs(change) > 1e-9) {
      return change > 0 ? Change.MORE : Change.LESS;
    }
    return steps.barred(pocket) ? Change.FORBIDDEN : Change.NONE;
  }

  /** "40 × 50 × 0.1 mm", or the volume of a piece without sides. */
  private String describe(PieceType piece) {
    PieceType.Size size = piece.size();
    return size == null
        ? "%s mm³".formatted(numerals.trimmed(piece.volume() * 1e9, 1))
        : "%s × %s × %s mm"
            .formatted(
                words.mm(size.tangential()), words.mm(size.axial()), words.mm(size.radial()));
  }

  private void pieces(Page page) {
    Map<String, int[]> byPiece = new TreeMap<>();
    for (LoadingSteps.Step s : steps.all()) {
      int[] inOut = byPiece.computeIfAbsent(s.piece().id(), k -> new int[2]);
      inOut[s.change() > 0 ? 0 : 1] += Math.abs(s.change());
    }
    List<List<String>> rows = new ArrayList<>();
    byPiece.forEach(
        (id, inOut) -> {
          double grams = steps.piece(id).mass() * 1e3;
          rows.add(
              List.of(
                  id,
                  describe(steps.piece(id)),
                  numerals.significant(grams, 4),
                  Integer.toString(inOut[0]),
                  numerals.decimals(inOut[0] * grams, 0),
                  Integer.toString(inOut[1]),
                  numerals.decimals(inOut[1] * grams, 0)));
        });
    page.table(
        List.of(
            Column.text("piece"),
            Column.text("tangential × axial × radial"),
            Column.number("one piece, g"),
            Column.number("to put in"),
            Column.number("g"),
            Column.number("taken out"),
            Column.number("g")),
        rows);
  }

  private void coils(Page page) {
    if (plan.coilsTo().isEmpty()) {
      return;
    }
    page.heading(2, "coils" + id, "Shim coil currents");
    if (!plan.coilsInTurn().isEmpty()) {
      coilsInTurn(page);
      return;
    }
    List<List<String>> rows = new ArrayList<>();
    new TreeMap<>(plan.coilsTo())
        .forEach(
            (id, to) -> {
              double from = plan.coilsFrom().getOrDefault(id, 0.0);
              rows.add(List.of(id, numerals.decimals(from, 3), numerals.decimals(to, 3)));
            });
    page.table(
        List.of(Column.text("coil"), Column.number("now, A"), Column.number("set to, A")), rows);
  }

  /** Coils that disturb each other, in the order in which they have to be set. */
  private void coilsInTurn(Page page) {
    List<List<String>> rows = new ArrayList<>();
    plan.coilsInTurn()
        .forEach(
            (id, setting) ->
                rows.add(
                    List.of(
                        Integer.toString(rows.size() + 1),
                        id,
                        numerals.decimals(plan.coilsFrom().getOrDefault(id, 0.0), 3),
                        numerals.decimals(setting, 3),
                        numerals.decimals(plan.coilsTo().getOrDefault(id, 0.0), 3))));
    page.table(
        List.of(
            Column.number("turn"),
            Column.text("coil"),
            Column.number("now, A"),
            Column.number("set to at its turn, A"),
            Column.number("in the end, A")),
        rows);
  }
}
