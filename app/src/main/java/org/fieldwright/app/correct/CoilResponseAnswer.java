package org.fieldwright.app.correct;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.Locale;
import org.fieldwright.core.correction.CoilResponse;
import org.fieldwright.core.harmonic.Term;

/**
 * A measured coil, as an entry for the magnet file's {@code coils} or as JSON.
 *
 * @param id of the coil
 * @param amperes by which the current differed
 */
public record CoilResponseAnswer(String id, double amperes, CoilResponse response) {
  private static final double MM = 1e3;

  /** Lines to be pasted under {@code coils:}, with their uncertainties as comments. */
  public String yaml() {
    StringBuilder text = new StringBuilder();
    text.append("# Measured by the difference of two surveys, %s A apart.\n".formatted(amperes));
    text.append(
        "# The centre field moves by %.4g ppm per ampere, drift between the surveys included.\n"
            .formatted(response.ppmPerAmpere().coefficient(0)));
    text.append("- id: '%s'\n".formatted(id.replace("'", "''")));
    text.append("  limit_A: # fill in: the largest current either way\n");
    text.append("  response:\n");
    text.append(
        "    reference_radius_mm: %.6g\n"
            .formatted(response.ppmPerAmpere().referenceRadius() * MM));
    text.append("    normalisation: schmidt\n    unit: ppm_per_A\n    terms:\n");
    for (Term term : response.significantTerms()) {
      text.append(
          String.format(
              Locale.ROOT,
              "      - {n: %d, m: %d, part: %s, value: %.5g}  # ± %.2g%n",
              term.n(),
              term.m(),
              part(term),
              response.ppmPerAmpere().coefficient(term),
              response.uncertainty()[term.index()]));
    }
    return text.toString();
  }

  /** All terms. */
  public ObjectNode json() {
    ObjectNode root = JsonNodeFactory.instance.objectNode();
    root.put("id", id);
    root.put("amperes", amperes);
    root.put("centre_ppm_per_A", response.ppmPerAmpere().coefficient(0));
    root.put("reference_radius_mm", response.ppmPerAmpere().referenceRadius() * MM);
    root.put("normalisation", "schmidt").put("unit", "ppm_per_A");
    List<Term> significant = response.significantTerms();
    ArrayNode terms = root.putArray("terms");
    for (int k = 1; k < response.uncertainty().length; k++) {
      Term term = Term.at(k);
      terms
          .addObject()
          .put("n", term.n())
          .put("m", term.m())
          .put("part", part(term))
          .put("value", response.ppmPerAmpere().coefficient(k))
          .put("uncertainty", response.uncertainty()[k])
          .put("significant", significant.contains(term));
    }
    return root;
  }

  private static String part(Term term) {
    return term.part().name().toLowerCase(Locale.ROOT);
  }
}
