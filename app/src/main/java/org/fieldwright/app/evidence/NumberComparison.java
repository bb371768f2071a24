package org.fieldwright.app.evidence;

import com.fasterxml.jackson.databind.JsonNode;
import java.util.ArrayList;
import java.util.Iterator;
import java.util.List;
import java.util.TreeSet;

/**
 * Holds a stored document against the same recomputed. Texts, counts and verdicts must be the same.
 * Other numbers may differ a little, since sine, exponential and root may come out one unit in the
 * last place (1e-16) apart on another processor: fields and frequencies by {@link #EXACT} of
 * themselves (1e-6 ppm); places of extremes by {@link #PLACE_MM}, for a summit is flat and its
 * place known to the root of its height's rounding; the rest, which fits of condition up to 1e3 and
 * sums over thousands of readings have gone into, by {@link #RELATIVE} of themselves or {@link
 * #ABSOLUTE}.
 */
final class NumberComparison {
  private static final double EXACT = 1e-12;
  private static final double PLACE_MM = 1e-3;
  private static final double RELATIVE = 1e-8;
  private static final double ABSOLUTE = 1e-10;

  private final List<String> differences = new ArrayList<>();
  private int numbers;

  int numbers() {
    return numbers;
  }

  List<String> differences() {
    return List.copyOf(differences);
  }

  void missing(String path) {
    differences.add(path + ": not in the bundle, though the readings give it");
  }

  void unexpected(String path) {
    differences.add(path + ": in the bundle, though nothing in it gives it");
  }

  void compare(String where, JsonNode stored, JsonNode again) {
    if (stored.isObject() && again.isObject()) {
      TreeSet<String> names = new TreeSet<>();
      stored.fieldNames().forEachRemaining(names::add);
      again.fieldNames().forEachRemaining(names::add);
      for (String name : names) {
        compare(where + "/" + name, stored.path(name), again.path(name));
      }
    } else if (stored.isArray() && again.isArray() && stored.size() == again.size()) {
      Iterator<JsonNode> others = again.iterator();
      int k = 0;
      for (JsonNode item : stored) {
        compare(where + "/" + k++, item, others.next());
      }
    } else if (stored.isNumber() && again.isNumber()) {
      numbers++;
      if (!agree(where, stored, again)) {
        differences.add("%s: stated %s, recomputed %s".formatted(where, stored, again));
      }
    } else if (!stored.equals(again)) {
      differences.add("%s: stated %s, recomputed %s".formatted(where, word(stored), word(again)));
    }
  }

  /** Never where one is no finite number: what overflows is equal to nothing. */
  private static boolean agree(String where, JsonNode stored, JsonNode again) {
    if (stored.isIntegralNumber() && again.isIntegralNumber()) {
      return stored.bigIntegerValue().equals(again.bigIntegerValue());
    }
    double a = stored.asDouble();
    double b = again.asDouble();
    double size = Math.max(Math.abs(a), Math.abs(b));
    double tolerance = ABSOLUTE + RELATIVE * size;
    if (where.endsWith("_T") || where.endsWith("_MHz")) {
      tolerance = EXACT * size;
    } else if (where.contains("/at_mm/")) {
      tolerance = PLACE_MM;
    }
    return Double.isFinite(a) && Double.isFinite(b) && Math.abs(a - b) <= tolerance;
  }

  private static String word(JsonNode node) {
    String text = node.isMissingNode() ? "nothing" : node.toString();
    return text.length() > 80 ? text.substring(0, 80) + "…" : text;
  }
}
