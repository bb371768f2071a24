package org.fieldwright.adapters.report;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.adapters.report.Page.Column;
import org.fieldwright.adapters.report.Page.Fact;
import org.fieldwright.adapters.report.chart.Markup;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.correction.RoundReview;
import org.fieldwright.core.correction.Suspicion;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.LimitResult;
import org.jspecify.annotations.Nullable;

/** The job from round to round: what was loaded, what it should have done and what it did. */
final class RoundsSection {
  private final VisitReport report;
  private final Wording words;
  private final Numerals numerals;

  RoundsSection(VisitReport report) {
    this.report = report;
    this.words = report.words();
    this.numerals = report.numerals();
  }

  void write(Page page) {
    page.heading(1, "rounds", "Rounds");
    page.lead(
        "Each line is a state of the field: as found, as predicted for a loading by the same code"
            + " that judges, and as found again after it.");
    table(page);
    page.note("± U = 2u. A prediction carries no uncertainty of its own here.");
    for (int k = 0; k < report.rounds().size(); k++) {
      learned(page, k + 1, report.rounds().get(k));
    }
  }

  private void table(Page page) {
    List<Limit> limits = report.magnet().limits().stream().filter(l -> l.volume() != null).toList();
    Markup out = page.markup();
    out.open("table", "class", "grid verdicts").open("thead").open("tr");
    out.element("th", "field", "class", "txt", "scope", "col");
    limits.forEach(
        l ->
            out.element(
                "th",
                "%s, ≤ %s ppm".formatted(l.id(), numerals.trimmed(l.limit(), 4)),
                "class",
                "num",
                "scope",
                "col"));
    out.close().close().open("tbody");
    row(out, "as found", limits, report.found().limits());
    for (int k = 0; k < report.rounds().size(); k++) {
      VisitReport.Round round = report.rounds().get(k);
      Plan plan = round.plan();
      if (plan != null) {
        row(out, "round %d, predicted".formatted(k + 1), limits, plan.predictedLimits());
      }
      if (round.after() != null) {
        row(out, "round %d, found".formatted(k + 1), limits, round.after().limits());
      }
    }
    out.close().close();
  }

  private void row(Markup out, String name, List<Limit> limits, List<LimitResult> results) {
    out.open("tr");
    out.element("th", name, "class", "txt", "scope", "row");
    for (Limit limit : limits) {
      LimitResult r = SummarySection.ofLimit(results, limit);
      out.open("td", "class", "num");
      if (r.valuePpm() != null) {
        out.text(words.result(r));
        out.empty("br");
      }
      out.element("span", Wording.verdict(r.verdict()), "class", r.verdict().id());
      out.close();
    }
    out.close();
  }

  private void learned(Page page, int number, VisitReport.Round round) {
    Plan plan = round.plan();
    RoundReview review = round.review();
    if (plan == null) {
      return;
    }
    page.heading(2, "round-" + number, "Round " + number);
    List<Fact> facts = new ArrayList<>();
    facts.add(new Fact("loaded", words.loaded(plan)));
    if (review == null) {
      facts.add(new Fact("found", "not measured yet"));
    } else {
      facts.add(
          new Fact(
              "misfit",
              "%s per term after learning the strengths, about 1 where the sheet explains what was found"
                  .formatted(
                      numerals.significant(
                          review.misfit() / Math.max(1, review.degreesOfFreedom()), 2))));
    }
    page.facts(facts);
    if (review != null) {
      strengths(page, review, round.iron());
      suspicions(page, review);
    }
  }

  private void strengths(Page page, RoundReview review, @Nullable IronSystem iron) {
    List<List<String>> rows = new ArrayList<>();
    for (RoundReview.Strength s : review.strengths()) {
      double used = iron == null ? 1 : iron.strength().getOrDefault(s.piece(), 1.0);
      rows.add(
          List.of(
              s.piece(),
              numerals.decimals(used, 4),
              numerals.withUncertainty(s.factor(), Wording.expanded(s.uncertainty())),
              numerals.decimals(s.learned(), 4)));
    }
    if (!rows.isEmpty()) {
      page.table(
          List.of(
              Column.text("piece"),
              Column.number("strength used"),
              Column.number("found over predicted, ± U"),
              Column.number("strength learned")),
          rows);
    }
  }

  private void suspicions(Page page, RoundReview review) {
    List<String> strong =
        review.suspicions().stream()
            .filter(s -> s.evidence() > Suspicion.STRONG)
            .map(this::sentence)
            .toList();
    page.warnings(strong);
  }

  private String sentence(Suspicion s) {
    return "%s: the field looks as if %s (evidence %s)."
        .formatted(place(s), s.kind().words(), numerals.decimals(s.evidence(), 0));
  }

  private static String place(Suspicion s) {
    if (s.tray() == null) {
      return "All trays";
    }
    if (s.pocket() != null) {
      return "Tray %d, pocket %d, piece %s".formatted(s.tray(), s.pocket(), s.piece());
    }
    return s.otherTray() == null
        ? "Tray %d".formatted(s.tray())
        : "Trays %d and %d".formatted(s.tray(), s.otherTray());
  }
}
