package org.fieldwright.app.evidence;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.assess.AssessmentJson;
import org.fieldwright.app.compare.CompareService;
import org.fieldwright.app.compare.ComparisonJson;
import org.fieldwright.app.correct.CorrectService;
import org.fieldwright.app.correct.PlanJson;
import org.fieldwright.app.watch.WatchJson;
import org.fieldwright.app.watch.WatchService;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.harmonic.Normalisation;
import org.fieldwright.core.homogeneity.ConformityRisk;
import org.fieldwright.core.homogeneity.GuardedAcceptance;
import org.fieldwright.core.homogeneity.LimitResult;
import org.jspecify.annotations.Nullable;

/**
 * Every number of a bundle, computed from the files a request names. Making a bundle and verifying
 * it call this and nothing else.
 */
final class EvidenceResults {
  private static final JsonNodeFactory JSON = JsonNodeFactory.instance;

  /** Documents by their path in the bundle. */
  private final Map<String, ObjectNode> documents = new LinkedHashMap<>();

  private final Assessment found;
  private final @Nullable Assessment after;
  private final @Nullable Plan plan;

  private EvidenceResults(Assessment found, @Nullable Assessment after, @Nullable Plan plan) {
    this.found = found;
    this.after = after;
    this.plan = plan;
  }

  /**
   * Computes.
   *
   * @param made when the bundle was made: it dates surveys that carry no times
   */
  static EvidenceResults of(EvidenceRequest request, Instant made) {
    AssessService assess = new AssessService(Clock.fixed(made, ZoneOffset.UTC));
    Assessment found =
        assess.assess(
            request.survey(),
            request.magnet(),
            new AssessService.Options(request.degree(), request.leaveOut(), request.keep(), null));
    Path later = request.after();
    Assessment after =
        later == null
            ? null
            : assess.assess(
                later,
                request.magnet(),
                new AssessService.Options(request.degree(), Set.of(), Set.of(), null));
    Path loaded = request.loaded();
    Plan plan =
        loaded == null
            ? null
            : CorrectService.evaluate(
                found.magnet(),
                found.model(),
                loaded,
                CorrectService.Options.DEFAULT,
                Progress.NONE);
    EvidenceResults results = new EvidenceResults(found, after, plan);
    results.write(request);
    return results;
  }

  private void write(EvidenceRequest request) {
    documents.put("results/assessment.json", AssessmentJson.of(found, Normalisation.SCHMIDT));
    if (after != null) {
      documents.put("results/after.json", AssessmentJson.of(after, Normalisation.SCHMIDT));
      documents.put(
          "results/comparison.json",
          ComparisonJson.of(CompareService.compare(found, after, request.loaded())));
    }
    documents.put("results/conformity.json", conformity(after == null ? found : after));
    if (plan != null) {
      documents.put("results/plan.json", PlanJson.of(plan, 0)); // nothing was searched for
    }
    Path log = request.log();
    if (log != null) {
      documents.put(
          "results/stability.json",
          WatchJson.of(new WatchService().watch(log, request.magnet(), null)));
    }
  }

  private static ObjectNode conformity(Assessment a) {
    ObjectNode root = JSON.objectNode();
    root.put("rule", "guarded acceptance, JCGM 106:2012, 8.3.2 and 8.3.3");
    root.put("guard_band_in_standard_uncertainties", GuardedAcceptance.DEFAULT_K);
    ArrayNode limits = root.putArray("limits");
    for (LimitResult r : a.limits()) {
      ConformityRisk risk = ConformityRisk.of(r);
      if (risk != null) {
        limits
            .addObject()
            .put("id", r.limit().id())
            .put("value_ppm", r.valuePpm())
            .put("uncertainty_ppm", r.uncertaintyPpm())
            .put("limit_ppm", r.limit().limit())
            .put("verdict", r.verdict().id())
            .put("probability_of_conformity", risk.conformity())
            .put("consumers_risk", risk.consumer())
            .put("producers_risk", risk.producer());
      }
    }
    return root;
  }

  Map<String, ObjectNode> documents() {
    return documents;
  }

  Assessment found() {
    return found;
  }

  /** The assessment that the verdicts rest on. */
  Assessment judged() {
    return after == null ? found : after;
  }

  /** The report on paper, as a file's bytes. */
  byte[] report(EvidenceRequest request, ReportService reports) {
    Map<String, String> options = new LinkedHashMap<>();
    if (request.degree() != null) {
      options.put("--degree", request.degree().toString());
    }
    rows(options, "--leave-out", request.leaveOut());
    rows(options, "--keep", request.keep());
    return reports.render(
        new ReportService.Contents(found, plan, request.loaded(), after, options));
  }

  private static void rows(Map<String, String> options, String name, Set<Integer> rows) {
    if (!rows.isEmpty()) {
      List<String> sorted = new TreeSet<>(rows).stream().map(String::valueOf).toList();
      options.put(name, sorted.stream().collect(Collectors.joining(",")));
    }
  }
}
