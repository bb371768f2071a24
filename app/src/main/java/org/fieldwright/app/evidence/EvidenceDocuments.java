package org.fieldwright.app.evidence;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.LinkedHashMap;
import java.util.Map;
import org.fieldwright.app.assess.AssessmentJson;
import org.fieldwright.app.compare.ComparisonJson;
import org.fieldwright.app.correct.PlanJson;
import org.fieldwright.core.harmonic.Normalisation;
import org.fieldwright.core.homogeneity.ConformityRisk;
import org.fieldwright.core.homogeneity.GlobalRisk;
import org.fieldwright.core.homogeneity.GuardedAcceptance;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.LimitResult;

/** The results of a visit as JSON documents, by their path in a bundle. */
final class EvidenceDocuments {
  private static final JsonNodeFactory JSON = JsonNodeFactory.instance;
  static final String FOLDER = "results/";

  private EvidenceDocuments() {}

  static Map<String, ObjectNode> of(VisitResults results, Map<String, GlobalRisk.Prior> priors) {
    Map<String, ObjectNode> documents = new LinkedHashMap<>();
    documents.put(
        FOLDER + "assessment.json", AssessmentJson.of(results.found(), Normalisation.SCHMIDT));
    for (int k = 0; k < results.rounds().size(); k++) {
      VisitResults.Round round = results.rounds().get(k);
      String at = FOLDER + "round-" + (k + 1) + "/";
      if (round.plan() != null) {
        documents.put(at + "plan.json", PlanJson.of(round.plan(), 0)); // nothing was searched for
      }
      if (round.after() != null) {
        documents.put(
            at + "assessment.json", AssessmentJson.of(round.after(), Normalisation.SCHMIDT));
      }
      if (round.comparison() != null) {
        documents.put(at + "comparison.json", ComparisonJson.of(round.comparison()));
      }
    }
    documents.put(FOLDER + "conformity.json", conformity(results, priors));
    for (VisitResults.Logged log : results.logs()) {
      documents.put(FOLDER + log.at() + "stability.json", log.document());
    }
    return documents;
  }

  private static ObjectNode conformity(VisitResults results, Map<String, GlobalRisk.Prior> priors) {
    ObjectNode root = JSON.objectNode();
    root.put("rule", "guarded acceptance, JCGM 106:2012, 8.3.2 and 8.3.3");
    root.put("guard_band_in_standard_uncertainties", GuardedAcceptance.DEFAULT_K);
    ArrayNode limits = root.putArray("limits");
    for (LimitResult r : results.judged()) {
      ConformityRisk risk = ConformityRisk.of(r);
      if (risk == null) {
        continue;
      }
      String unit = r.limit().measure() == Limit.Measure.DRIFT ? "ppm_per_hour" : "ppm";
      ObjectNode node =
          limits
              .addObject()
              .put("id", r.limit().id())
              .put("value_" + unit, r.valuePpm())
              .put("uncertainty_" + unit, r.uncertaintyPpm())
              .put("limit_" + unit, r.limit().limit())
              .put("verdict", r.verdict().id())
              .put("probability_of_conformity", risk.conformity())
              .put("consumers_risk", risk.consumer())
              .put("producers_risk", risk.producer());
      GlobalRisk.Prior prior = priors.get(r.limit().id());
      if (prior != null && r.uncertaintyPpm() != null) {
        GlobalRisk global =
            GlobalRisk.of(prior, r.uncertaintyPpm(), r.limit(), GuardedAcceptance.DEFAULT_K);
        node.putObject("prior")
            .put("mean", prior.mean())
            .put("standard_deviation", prior.deviation());
        node.put("global_consumers_risk", global.consumer());
        node.put("global_producers_risk", global.producer());
        node.put("global_undecided", global.undecided());
      }
    }
    return root;
  }
}
