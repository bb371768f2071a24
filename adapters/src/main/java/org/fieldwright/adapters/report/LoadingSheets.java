package org.fieldwright.adapters.report;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import org.fieldwright.adapters.report.chart.Markup;
import org.fieldwright.adapters.report.chart.Quantity;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.IronSystem.PocketId;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.correction.Pocket;
import org.jspecify.annotations.Nullable;

/** One sheet a tray, as the technician at the bench works through it. */
final class LoadingSheets {
  private static final int SHEETS_A_ROW = 2;

  private final IronSystem iron;
  private final LoadingSteps steps;
  private final Markup out;

  LoadingSheets(Plan plan, IronSystem iron, Markup out) {
    this.iron = iron;
    this.steps = new LoadingSteps(plan, iron);
    this.out = out;
  }

  void write() {
    Page page = new Page(out);
    List<Integer> trays = iron.pockets().stream().map(Pocket::tray).distinct().sorted().toList();
    List<Integer> touched = trays.stream().filter(steps::touched).toList();
    page.heading(1, "loading", "Loading sheets");
    page.lead(instruction());
    if (touched.size() < trays.size()) {
      String others =
          trays.stream()
              .filter(t -> !touched.contains(t))
              .map(String::valueOf)
              .collect(Collectors.joining(", "));
      page.paragraph("Trays that stay as they are and have no sheet: " + others + ".");
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

  private String instruction() {
    return "Work from pocket 1 upwards; tick each line when it is done, weigh the tray when all are"
        + " done, and have a second person check. Masses are the iron alone: take off the empty"
        + " tray's mass.";
  }

  private void sheet(int tray) {
    List<Pocket> pockets = steps.pockets(tray);
    out.open("div", "class", "sheet");
    out.open("p", "class", "tray");
    out.element("span", "Tray " + tray, "class", "number");
    out.text("  at azimuth " + azimuth(pockets.get(0)));
    out.close();
    out.element(
        "p",
        "Only at low or zero field or by the maker's written procedure: iron is pulled and turned,"
            + " pieces fly, hands are crushed.",
        "class",
        "caution");
    end(pockets.get(0), pockets.get(pockets.size() - 1));
    table(tray, pockets);
    end(pockets.get(pockets.size() - 1), pockets.get(0));
    weighing(tray);
    out.open("table", "class", "sign").open("tbody").open("tr");
    out.element("td", "loaded by");
    out.element("td", "checked by");
    out.close().close().close();
    out.close();
  }

  private static String azimuth(Pocket pocket) {
    double degrees = Math.toDegrees(pocket.centre().azimuth());
    return Wording.trimmed((degrees + 360) % 360, 2) + "°";
  }

  /** Names the end of the bore that this end of the table lies at. */
  private void end(Pocket here, Pocket there) {
    boolean plus = here.centre().z() > there.centre().z();
    String name = iron.plusZEnd();
    String text = plus ? "▲ +z end" + (name == null ? "" : ": " + name) : "−z end";
    out.element("p", text, "class", plus ? "end plus" : "end");
  }

  private void table(int tray, List<Pocket> pockets) {
    out.open("table", "class", "load").open("thead").open("tr");
    for (String head : List.of("", "pocket", "z, mm", "piece", "now", "do", "after", "tray, g")) {
      out.element("th", head, "scope", "col");
    }
    out.close().close().open("tbody");
    double mass = steps.trayMassBefore(tray);
    for (Pocket pocket : pockets) {
      List<LoadingSteps.Step> of = steps.of(pocket);
      if (of.isEmpty()) {
        row(false, pocket, null, mass);
      }
      for (LoadingSteps.Step step : of) {
        mass += step.change() * step.piece().mass();
        row(step.change() != 0, pocket, step, mass);
      }
    }
    out.close().close();
  }

  private void row(boolean changes, Pocket pocket, LoadingSteps.@Nullable Step step, double mass) {
    out.open("tr", "class", changes ? "change" : "keep");
    out.open("td");
    if (changes) {
      out.element("span", " ", "class", "box");
    }
    out.close();
    List<String> cells = new ArrayList<>();
    cells.add(Integer.toString(pocket.number()));
    cells.add(Wording.mm(pocket.centre().z()));
    if (step == null) {
      cells.addAll(List.of("–", "0", leave(pocket, "leave empty"), "0"));
    } else {
      cells.add(step.piece().id());
      cells.add(Integer.toString(step.from()));
      cells.add(action(pocket, step));
      cells.add(Integer.toString(step.to()));
    }
    cells.add(Quantity.decimals(mass * 1e3, 1));
    cells.forEach(cell -> out.element("td", cell));
    out.close();
  }

  private String action(Pocket pocket, LoadingSteps.Step step) {
    if (step.change() == 0) {
      return leave(pocket, "keep");
    }
    return step.change() > 0 ? "add " + step.change() : "remove " + -step.change();
  }

  private String leave(Pocket pocket, String what) {
    boolean forbidden = iron.forbidden().contains(new PocketId(pocket.tray(), pocket.number()));
    return forbidden ? "do not touch" : what;
  }

  private void weighing(int tray) {
    double after = steps.pockets(tray).stream().mapToDouble(steps::massAfter).sum() * 1e3;
    Double tolerance = steps.trayTolerance(tray);
    String should =
        tolerance == null
            ? "%s g".formatted(Quantity.decimals(after, 1))
            : "%s ± %s g"
                .formatted(Quantity.decimals(after, 1), Quantity.decimals(tolerance * 1e3, 1));
    out.element("p", "Weigh check: iron should be " + should + "; found ………… g", "class", "weigh");
  }
}
