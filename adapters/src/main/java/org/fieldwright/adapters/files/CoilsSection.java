package org.fieldwright.adapters.files;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.fieldwright.adapters.yaml.Expected;
import org.fieldwright.adapters.yaml.YamlMap;
import org.fieldwright.adapters.yaml.YamlNode;
import org.fieldwright.core.correction.Coil;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Normalisation;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.harmonic.Term.Part;
import org.jspecify.annotations.Nullable;

/** {@code coils}: shim coils and what an ampere in each of them does. */
final class CoilsSection {
  private static final int HIGHEST_DEGREE = 60;
  private static final String[] KEYS = {
    "id", "limit_A", "step_A", "set_A", "response", "induces_A_per_A"
  };
  private static final double MM = 1e-3;
  private static final double MOST_INDUCED = 0.9;

  private CoilsSection() {}

  static List<Coil> read(@Nullable YamlNode node) {
    List<Coil> coils = new ArrayList<>();
    Set<String> ids = new HashSet<>();
    List<YamlNode> items = node == null ? List.of() : node.list();
    for (YamlNode item : items) {
      YamlMap map = item.map(KEYS);
      String id = map.text("id");
      if (!ids.add(id)) {
        throw map.require("id").complain("an id that no other coil has");
      }
      double limit = map.number("limit_A", Expected.POSITIVE);
      coils.add(
          new Coil(
              id,
              limit,
              map.numberOr("step_A", Expected.NOT_NEGATIVE, 0),
              map.numberOr("set_A", Expected.within(-limit, limit), 0),
              response(map.require("response")),
              induces(map.get("induces_A_per_A"))));
    }
    for (int k = 0; k < coils.size(); k++) {
      requireOthers(items.get(k), coils.get(k).id(), coils.get(k).induces().keySet(), ids);
    }
    return coils;
  }

  private static Map<String, Double> induces(@Nullable YamlNode node) {
    Map<String, Double> gains = new HashMap<>();
    if (node != null) {
      YamlMap map = node.mapOfAnyKeys();
      for (String id : map.keys()) {
        gains.put(id, map.number(id, Expected.within(-MOST_INDUCED, MOST_INDUCED)));
      }
    }
    return gains;
  }

  /** A coil induces currents in others, by the ids they have here. */
  private static void requireOthers(
      YamlNode item, String id, Set<String> gaining, Set<String> ids) {
    for (String other : gaining) {
      if (!ids.contains(other) || other.equals(id)) {
        throw item.map(KEYS)
            .require("induces_A_per_A")
            .map(ids.stream().filter(i -> !i.equals(id)).toArray(String[]::new))
            .complain(other, "ids of other coils");
      }
    }
  }

  /** ppm per ampere, Schmidt semi-normalised whatever the file uses. */
  private static Expansion response(YamlNode node) {
    YamlMap map = node.map("reference_radius_mm", "normalisation", "unit", "terms");
    double radius = map.number("reference_radius_mm", Expected.POSITIVE) * MM;
    Normalisation normalisation = normalisation(map.require("normalisation"));
    map.require("unit").oneOf(List.of("ppm_per_A"));
    YamlNode terms = map.require("terms");
    double[] coefficients = new double[0];
    Set<Term> seen = new HashSet<>();
    for (YamlNode item : terms.list()) {
      YamlMap entry = item.map("n", "m", "part", "value");
      Term term = term(item, entry);
      if (!seen.add(term)) {
        throw item.complain("each harmonic once");
      }
      if (Term.count(term.n()) > coefficients.length) {
        coefficients = Arrays.copyOf(coefficients, Term.count(term.n()));
      }
      coefficients[term.index()] =
          entry.number("value", Expected.NUMBER)
              / normalisation.coefficientFromSchmidt(term.n(), term.m());
    }
    if (seen.isEmpty()) {
      throw terms.complain("at least one harmonic {n, m, part, value}");
    }
    return new Expansion(radius, coefficients);
  }

  private static Term term(YamlNode node, YamlMap entry) {
    int n = entry.require("n").integer(0, HIGHEST_DEGREE);
    int m = entry.require("m").integer(0, n);
    YamlNode partNode = entry.get("part");
    if (partNode == null && m > 0) {
      throw entry.complain("no key part", "part: cos or part: sin, since m is above 0");
    }
    boolean sin = partNode != null && partNode.oneOf(List.of("cos", "sin")).equals("sin");
    if (sin && m == 0) {
      throw node.complain("part: cos where m is 0");
    }
    return new Term(n, m, sin ? Part.SIN : Part.COS);
  }

  private static Normalisation normalisation(YamlNode node) {
    return switch (node.oneOf(List.of("schmidt", "unnormalised", "orthonormal"))) {
      case "schmidt" -> Normalisation.SCHMIDT;
      case "unnormalised" -> Normalisation.UNNORMALISED;
      default -> Normalisation.ORTHONORMAL;
    };
  }
}
