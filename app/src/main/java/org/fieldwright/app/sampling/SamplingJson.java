package org.fieldwright.app.sampling;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.Locale;
import org.fieldwright.app.sampling.SamplingService.Answer;
import org.fieldwright.app.sampling.SamplingService.Candidate;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.SamplingForecast;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.homogeneity.LimitResult;

/** The forecast as a document and as text. */
public final class SamplingJson {
  private SamplingJson() {}

  /** The document of {@code sampling --json}. */
  public static ObjectNode of(Answer answer) {
    ObjectNode root = JsonNodeFactory.instance.objectNode();
    root.putArray("window_MHz").add(answer.windowMHz().low()).add(answer.windowMHz().high());
    ArrayNode plans = root.putArray("candidates");
    answer.candidates().forEach(c -> plans.add(candidate(c)));
    if (answer.smallest() == null) {
      root.putNull("smallest_angles");
    } else {
      root.put("smallest_angles", answer.smallest().forecast().angles());
    }
    ArrayNode warnings = root.putArray("warnings");
    answer.warnings().forEach(warnings::add);
    return root;
  }

  private static ObjectNode candidate(Candidate c) {
    SamplingForecast f = c.forecast();
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    node.put("angles", f.angles());
    node.put("start_deg", f.startDeg());
    node.put("degree", f.degree());
    node.put("condition", f.model().condition());
    ArrayNode hidden = node.putArray("unseen");
    f.hidden()
        .forEach(
            t -> hidden.addObject().put("n", t.n()).put("m", t.m()).put("part", t.part().id()));
    ArrayNode aliases = node.putArray("aliases");
    f.aliases().forEach((m, low) -> aliases.addObject().put("m", m).put("looks_like_m", low));
    node.put("coefficient_uncertainty_ppm", f.coefficientUncertaintyPpm());
    node.put("centre_uncertainty_ppm", f.model().standardUncertainty(Term.at(0)));
    ArrayNode shares = node.putArray("coefficient_uncertainty_by_source");
    for (FieldModel.Share share : f.model().shares()) {
      shares
          .addObject()
          .put("source", share.source().name().toLowerCase(Locale.ROOT))
          .put("ppm", rms(f, share));
    }
    ArrayNode limits = node.putArray("limits");
    for (LimitResult r : c.limits()) {
      if (r.uncertaintyPpm() != null) {
        limits
            .addObject()
            .put("id", r.limit().id())
            .put("uncertainty_ppm", r.uncertaintyPpm())
            .put("extrapolated", r.extrapolated());
      }
    }
    node.put("omitted_peak_to_peak_ppm", c.omittedPpm());
    node.put("minutes", c.minutes());
    return node;
  }

  private static double rms(SamplingForecast f, FieldModel.Share share) {
    double sum = 0;
    int count = Term.count(f.degree());
    for (int i = 1; i < count; i++) {
      sum += share.covariance().at(i, i);
    }
    return Math.sqrt(sum / Math.max(1, count - 1 - f.hidden().size()));
  }

  /** A table for a person at a terminal. */
  public static String text(Answer answer) {
    StringBuilder s = new StringBuilder();
    s.append(
        String.format(
            Locale.ROOT,
            "Reader window for the expected field: %.4f to %.4f MHz%n%n",
            answer.windowMHz().low(),
            answer.windowMHz().high()));
    s.append(
        "angles  degree  unseen terms          condition  u(term) ppm  omitted ppm  minutes  u(limit) ppm\n");
    for (Candidate c : answer.candidates()) {
      SamplingForecast f = c.forecast();
      s.append(
          String.format(
              Locale.ROOT,
              "%6d  %6d  %-20s  %9.2f  %11.2g  %11.2g  %7.0f  %s%n",
              f.angles(),
              f.degree(),
              hidden(f),
              f.model().condition(),
              f.coefficientUncertaintyPpm(),
              c.omittedPpm(),
              c.minutes(),
              limits(c.limits())));
    }
    s.append(
        "\nOmitted: peak-to-peak of what the model cannot hold of the expected field (every term present,"
            + " falling by 0.45 a degree and 0.7 an order).\n");
    Candidate last = answer.candidates().get(answer.candidates().size() - 1);
    s.append("\nWhere the uncertainty comes from, at ").append(last.forecast().angles());
    s.append(" angles (rms over the terms, ppm):\n");
    for (FieldModel.Share share : last.forecast().model().shares()) {
      s.append(
          String.format(
              Locale.ROOT, "  %-28s %.2g%n", share.source().words(), rms(last.forecast(), share)));
    }
    s.append("\nM equal angles cannot tell order m from M − m");
    for (Candidate c : answer.candidates()) {
      if (!c.forecast().aliases().isEmpty()) {
        var first = c.forecast().aliases().firstEntry();
        s.append(
            "; with %d, m = %d looks like %d"
                .formatted(c.forecast().angles(), first.getKey(), first.getValue()));
      }
    }
    s.append(".\n");
    if (answer.smallest() != null) {
      s.append(
          "\nThe smallest plan that gives the wanted uncertainty: %d angles, %.0f minutes.\n"
              .formatted(answer.smallest().forecast().angles(), answer.smallest().minutes()));
    }
    answer.warnings().forEach(w -> s.append("! ").append(w).append('\n'));
    return s.toString();
  }

  private static String hidden(SamplingForecast f) {
    List<String> names = f.hidden().stream().map(t -> t.n() + "," + t.m() + t.part().id()).toList();
    return names.isEmpty()
        ? "none"
        : names.size() <= 2 ? String.join(" ", names) : names.size() + " terms";
  }

  private static String limits(List<LimitResult> limits) {
    StringBuilder s = new StringBuilder();
    for (LimitResult r : limits) {
      if (r.uncertaintyPpm() != null) {
        s.append(String.format(Locale.ROOT, "%s %.2g  ", r.limit().id(), r.uncertaintyPpm()));
      }
    }
    return s.toString().stripTrailing();
  }
}
