package org.fieldwright.app.evidence;

import com.fasterxml.jackson.databind.JsonNode;
import java.util.ArrayList;
import java.util.Iterator;
import java.util.List;
import java.util.TreeSet;

/**
 * Holds a stored document against the same recomputed. Texts, counts and verdicts must be the same;
 * numbers may differ by {@link #RELATIVE} of themselves or {@link #ABSOLUTE}: sine, exponential and
 * root may come out one unit in the last place (1e-16) apart on another processor, which fits of
 * condition up to 1e3 and sums over thousands of readings enlarge to 1e-12 or so.
 */
final class NumberComparison {
  private static final double RELATIVE = 1e-8;
  private static final double ABSOLUTE = 1e-9;

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
      double a = stored.asDouble();
      double b = again.asDouble();
      if (Math.abs(a - b) > ABSOLUTE + RELATIVE * Math.max(Math.abs(a), Math.abs(b))) {
        differences.add("%s: stated %s, recomputed %s".formatted(where, stored, again));
      }
    } else if (!stored.equals(again)) {
      differences.add("%s: stated %s, recomputed %s".formatted(where, word(stored), word(again)));
    }
  }

  private static String word(JsonNode node) {
    String text = node.isMissingNode() ? "nothing" : node.toString();
    return text.length() > 80 ? text.substring(0, 80) + "…" : text;
  }
}
