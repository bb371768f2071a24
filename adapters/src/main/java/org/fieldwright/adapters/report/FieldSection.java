package org.fieldwright.adapters.report;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.adapters.report.Page.Column;
import org.fieldwright.adapters.report.chart.ColourBands;
import org.fieldwright.adapters.report.chart.FieldGrid;
import org.fieldwright.adapters.report.chart.FieldMapChart;
import org.fieldwright.adapters.report.chart.FieldMapChart.Mark;
import org.fieldwright.adapters.report.chart.FieldMapChart.Place;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.reading.Survey;
import org.fieldwright.core.reading.VettedSurvey;

/** The field over the surface, before and after, on one colour scale. */
final class FieldSection {
  private final VisitReport report;
  private final Wording words;
  private final Numerals numerals;
  private final List<FieldState> states;
  private final Volume volume;

  FieldSection(VisitReport report) {
    this.report = report;
    this.words = report.words();
    this.numerals = report.numerals();
    this.states = FieldState.of(report);
    this.volume = FieldState.shownVolume(report);
  }

  void write(Page page) {
    page.heading(1, "field", "Field over the surface");
    page.lead(leadSentence());
    extremes(page);
    List<FieldGrid> grids = states.stream().map(s -> FieldGrid.over(volume, s.ppm())).toList();
    ColourBands shared = ColourBands.covering(grids.toArray(FieldGrid[]::new));
    for (int i = 0; i < states.size(); i++) {
      map(page, states.get(i), grids.get(i), shared, "same colour scale for every state");
    }
    detail(page, grids, shared);
    page.note(
        "Thick line: zero. △ maximum, ▽ minimum. Dots: readings used; crosses: readings set"
            + " aside. The surface is unrolled as seen from the isocentre: azimuth φ from +x"
            + " towards +y, polar angle θ from +z. Colours go from blue (below the field at the"
            + " isocentre) to red (above it), in equal steps of colour difference; zero is the"
            + " lightest.");
  }

  /** The corrected field again, where the common scale leaves it pale. */
  private void detail(Page page, List<FieldGrid> grids, ColourBands shared) {
    List<FieldGrid> later = grids.subList(Math.min(1, grids.size() - 1), grids.size());
    ColourBands finer = ColourBands.covering(later.toArray(FieldGrid[]::new));
    if (finer.end() < 0.5 * shared.end()) {
      for (int i = 1; i < states.size(); i++) {
        map(page, states.get(i), grids.get(i), finer, "finer colour scale, to show detail");
      }
    }
  }

  private String leadSentence() {
    Limit limit = FieldState.shownLimit(report);
    return limit == null
        ? "The maps show the surface of the measured sphere, %s mm across, where a source-free field has its extremes."
            .formatted(words.mm(2 * volume.outerRadius()))
        : "The maps show the surface of the volume of limit “%s” (%s), where a source-free field has its extremes."
            .formatted(limit.id(), words.volume(limit));
  }

  private void map(
      Page page, FieldState state, FieldGrid grid, ColourBands bands, String scaleNote) {
    String span =
        "ppm from %s to %s"
            .formatted(
                numerals.significant(grid.smallest(), 3), numerals.significant(grid.largest(), 3));
    String name = "Unrolled field map, %s, %s".formatted(state.name(), span);
    String caption = "Field %s: %s (%s).".formatted(state.name(), span, scaleNote);
    page.figure(FieldMapChart.draw(numerals, grid, bands, places(state), name), caption);
  }

  private List<Place> places(FieldState state) {
    List<Place> places = new ArrayList<>();
    VisitReport.Surveyed surveyed = state.survey();
    if (surveyed != null && surveyed.survey().survey().kind() == Survey.Kind.TURNING_ARRAY) {
      for (VettedSurvey.Used used : surveyed.survey().used()) {
        places.add(new Place(Mark.USED, used.reading().position()));
      }
      for (VettedSurvey.SetAside aside : surveyed.survey().setAside()) {
        places.add(new Place(Mark.SET_ASIDE, aside.reading().position()));
      }
    }
    Limit limit = FieldState.shownLimit(report);
    LimitResult result = limit == null ? null : state.result(limit);
    if (result != null && result.extremes().size() == 2) {
      places.add(new Place(Mark.MAXIMUM, result.extremes().get(0).at()));
      places.add(new Place(Mark.MINIMUM, result.extremes().get(1).at()));
    }
    return places;
  }

  private void extremes(Page page) {
    List<List<String>> rows = new ArrayList<>();
    for (FieldState state : states) {
      for (LimitResult r : state.limits()) {
        if (r.extremes().size() == 2) {
          rows.add(extremes(state, r));
        }
      }
    }
    if (rows.isEmpty()) {
      return;
    }
    page.heading(2, "extremes", "Where the extremes lie");
    page.table(
        List.of(
            Column.text("limit"),
            Column.text("field"),
            Column.number("maximum, ppm"),
            Column.number("at (x, y, z), mm"),
            Column.number("minimum, ppm"),
            Column.number("at (x, y, z), mm")),
        rows);
    page.note(
        "Values are relative to the field at the isocentre, found or predicted as the row says.");
  }

  private List<String> extremes(FieldState state, LimitResult r) {
    LimitResult.Extreme high = r.extremes().get(0);
    LimitResult.Extreme low = r.extremes().get(1);
    double expanded = Wording.expanded(r.uncertaintyPpm());
    return List.of(
        r.limit().id(),
        state.name(),
        numerals.value(high.ppm(), expanded),
        words.place(high.at()),
        numerals.value(low.ppm(), expanded),
        words.place(low.at()));
  }
}
