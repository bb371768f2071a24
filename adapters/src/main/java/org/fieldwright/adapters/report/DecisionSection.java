package org.fieldwright.adapters.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.fieldwright.adapters.report.Page.Column;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.core.harmonic.FieldModel.Source;
import org.fieldwright.core.homogeneity.ConformityRisk;
import org.fieldwright.core.homogeneity.GlobalRisk;
import org.fieldwright.core.homogeneity.GuardedAcceptance;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.homogeneity.LimitResult.Verdict;
import org.fieldwright.core.uncertainty.UncertaintyBudget;

/** Where the uncertainty comes from, and what is risked by deciding in its face. */
final class DecisionSection {
  private final VisitReport report;
  private final Wording words;
  private final Numerals numerals;
  private final List<LimitResult> judged;

  DecisionSection(VisitReport report) {
    this.report = report;
    this.words = report.words();
    this.numerals = report.numerals();
    this.judged =
        report.judged().stream()
            .filter(r -> r.valuePpm() != null && r.uncertaintyPpm() != null)
            .toList();
  }

  void write(Page page) {
    page.heading(1, "decision", "Uncertainty and decision");
    if (judged.isEmpty()) {
      page.lead("No limit was judged, so nothing was decided.");
      return;
    }
    page.lead(
        "A limit is met where value + %1$s u is within it, not met where value − %1$s u is beyond it, and undecided between."
            .formatted(numerals.trimmed(GuardedAcceptance.DEFAULT_K, 4)));
    page.paragraph(
        "This is guarded acceptance and rejection with 95 % one-sided (JCGM 106:2012, 8.3.2 and"
            + " 8.3.3). Probabilities take the value as normally distributed about what was found.");
    decisions(page);
    global(page);
    budget(page);
  }

  /** Of a limit that was judged. */
  private static double uncertainty(LimitResult r) {
    return Objects.requireNonNull(r.uncertaintyPpm());
  }

  private void decisions(Page page) {
    List<List<String>> rows = new ArrayList<>();
    for (LimitResult r : judged) {
      double u = uncertainty(r);
      double limit = r.limit().limit();
      double guard = GuardedAcceptance.DEFAULT_K * u;
      ConformityRisk risk = ConformityRisk.of(r);
      rows.add(
          List.of(
              r.limit().id(),
              words.result(r) + " " + Wording.unit(r.limit()),
              numerals.trimmed(limit, 4),
              numerals.value(limit - guard, guard),
              numerals.value(limit + guard, guard),
              Wording.verdict(r.verdict()),
              risk == null ? "–" : words.probability(risk.conformity()),
              risk == null ? "–" : risk(r.verdict(), risk)));
    }
    page.table(
        List.of(
            Column.text("limit"),
            Column.number("value, ± U"),
            Column.number("allowed"),
            Column.number("met up to"),
            Column.number("not met from"),
            Column.text("verdict"),
            Column.number("probability that it is kept"),
            Column.number("risk of this verdict")),
        rows);
    page.note(
        "Risk of this verdict: where met, the probability that the magnet is beyond the limit all the"
            + " same (specific consumer's risk); where not met, that it is within it (specific"
            + " producer's risk). JCGM 106:2012, 9.3.");
  }

  private String risk(Verdict verdict, ConformityRisk risk) {
    Double own = verdict == Verdict.MET ? risk.consumer() : risk.producer();
    return own == null ? "–" : words.probability(own);
  }

  private void global(Page page) {
    List<List<String>> rows = new ArrayList<>();
    for (LimitResult r : judged) {
      GlobalRisk.Prior prior = report.priors().get(r.limit().id());
      if (prior != null) {
        GlobalRisk risk =
            GlobalRisk.of(prior, uncertainty(r), r.limit(), GuardedAcceptance.DEFAULT_K);
        rows.add(
            List.of(
                r.limit().id(),
                "%s ± %s %s"
                    .formatted(
                        numerals.trimmed(prior.mean(), 4),
                        numerals.trimmed(prior.deviation(), 4),
                        Wording.unit(r.limit())),
                words.probability(risk.consumer()),
                words.probability(risk.producer()),
                words.probability(risk.undecided())));
      }
    }
    if (rows.isEmpty()) {
      page.paragraph(
          "Global risks, over all magnets like this one, need what such magnets are known to reach"
              + " beforehand. Nothing was stated, so none are given.");
      return;
    }
    page.heading(2, "global-risk", "Over all magnets like this one");
    page.table(
        List.of(
            Column.text("limit"),
            Column.number("stated beforehand, mean ± standard deviation"),
            Column.number("beyond, yet met (consumer's)"),
            Column.number("within, yet not met (producer's)"),
            Column.number("undecided")),
        rows);
    page.note("JCGM 106:2012, 9.5, for the rule and the uncertainty above.");
  }

  private void budget(Page page) {
    List<LimitResult> with =
        judged.stream().filter(r -> r.budget() != null && r.budget().dominant() != null).toList();
    if (with.isEmpty()) {
      return;
    }
    page.heading(2, "budget", "Where the uncertainty comes from");
    List<Source> sources =
        with.stream()
            .flatMap(r -> lines(r).stream())
            .map(UncertaintyBudget.Line::source)
            .distinct()
            .sorted()
            .toList();
    List<Column> columns = new ArrayList<>(List.of(Column.text("limit")));
    sources.forEach(s -> columns.add(Column.number(Wording.source(s) + ", ppm")));
    columns.add(Column.number("together, u, ppm"));
    List<List<String>> rows = new ArrayList<>();
    for (LimitResult r : with) {
      List<String> row = new ArrayList<>(List.of(r.limit().id()));
      sources.forEach(s -> row.add(share(r, s)));
      row.add(numerals.significant(uncertainty(r), 2));
      rows.add(row);
    }
    page.table(columns, rows);
    page.note(
        "One standard uncertainty each: what the source alone would give. The sources are"
            + " independent, so their squares add up (JCGM 100:2008, 5.1).");
    page.list(with.stream().map(this::dominance).toList());
  }

  private static List<UncertaintyBudget.Line> lines(LimitResult r) {
    UncertaintyBudget budget = r.budget();
    return budget == null ? List.of() : budget.lines();
  }

  private String share(LimitResult r, Source source) {
    return lines(r).stream()
        .filter(l -> l.source() == source)
        .findFirst()
        .map(l -> numerals.significant(l.uncertaintyPpm(), 2))
        .orElse("–");
  }

  private String dominance(LimitResult r) {
    UncertaintyBudget budget = Objects.requireNonNull(r.budget());
    Source source = Objects.requireNonNull(budget.dominant());
    return "“%s”: %s counts most. Half of it would leave u = %s ppm. What helps: %s."
        .formatted(
            r.limit().id(),
            Wording.source(source),
            numerals.significant(budget.afterHalvingDominantPpm(), 2),
            UncertaintyBudget.remedy(source));
  }
}
