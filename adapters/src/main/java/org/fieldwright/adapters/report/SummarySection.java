package org.fieldwright.adapters.report;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import org.fieldwright.adapters.report.Page.Column;
import org.fieldwright.adapters.report.chart.Markup;
import org.fieldwright.adapters.report.chart.Quantity;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.homogeneity.LimitResult.Verdict;

/** The first page: the decision and the table it rests on. */
final class SummarySection {
  private static final int LONGEST_UNBROKEN = 14; // characters of a limit's name

  private final VisitReport report;

  SummarySection(VisitReport report) {
    this.report = report;
  }

  void write(Page page) {
    verdictBox(page.markup());
    page.heading(2, "verdicts", "Verdicts");
    verdictTable(page);
    page.note(
        "Uncertainties are expanded, U = 2u, about 95 %. A limit is met where value + 1.645 u is"
            + " within it, not met where value − 1.645 u is beyond it, and undecided between"
            + " (JCGM 106, guarded acceptance and rejection, 95 % one-sided).");
    extremes(page);
    warnings(page);
  }

  /** The sentence that decides, and those that follow from it. */
  private void verdictBox(Markup out) {
    Verdict worst = worst(report.latest().limits());
    out.open("div", "class", "verdict " + worst.id());
    out.element("p", verdictSentence(report.latest().limits()), "class", "sentence");
    for (LimitResult r : report.latest().limits()) {
      if (r.verdict() == worst && worst != Verdict.MET && worst != Verdict.NOT_ASSESSED) {
        out.element("p", limitSentence(r));
      }
    }
    Plan plan = report.plan();
    if (plan != null && report.afterLoading() == null) {
      out.element("p", PlanSection.planSentence(plan));
      if (plan.missedByPpm() > 0) {
        out.element("p", PlanSection.missedSentence(plan));
      }
    }
    out.close();
  }

  static String verdictSentence(List<LimitResult> limits) {
    long assessed = limits.stream().filter(r -> r.verdict() != Verdict.NOT_ASSESSED).count();
    long notMet = limits.stream().filter(r -> r.verdict() == Verdict.NOT_MET).count();
    long undecided = limits.stream().filter(r -> r.verdict() == Verdict.UNDECIDED).count();
    if (assessed == 0) {
      return "No verdict: the magnet file states no limit that a survey can decide.";
    }
    if (notMet > 0) {
      return assessed == 1
          ? "Not met: the magnet does not meet its limit."
          : "Not met: the magnet fails %d of its %d limits.".formatted(notMet, assessed);
    }
    if (undecided > 0) {
      return assessed == 1
          ? "Undecided: the survey cannot tell whether the limit is met."
          : "Undecided: for %d of the %d limits the survey cannot tell whether they are met."
              .formatted(undecided, assessed);
    }
    return assessed == 1
        ? "Met: the magnet meets its limit."
        : "Met: the magnet meets all its %d limits.".formatted(assessed);
  }

  private static String limitSentence(LimitResult r) {
    return "Limit “%s” (%s): %s %s %s where %s %s is allowed."
        .formatted(
            r.limit().id(),
            Wording.volume(r.limit()),
            Wording.result(r),
            Wording.unit(r.limit()),
            Wording.measure(r.limit()),
            Wording.trimmed(r.limit().limit(), 4),
            Wording.unit(r.limit()));
  }

  /** The verdict that decides the whole: not met before undecided before met. */
  static Verdict worst(List<LimitResult> limits) {
    for (Verdict v : List.of(Verdict.NOT_MET, Verdict.UNDECIDED, Verdict.MET)) {
      if (limits.stream().anyMatch(r -> r.verdict() == v)) {
        return v;
      }
    }
    return Verdict.NOT_ASSESSED;
  }

  private void verdictTable(Page page) {
    Markup out = page.markup();
    boolean planned = report.plan() != null;
    boolean again = report.afterLoading() != null;
    out.open("table", "class", "grid verdicts").open("thead").open("tr");
    for (String head : List.of("limit", "volume", "measure")) {
      out.element("th", head, "class", "txt", "scope", "col");
    }
    out.element("th", "allowed", "class", "num", "scope", "col");
    out.element("th", "as found, ± U", "class", "num", "scope", "col");
    if (planned) {
      out.element("th", "predicted", "class", "num", "scope", "col");
    }
    if (again) {
      out.element("th", "after loading, ± U", "class", "num", "scope", "col");
    }
    out.close().close().open("tbody");
    for (LimitResult r : report.found().limits()) {
      verdictRow(out, r);
    }
    out.close().close();
  }

  private void verdictRow(Markup out, LimitResult found) {
    Limit limit = found.limit();
    String unit = " " + Wording.unit(limit);
    out.open("tr");
    boolean brief = limit.id().length() <= LONGEST_UNBROKEN;
    out.element("td", limit.id(), "class", brief ? "txt strong unbroken" : "txt strong");
    out.element("td", Wording.volume(limit), "class", "txt");
    out.element("td", Wording.measure(limit), "class", "txt");
    out.element("td", Wording.trimmed(limit.limit(), 4) + unit, "class", "num");
    outcome(out, found);
    Plan plan = report.plan();
    if (plan != null) {
      outcome(out, ofLimit(plan.predictedLimits(), limit));
    }
    VisitReport.Round again = report.afterLoading();
    if (again != null) {
      outcome(out, ofLimit(again.limits(), limit));
    }
    out.close();
  }

  private static void outcome(Markup out, LimitResult r) {
    String extrapolated = r.extrapolated() ? " *" : "";
    out.open("td", "class", "num");
    if (r.valuePpm() != null) {
      out.text(Wording.result(r) + " " + Wording.unit(r.limit()) + extrapolated);
      out.empty("br");
    }
    out.element("span", Wording.verdict(r.verdict()), "class", r.verdict().id());
    out.close();
  }

  private static LimitResult ofLimit(List<LimitResult> results, Limit limit) {
    return results.stream()
        .filter(r -> r.limit().id().equals(limit.id()))
        .findFirst()
        .orElse(LimitResult.notAssessed(limit));
  }

  private void extremes(Page page) {
    List<List<String>> rows = new ArrayList<>();
    addExtremes(rows, "as found", report.found().limits());
    Plan plan = report.plan();
    if (plan != null) {
      addExtremes(rows, "predicted", plan.predictedLimits());
    }
    VisitReport.Round again = report.afterLoading();
    if (again != null) {
      addExtremes(rows, "after loading", again.limits());
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

  private static void addExtremes(List<List<String>> rows, String field, List<LimitResult> limits) {
    for (LimitResult r : limits) {
      if (r.extremes().size() == 2) {
        LimitResult.Extreme high = r.extremes().get(0);
        LimitResult.Extreme low = r.extremes().get(1);
        Double u = r.uncertaintyPpm();
        rows.add(
            List.of(
                r.limit().id(),
                field,
                Quantity.value(high.ppm(), Wording.expanded(u)),
                Wording.place(high.at()),
                Quantity.value(low.ppm(), Wording.expanded(u)),
                Wording.place(low.at())));
      }
    }
  }

  private void warnings(Page page) {
    List<String> warnings = new ArrayList<>(report.latest().survey().warnings());
    Plan plan = report.plan();
    if (plan != null) {
      warnings.addAll(plan.warnings());
    }
    String beyond =
        report.latest().limits().stream()
            .filter(LimitResult::extrapolated)
            .map(r -> "“" + r.limit().id() + "”")
            .collect(Collectors.joining(", "));
    if (!beyond.isEmpty()) {
      warnings.add(
          "Values marked * reach beyond the measured radius of %s mm, where noise grows with every"
                  .formatted(Wording.mm(report.latest().model().measuredRadius()))
              + " power of the radius. Limits concerned: "
              + beyond
              + ".");
    }
    if (!warnings.isEmpty()) {
      page.heading(2, "warnings", "Before you rely on this");
      page.warnings(warnings);
    }
  }
}
