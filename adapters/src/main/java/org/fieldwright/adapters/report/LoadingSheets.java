package org.fieldwright.adapters.report;

import java.util.List;
import java.util.stream.Collectors;
import org.fieldwright.adapters.report.chart.Markup;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.LoadingSteps;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.correction.Pocket;
import org.fieldwright.core.correction.TrayPull;
import org.fieldwright.core.correction.TrayPulls;
import org.jspecify.annotations.Nullable;

/** One sheet a tray, as the technician at the bench works through it. */
final class LoadingSheets {
  private static final int SHEETS_A_ROW = 2;

  private final Wording words;
  private final Numerals numerals;
  private final IronSystem iron;
  private final LoadingSteps steps;
  private final @Nullable TrayPulls pulls;
  private final Markup out;

  LoadingSheets(VisitReport report, Plan plan, IronSystem iron, Markup out) {
    this.words = report.words();
    this.numerals = report.numerals();
    this.iron = iron;
    this.steps = new LoadingSteps(plan.installed(), plan.planned(), iron);
    this.pulls = plan.pulls();
    this.out = out;
  }

  /**
   * Writes the sheets.
   *
   * @param title what follows “Loading sheets” in the heading
   * @param id distinguishes the loadings of a report
   */
  void write(String title, String id) {
    Page page = new Page(out, numerals);
    List<Integer> trays = steps.trays();
    List<Integer> touched = trays.stream().filter(steps::touched).toList();
    page.heading(1, "loading" + id, "Loading sheets" + title);
    page.lead(instruction());
    page.paragraph(
        "Insertion, balanced: %s. Each pair of opposite trays goes half way in first, one after the other, then home."
            .formatted(numbers(steps.insertionOrder())));
    if (touched.size() < trays.size()) {
      page.paragraph(
          "Trays that stay as they are and have no sheet: %s."
              .formatted(numbers(trays.stream().filter(t -> !touched.contains(t)).toList())));
    }
    out.open("table", "class", "sheets").open("tbody");
    for (int i = 0; i < touched.size(); i += SHEETS_A_ROW) {
      out.open("tr");
      for (int k = i; k < i + SHEETS_A_ROW; k++) {
        out.open("td");
        if (k < touched.size()) {
          sheet(touched.get(k));
        }
        out.close();
      }
      out.close();
    }
    out.close().close();
  }

  private static String numbers(List<Integer> trays) {
    return trays.stream().map(String::valueOf).collect(Collectors.joining(", "));
  }

  private static String instruction() {
    return "Work from pocket 1 upwards; tick each line when it is done, weigh the tray when all are"
        + " done, and have a second person check. Masses are the iron alone: take off the empty"
        + " tray's mass.";
  }

  private void sheet(int tray) {
    List<Pocket> pockets = steps.pockets(tray);
    out.open("div", "class", "sheet");
    out.open("p", "class", "tray");
    out.element("span", "Tray " + tray, "class", "number");
    out.text(
        "  at azimuth %s°, opposite tray %d"
            .formatted(numerals.trimmed(steps.azimuthDeg(tray), 2), steps.opposite(tray)));
    out.close();
    caution(
        "Only at low or zero field or by the maker's written procedure: iron is pulled and turned,"
            + " pieces fly, hands are crushed.");
    pull(tray);
    end(pockets.get(0), pockets.get(pockets.size() - 1));
    double after = table(tray, pockets);
    end(pockets.get(pockets.size() - 1), pockets.get(0));
    weighing(tray, after * 1e3);
    out.open("table", "class", "sign").open("tbody").open("tr");
    out.element("td", "loaded by");
    out.element("td", "checked by");
    out.close().close().close();
    out.close();
  }

  /** How hard the field pulls at the tray on its way, for who plans how it is held. */
  private void pull(int tray) {
    if (pulls == null) {
      return;
    }
    pull(
        tray,
        pulls.comingOut(),
        "As it comes out it is pulled with %s N where it belongs and with at most %s N on the way, %s mm from there (+ is towards +z).");
    pull(
        tray,
        pulls.goingIn(),
        "As it goes in it is pulled with %s N where it belongs and with at most %s N on the way, %s mm from there (+ is towards +z).");
    caution("The pull is an estimate for saturated iron and decides nothing.");
  }

  private void pull(int tray, List<TrayPull> ofAll, String sentence) {
    for (TrayPull p : ofAll.stream().filter(p -> p.tray() == tray).toList()) {
      String home = numerals.signed(p.home(), 0);
      String largest = numerals.signed(p.largest(), 0);
      caution(sentence.formatted(home, largest, words.mm(p.largestAt())));
      Double turning = p.turning();
      if (turning != null) {
        caution(
            "It is turned with at most %s N m on that way."
                .formatted(numerals.decimals(turning, 1)));
      }
    }
  }

  private void caution(String text) {
    out.element("p", text, "class", "caution");
  }

  /** Names the end of the bore that this end of the table lies at. */
  private void end(Pocket here, Pocket there) {
    boolean plus = here.centre().z() > there.centre().z();
    String name = iron.plusZEnd();
    String text = !plus ? "−z end" : name == null ? "▲ +z end" : "▲ +z end: %s".formatted(name);
    out.element("p", text, "class", plus ? "end plus" : "end");
  }

  /** Writes the lines; answers the tray's iron after the last, kg. */
  private double table(int tray, List<Pocket> pockets) {
    out.open("table", "class", "load").open("thead").open("tr");
    for (String head : List.of("", "pocket", "z, mm", "piece", "now", "do", "after", "tray, g")) {
      out.element("th", head, "scope", "col");
    }
    out.close().close().open("tbody");
    double mass = steps.trayMassBefore(tray);
    int i = 0;
    while (i < pockets.size()) {
      int idle = idleFrom(pockets, i);
      if (idle > 1) {
        List<String> span = span(pockets.get(i), pockets.get(i + idle - 1));
        row(false, span, List.of("–", "0", "leave empty", "0"), mass);
        i += idle;
      } else {
        mass = pocket(pockets.get(i), mass);
        i++;
      }
    }
    out.close().close();
    return mass;
  }

  /** How many pockets in a row are empty before and after, and not barred: they share a line. */
  private int idleFrom(List<Pocket> pockets, int first) {
    int end = first;
    while (end < pockets.size()
        && steps.of(pockets.get(end)).isEmpty()
        && !steps.barred(pockets.get(end))) {
      end++;
    }
    return end - first;
  }

  /**
   * The lines of one pocket.
   *
   * @param mass the tray's iron before them, kg
   * @return the tray's iron after them, kg
   */
  private double pocket(Pocket pocket, double mass) {
    List<LoadingSteps.Step> of = steps.of(pocket);
    if (of.isEmpty()) {
      row(false, place(pocket), List.of("–", "0", leave(pocket, "leave empty"), "0"), mass);
    }
    double after = mass;
    for (LoadingSteps.Step step : of) {
      after += step.change() * step.piece().mass();
      row(step.change() != 0, place(pocket), cells(pocket, step), after);
    }
    return after;
  }

  private List<String> place(Pocket pocket) {
    return List.of(Integer.toString(pocket.number()), words.mm(pocket.centre().z()));
  }

  private List<String> span(Pocket first, Pocket last) {
    return List.of(
        first.number() + "–" + last.number(),
        words.mm(first.centre().z()) + " … " + words.mm(last.centre().z()));
  }

  private List<String> cells(Pocket pocket, LoadingSteps.Step step) {
    return List.of(
        step.piece().id(),
        Integer.toString(step.from()),
        action(pocket, step),
        Integer.toString(step.to()));
  }

  private void row(boolean changes, List<String> place, List<String> cells, double mass) {
    out.open("tr", "class", changes ? "change" : "keep");
    out.open("td");
    if (changes) {
      out.element("span", " ", "class", "box");
    }
    out.close();
    place.forEach(cell -> out.element("td", cell));
    cells.forEach(cell -> out.element("td", cell));
    out.element("td", numerals.decimals(mass * 1e3, 1));
    out.close();
  }

  private String action(Pocket pocket, LoadingSteps.Step step) {
    if (step.change() == 0) {
      return leave(pocket, "keep");
    }
    return step.change() > 0 ? "add " + step.change() : "remove " + -step.change();
  }

  private String leave(Pocket pocket, String what) {
    return steps.barred(pocket) ? "do not touch" : what;
  }

  private void weighing(int tray, double after) {
    Double tolerance = steps.trayTolerance(tray);
    String check =
        tolerance == null
            ? "Weigh check: iron should be %s g; found ………… g"
                .formatted(numerals.decimals(after, 1))
            : "Weigh check: iron should be %s ± %s g; found ………… g"
                .formatted(numerals.decimals(after, 1), numerals.decimals(tolerance * 1e3, 1));
    out.element("p", check, "class", "weigh");
  }
}
