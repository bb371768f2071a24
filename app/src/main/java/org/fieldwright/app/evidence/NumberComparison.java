package org.fieldwright.app.evidence;

import com.fasterxml.jackson.databind.JsonNode;
import java.util.ArrayList;
import java.util.Iterator;
import java.util.List;
import java.util.TreeSet;
import org.fieldwright.adapters.files.table.DataTable;
import org.jspecify.annotations.Nullable;

/**
 * Holds a stored document or table against the same recomputed. Texts, counts and verdicts must be
 * the same. Other numbers may differ a little, since sine, exponential and root may come out one
 * unit in the last place (1e-16) apart on another processor: fields and frequencies by {@link
 * #EXACT} of themselves (1e-6 ppm); places of extremes by {@link #PLACE_MM}, for a summit is flat
 * and its place known to the root of its height's rounding; the rest, which fits of condition up to
 * 1e3 and sums over thousands of readings have gone into, by {@link #RELATIVE} of themselves or
 * {@link #ABSOLUTE}.
 */
final class NumberComparison {
  private static final double EXACT = 1e-12;
  private static final double PLACE_MM = 1e-3;
  private static final double RELATIVE = 1e-8;
  private static final double ABSOLUTE = 1e-10;
  private static final int LONGEST = 80;

  private final List<Difference> differences = new ArrayList<>();
  private int numbers;

  int numbers() {
    return numbers;
  }

  List<Difference> differences() {
    return List.copyOf(differences);
  }

  void missing(String file) {
    differences.add(new Difference(file, null, null, null, "nothing", "a document"));
  }

  void unexpected(String file) {
    differences.add(new Difference(file, null, null, null, "a document", "nothing"));
  }

  /** Compares documents. */
  void compare(String file, JsonNode stored, JsonNode again) {
    compare(file, "", stored, again);
  }

  private void compare(String file, String at, JsonNode stored, JsonNode again) {
    if (stored.isObject() && again.isObject()) {
      TreeSet<String> names = new TreeSet<>();
      stored.fieldNames().forEachRemaining(names::add);
      again.fieldNames().forEachRemaining(names::add);
      for (String name : names) {
        String step = name.replace("~", "~0").replace("/", "~1"); // RFC 6901, 3
        compare(file, at + "/" + step, stored.path(name), again.path(name));
      }
    } else if (stored.isArray() && again.isArray() && stored.size() == again.size()) {
      Iterator<JsonNode> others = again.iterator();
      int k = 0;
      for (JsonNode item : stored) {
        compare(file, at + "/" + k++, item, others.next());
      }
    } else if (stored.isNumber() && again.isNumber()) {
      numbers++;
      if (!agree(at, stored, again)) {
        differ(file, at, stored.toString(), again.toString());
      }
    } else if (!stored.equals(again)) {
      differ(file, at, word(stored), word(again));
    }
  }

  private void differ(String file, String at, String stored, String again) {
    differences.add(new Difference(file, at, null, null, stored, again));
  }

  private static boolean agree(String at, JsonNode stored, JsonNode again) {
    if (stored.isIntegralNumber() && again.isIntegralNumber()) {
      return stored.bigIntegerValue().equals(again.bigIntegerValue());
    }
    return agree(tolerance(at, at.contains("/at_mm/")), stored.asDouble(), again.asDouble());
  }

  /**
   * What two values may be apart, of their size and at least.
   *
   * @param place whether it is the place of an extreme
   */
  private static double[] tolerance(String name, boolean place) {
    if (place) {
      return new double[] {0, PLACE_MM};
    }
    boolean exact = name.endsWith("_T") || name.endsWith("_MHz");
    return exact ? new double[] {EXACT, 0} : new double[] {RELATIVE, ABSOLUTE};
  }

  /** Never where one is no finite number: what overflows is equal to nothing. */
  private static boolean agree(double[] tolerance, double a, double b) {
    double size = Math.max(Math.abs(a), Math.abs(b));
    return Double.isFinite(a)
        && Double.isFinite(b)
        && Math.abs(a - b) <= tolerance[1] + tolerance[0] * size;
  }

  private static String word(JsonNode node) {
    return node.isMissingNode() ? "nothing" : word(node.toString());
  }

  private static String word(String text) {
    return text.length() > LONGEST ? text.substring(0, LONGEST) + "…" : text;
  }

  /** Compares tables, cell by cell. */
  void compare(String file, String stored, DataTable again) {
    List<List<String>> found = DataTable.parse(file, stored);
    List<List<String>> right = DataTable.parse(file, again.csv());
    int header = again.remarks().size();
    for (int r = 0; r < Math.max(found.size(), right.size()); r++) {
      List<String> a = r < found.size() ? found.get(r) : null;
      List<String> b = r < right.size() ? right.get(r) : null;
      if (a == null || b == null || a.size() != b.size()) {
        differences.add(new Difference(file, null, r + 1, null, record(a), record(b)));
      } else {
        for (int c = 0; c < a.size(); c++) {
          DataTable.Field field = r <= header ? null : again.fields().get(c);
          cell(file, r + 1, field, a.get(c), b.get(c));
        }
      }
    }
  }

  private void cell(
      String file, int row, DataTable.@Nullable Field field, String stored, String again) {
    boolean number = field != null && field.type().isNumeric() && !again.isEmpty();
    numbers += number ? 1 : 0;
    if (stored.equals(again)) {
      return;
    }
    if (field != null && field.type() == DataTable.ColumnType.NUMBER) {
      boolean place = field.name().matches("(maximum|minimum)_[xyz]_mm");
      if (agree(tolerance(field.name(), place), decimal(stored), decimal(again))) {
        return;
      }
    }
    String column = field == null ? null : field.name();
    differences.add(new Difference(file, null, row, column, quoted(stored), quoted(again)));
  }

  private static double decimal(String text) {
    try {
      return Double.parseDouble(text);
    } catch (NumberFormatException e) {
      return Double.NaN;
    }
  }

  private static String quoted(String text) {
    return text.isEmpty() ? "nothing" : word(text);
  }

  private static String record(@Nullable List<String> cells) {
    return cells == null ? "nothing" : word(String.join(",", cells));
  }
}
