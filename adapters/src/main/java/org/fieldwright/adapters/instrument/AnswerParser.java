package org.fieldwright.adapters.instrument;

import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.regex.Pattern;
import org.fieldwright.adapters.instrument.ReaderProfile.Item;
import org.fieldwright.adapters.instrument.ReaderProfile.Query;
import org.fieldwright.adapters.text.Numbers;
import org.fieldwright.adapters.text.Unit;
import org.jspecify.annotations.Nullable;

/** From the text of an answer to readings; whatever does not fit is {@link Garbled}. */
final class AnswerParser {
  private static final int MOST_REPEATS = 1_000_000;

  private final Query query;
  private final double gammaHzPerT;

  AnswerParser(Query query, double gammaMHzPerT) {
    this.query = query;
    this.gammaHzPerT = gammaMHzPerT * 1e6;
  }

  /**
   * The readings of an answer.
   *
   * @param asked the probes that are wanted; where one question reads every probe, the answer may
   *     hold more
   */
  List<ProbeAnswer> parse(String answer, List<Integer> asked) throws Garbled {
    if (!answer.chars().allMatch(c -> (c >= ' ' && c <= '~') || c == '\t')) {
      throw new Garbled(answer, "plain characters");
    }
    String separator = query.separator() == ' ' ? " +" : Pattern.quote("" + query.separator());
    String[] items = answer.strip().split(separator, -1);
    int width = query.answer().size();
    if (items.length % width != 0 || (query.probeByProbe() && items.length != width)) {
      throw new Garbled(
          answer, query.probeByProbe() ? width + " items" : width + " for each probe");
    }
    Map<Integer, ProbeAnswer> readings = new HashMap<>();
    for (int first = 0; first < items.length; first += width) {
      Map<Item, String> parts = new EnumMap<>(Item.class);
      for (int i = 0; i < width; i++) {
        parts.put(query.answer().get(i), items[first + i].strip());
      }
      ProbeAnswer reading = reading(answer, parts, asked);
      if (readings.put(reading.probe(), reading) != null) {
        throw new Garbled(answer, "each probe once");
      }
    }
    if (!readings.keySet().containsAll(asked)) {
      throw new Garbled(answer, "probe " + asked);
    }
    return asked.stream().map(readings::get).toList();
  }

  private ProbeAnswer reading(String answer, Map<Item, String> parts, List<Integer> asked)
      throws Garbled {
    String named = parts.get(Item.PROBE);
    int probe = named == null ? asked.get(0) : whole(answer, named);
    Integer averages = optionalWhole(answer, parts.get(Item.AVERAGES));
    Integer locked = optionalWhole(answer, parts.get(Item.LOCKED));
    if (averages != null && locked != null && locked > averages) {
      throw new Garbled(answer, "at most as many locks as averages");
    }
    String value = parts.getOrDefault(Item.VALUE, "");
    if (isNoLock(value) || (locked != null && locked == 0)) {
      return new ProbeAnswer(probe, null, null, averages, 0);
    }
    Unit unit = valueUnit(answer, parts);
    boolean current = unit.quantity() == Unit.Quantity.CURRENT; // of either sign
    double field = tesla(current ? number(answer, value) : positive(answer, value), unit);
    String scatter = parts.get(Item.SD);
    Double sd = null;
    if (scatter != null && query.sdUnit() != null && !isNoLock(scatter)) {
      sd = tesla(notNegative(answer, scatter), query.sdUnit());
    }
    return new ProbeAnswer(probe, field, sd, averages, locked);
  }

  private Unit valueUnit(String answer, Map<Item, String> parts) throws Garbled {
    Unit unit = query.valueUnit();
    if (unit == null) {
      unit = ReaderProfileFile.measurable(parts.getOrDefault(Item.UNIT, ""));
    }
    if (unit == null) {
      throw new Garbled(answer, "a unit of frequency or field");
    }
    return unit;
  }

  private double tesla(double value, Unit unit) {
    double si = unit.toSi(value);
    return unit.quantity() == Unit.Quantity.FREQUENCY ? si / gammaHzPerT : si;
  }

  private boolean isNoLock(String text) {
    for (String word : query.noLock()) {
      double number = Numbers.parse(word, '.');
      if (word.equalsIgnoreCase(text) || number == Numbers.parse(text, '.')) {
        return true;
      }
    }
    return false;
  }

  private static double positive(String answer, String text) throws Garbled {
    double value = Numbers.parse(text, '.');
    if (!(value > 0)) {
      throw new Garbled(answer, "a value above 0");
    }
    return value;
  }

  private static double number(String answer, String text) throws Garbled {
    double value = Numbers.parse(text, '.');
    if (!Double.isFinite(value)) {
      throw new Garbled(answer, "a number");
    }
    return value;
  }

  private static double notNegative(String answer, String text) throws Garbled {
    double value = Numbers.parse(text, '.');
    if (!(value >= 0)) {
      throw new Garbled(answer, "a scatter of at least 0");
    }
    return value;
  }

  private static @Nullable Integer optionalWhole(String answer, @Nullable String text)
      throws Garbled {
    return text == null ? null : (Integer) whole(answer, text);
  }

  private static int whole(String answer, String text) throws Garbled {
    double value = Numbers.parse(text, '.');
    if (!(value >= 0 && value <= MOST_REPEATS && value == Math.rint(value))) {
      throw new Garbled(answer, "a whole number");
    }
    return (int) value;
  }
}
