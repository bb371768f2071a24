package org.fieldwright.adapters.report;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import org.fieldwright.adapters.report.Page.Fact;
import org.fieldwright.adapters.report.chart.Markup;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.homogeneity.ConformityRisk;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.homogeneity.LimitResult.Verdict;

/** The first page: the decision and the table it rests on. */
final class SummarySection {
  private static final int MOST_WARNINGS = 6; // the summary is one page

  private final VisitReport report;
  private final Wording words;
  private final Numerals numerals;

  SummarySection(VisitReport report) {
    this.report = report;
    this.words = report.words();
    this.numerals = report.numerals();
  }

  void write(Page page) {
    verdictBox(page.markup());
    page.heading(2, "verdicts", "Verdicts");
    verdictTable(page);
    page.note(
        "Uncertainties are expanded, U = 2u, about 95 %. “Kept”: probability that the limit is kept,"
            + " given what was measured last. The rule of decision and its risks are on the page"
            + " “Uncertainty and decision”.");
    page.heading(2, "visit", "The visit");
    page.facts(visit());
    warnings(page);
  }

  private List<Fact> visit() {
    List<Fact> facts = new ArrayList<>();
    facts.add(new Fact("as found", taken(report.found())));
    for (int k = 0; k < report.rounds().size(); k++) {
      VisitReport.Round round = report.rounds().get(k);
      Plan plan = round.plan();
      String loaded = plan == null ? "nothing loaded" : words.loaded(plan);
      VisitReport.Surveyed after = round.after();
      facts.add(
          new Fact(
              "round " + (k + 1),
              after == null
                  ? "%s; not yet found again".formatted(loaded)
                  : "%s; then %s".formatted(loaded, taken(after))));
    }
    for (List<VisitReport.Log> file : report.logsByFile()) {
      facts.add(new Fact("field log", words.inShort(file)));
    }
    return facts;
  }

  private String taken(VisitReport.Surveyed s) {
    return numerals.sentence(
        "%s, readings: %,d, used: %,d, set aside: %,d",
        s.survey().survey().file(),
        s.survey().survey().readings().size(),
        s.survey().used().size(),
        s.survey().setAside().size());
  }

  /** The sentence that decides, and those that follow from it. */
  private void verdictBox(Markup out) {
    Verdict worst = worst(report.judged());
    out.open("div", "class", "verdict " + worst.id());
    out.element("p", verdictSentence(report.judged()), "class", "sentence");
    for (LimitResult r : report.judged()) {
      if (r.verdict() == worst && worst != Verdict.MET && worst != Verdict.NOT_ASSESSED) {
        out.element("p", limitSentence(r));
      }
    }
    Plan plan = report.pending();
    if (plan != null) {
      out.element("p", words.planSentence(plan));
      if (plan.missedByPpm() > 0) {
        out.element("p", words.missedSentence(plan));
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

  private String limitSentence(LimitResult r) {
    return "Limit “%s” (%s): %s %s %s where %s %s is allowed."
        .formatted(
            r.limit().id(),
            words.volume(r.limit()),
            words.result(r),
            Wording.unit(r.limit()),
            Wording.measure(r.limit()),
            numerals.trimmed(r.limit().limit(), 4),
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
    out.open("table", "class", "grid verdicts").open("thead").open("tr");
    for (String head : List.of("limit", "volume", "measure")) {
      out.element("th", head, "class", "txt", "scope", "col");
    }
    List<String> heads = new ArrayList<>(List.of("allowed", "as found, ± U"));
    if (report.lastPlan() != null) {
      heads.add("predicted");
    }
    if (foundAgain()) {
      heads.add("found last, ± U");
    }
    heads.add("kept");
    heads.forEach(head -> out.element("th", head, "class", "num", "scope", "col"));
    out.close().close().open("tbody");
    for (int i = 0; i < report.judged().size(); i++) {
      verdictRow(out, report.found().limits().get(i), report.judged().get(i));
    }
    out.close().close();
  }

  private boolean foundAgain() {
    return report.rounds().stream().anyMatch(r -> r.after() != null);
  }

  private void verdictRow(Markup out, LimitResult found, LimitResult judged) {
    Limit limit = found.limit();
    boolean brief = limit.id().length() <= Page.LONGEST_UNBROKEN;
    boolean drift = limit.measure() == Limit.Measure.DRIFT;
    out.open("tr");
    out.element("td", limit.id(), "class", brief ? "txt strong unbroken" : "txt strong");
    out.element("td", drift ? "from the field log" : words.volume(limit), "class", "txt");
    out.element("td", Wording.measure(limit), "class", "txt");
    out.element(
        "td", numerals.trimmed(limit.limit(), 4) + " " + Wording.unit(limit), "class", "num");
    Plan plan = report.lastPlan();
    if (drift && foundAgain()) {
      out.element("td", "–", "class", "num");
    } else {
      outcome(out, drift ? judged : found);
    }
    if (plan != null && drift) {
      out.element("td", "–", "class", "num");
    } else if (plan != null) {
      outcome(out, ofLimit(plan.predictedLimits(), limit));
    }
    if (foundAgain()) {
      outcome(out, judged);
    }
    ConformityRisk risk = ConformityRisk.of(judged);
    out.element("td", risk == null ? "–" : words.probability(risk.conformity()), "class", "num");
    out.close();
  }

  private void outcome(Markup out, LimitResult r) {
    out.open("td", "class", "num");
    if (r.valuePpm() != null) {
      out.text(
          (r.extrapolated() ? "%s %s *" : "%s %s")
              .formatted(words.result(r), Wording.unit(r.limit())));
      out.empty("br");
    }
    out.element("span", Wording.verdict(r.verdict()), "class", r.verdict().id());
    out.close();
  }

  /** What a limit gave among results. */
  static LimitResult ofLimit(List<LimitResult> results, Limit limit) {
    return results.stream()
        .filter(r -> r.limit().id().equals(limit.id()))
        .findFirst()
        .orElse(LimitResult.notAssessed(limit));
  }

  private void warnings(Page page) {
    List<String> warnings = new ArrayList<>(report.latest().survey().warnings());
    Plan plan = report.pending();
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
          "Values marked * reach beyond the measured radius of %s mm, where noise grows with every power of the radius. Limits concerned: %s."
              .formatted(words.mm(report.latest().model().measuredRadius()), beyond));
    }
    if (!warnings.isEmpty()) {
      page.heading(2, "warnings", "Before you rely on this");
      page.warnings(warnings.subList(0, Math.min(MOST_WARNINGS, warnings.size())));
      if (warnings.size() > MOST_WARNINGS) {
        page.note(
            numerals.sentence(
                "Further cautions with the surveys and the plan: %,d.",
                warnings.size() - MOST_WARNINGS));
      }
    }
  }
}
