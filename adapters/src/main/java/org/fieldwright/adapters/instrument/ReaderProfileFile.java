package org.fieldwright.adapters.instrument;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.fieldwright.adapters.instrument.ReaderProfile.ErrorQueue;
import org.fieldwright.adapters.instrument.ReaderProfile.Identification;
import org.fieldwright.adapters.instrument.ReaderProfile.Item;
import org.fieldwright.adapters.instrument.ReaderProfile.Patience;
import org.fieldwright.adapters.instrument.ReaderProfile.Query;
import org.fieldwright.adapters.instrument.ReaderProfile.Transport;
import org.fieldwright.adapters.text.Unit;
import org.fieldwright.adapters.text.Unit.Quantity;
import org.fieldwright.adapters.yaml.Expected;
import org.fieldwright.adapters.yaml.YamlFile;
import org.fieldwright.adapters.yaml.YamlMap;
import org.fieldwright.adapters.yaml.YamlNode;
import org.jspecify.annotations.Nullable;

/**
 * A reader's profile. Format version 1, described in docs/formats/reader-profile.md and by
 * docs/schemas/reader-profile.schema.json.
 */
public final class ReaderProfileFile {
  private static final int FORMAT = 1;
  private static final int HIGHEST_PORT = 65_535;
  private static final int LONGEST_COMMAND = 500;
  private static final Expected SECONDS = Expected.within(0, 3600);
  private static final Pattern PLACEHOLDER = Pattern.compile("\\{[^}]*\\}?");

  private ReaderProfileFile() {}

  public static ReaderProfile read(Path path) {
    YamlMap root =
        YamlFile.read(path)
            .map(
                "fieldwright",
                "reader",
                "transport",
                "line_ending",
                "identify",
                "setup",
                "errors",
                "window",
                "at_angle",
                "read",
                "checksum",
                "timeout_s",
                "retries",
                "pause_s",
                "reconnect_s",
                "calibrated",
                "calibration_interval_months");
    YamlNode version = root.get("fieldwright");
    if (version != null) {
      version.integer(FORMAT, FORMAT);
    }
    YamlNode ending = root.get("line_ending");
    YamlNode checksum = root.get("checksum");
    YamlNode calibrated = root.get("calibrated");
    YamlNode interval = root.get("calibration_interval_months");
    return new ReaderProfile(
        path.toString(),
        root.text("reader"),
        transport(root.require("transport")),
        ending == null ? "\n" : lineEnding(ending),
        identification(root.get("identify")),
        setup(root.get("setup")),
        errors(root.get("errors")),
        optionalCommand(root.get("window"), ReaderProfile.LOW, ReaderProfile.HIGH),
        optionalCommand(root.get("at_angle"), ReaderProfile.ANGLE),
        query(root.require("read")),
        checksum != null && checksum.oneOf(List.of("none", "crc16")).equals("crc16"),
        patience(root),
        calibrated == null ? null : calibrated.date(),
        interval == null ? null : (Integer) interval.integer(1, 1200));
  }

  private static Transport transport(YamlNode node) {
    YamlMap any = node.map("kind", "host", "port", "baud", "data_bits", "parity", "stop_bits");
    if (any.require("kind").oneOf(List.of("tcp", "serial")).equals("tcp")) {
      YamlMap map = node.map("kind", "host", "port");
      return new Transport.Tcp(map.text("host"), map.require("port").integer(1, HIGHEST_PORT));
    }
    YamlMap map = node.map("kind", "port", "baud", "data_bits", "parity", "stop_bits");
    return new Transport.Serial(
        map.text("port"),
        map.has("baud") ? map.require("baud").integer(50, 4_000_000) : 9600,
        map.has("data_bits") ? map.require("data_bits").integer(7, 8) : 8,
        map.has("parity") ? map.require("parity").oneOf(List.of("none", "even", "odd")) : "none",
        map.has("stop_bits") ? map.require("stop_bits").integer(1, 2) : 1);
  }

  private static String lineEnding(YamlNode node) {
    return switch (node.oneOf(List.of("lf", "crlf", "cr"))) {
      case "crlf" -> "\r\n";
      case "cr" -> "\r";
      default -> "\n";
    };
  }

  private static @Nullable Identification identification(@Nullable YamlNode node) {
    if (node == null) {
      return null;
    }
    YamlMap map = node.map("ask", "answer_holds");
    String ask = map.has("ask") ? command(map.require("ask")) : "*IDN?";
    return new Identification(ask, map.optionalText("answer_holds"));
  }

  private static List<String> setup(@Nullable YamlNode node) {
    List<String> commands = new ArrayList<>();
    for (YamlNode item : node == null ? List.<YamlNode>of() : node.list()) {
      commands.add(command(item));
    }
    return commands;
  }

  private static @Nullable ErrorQueue errors(@Nullable YamlNode node) {
    if (node == null) {
      return null;
    }
    YamlMap map = node.map("ask", "none");
    return new ErrorQueue(command(map.require("ask")), map.text("none"));
  }

  private static Query query(YamlNode node) {
    YamlMap map =
        node.map("choose", "ask", "answer", "separator", "value_unit", "sd_unit", "no_lock");
    YamlNode choose = map.get("choose");
    String chosen = choose == null ? null : command(choose, ReaderProfile.PROBE);
    if (choose != null && !choose.text().contains(ReaderProfile.PROBE)) {
      throw choose.complain("a command that holds {probe}");
    }
    String ask = command(map.require("ask"), ReaderProfile.PROBE);
    List<Item> items = items(map.require("answer"));
    boolean single = chosen != null || ask.contains(ReaderProfile.PROBE);
    Unit valueUnit = unit(map, "value_unit", Item.VALUE, items);
    boolean current = valueUnit != null && valueUnit.quantity() == Quantity.CURRENT;
    if (!single && !current && !items.contains(Item.PROBE)) {
      throw map.require("answer")
          .complain("probe among the items, because one question reads every probe");
    }
    List<String> noLock = new ArrayList<>();
    YamlNode words = map.get("no_lock");
    for (YamlNode item : words == null ? List.<YamlNode>of() : words.list()) {
      noLock.add(item.text());
    }
    return new Query(
        chosen,
        ask,
        items,
        separator(map.get("separator")),
        valueUnit,
        unit(map, "sd_unit", Item.SD, items),
        noLock);
  }

  private static List<Item> items(YamlNode node) {
    List<String> words = Arrays.stream(Item.values()).map(Item::word).toList();
    List<Item> items = new ArrayList<>();
    for (YamlNode part : node.list()) {
      Item item = Item.ofWord(part.oneOf(words));
      if (item != Item.IGNORED && items.contains(item)) {
        throw part.complain("each kind of item once");
      }
      items.add(item);
    }
    if (!items.contains(Item.VALUE)) {
      throw node.complain("value among the items");
    }
    return items;
  }

  private static char separator(@Nullable YamlNode node) {
    if (node == null) {
      return ',';
    }
    return switch (node.oneOf(List.of("comma", "semicolon", "space", "tab"))) {
      case "semicolon" -> ';';
      case "space" -> ' ';
      case "tab" -> '\t';
      default -> ',';
    };
  }

  /** The unit of an item, or null where the answer has no such item or holds the unit itself. */
  private static @Nullable Unit unit(YamlMap map, String key, Item item, List<Item> items) {
    YamlNode node = map.get(key);
    boolean needed = item == Item.VALUE ? !items.contains(Item.UNIT) : items.contains(item);
    if (!needed) {
      if (node != null) {
        throw node.complain("no " + key + ", because the answer does not need one");
      }
      return null;
    }
    YamlNode given = map.require(key);
    Unit unit = measurable(given.text());
    if (unit == null) {
      unit = Quantity.CURRENT.unit(given.text());
    }
    if (unit == null) {
      throw given.complain(
          "a unit of frequency or field such as MHz, Hz, T or mT, or A for a reader of current");
    }
    return unit;
  }

  /** A unit of frequency or field, or null. */
  static @Nullable Unit measurable(String spelling) {
    Unit frequency = Quantity.FREQUENCY.unit(spelling);
    return frequency != null ? frequency : Quantity.FIELD.unit(spelling);
  }

  private static Patience patience(YamlMap root) {
    YamlNode retries = root.get("retries");
    YamlNode timeout = root.get("timeout_s");
    double seconds = timeout == null ? 5 : timeout.number(SECONDS);
    if (timeout != null && seconds < 1e-3) {
      throw timeout.complain("at least 0.001");
    }
    return new Patience(
        millis(seconds),
        retries == null ? 2 : retries.integer(0, 100),
        millis(root.numberOr("pause_s", SECONDS, 0.5)),
        millis(root.numberOr("reconnect_s", SECONDS, 60)));
  }

  private static int millis(double seconds) {
    return (int) Math.round(1000 * seconds);
  }

  private static @Nullable String optionalCommand(@Nullable YamlNode node, String... required) {
    if (node == null) {
      return null;
    }
    String text = command(node, required);
    for (String placeholder : required) {
      if (!text.contains(placeholder)) {
        throw node.complain("a command that holds " + String.join(" and ", required));
      }
    }
    return text;
  }

  /** One line that is safe to send, with no placeholder but those allowed. */
  private static String command(YamlNode node, String... allowed) {
    String text = node.text();
    if (text.length() > LONGEST_COMMAND || !text.chars().allMatch(c -> c >= ' ' && c <= '~')) {
      throw node.complain("one line of at most 500 plain ASCII characters");
    }
    Matcher matcher = PLACEHOLDER.matcher(text);
    while (matcher.find()) {
      if (!List.of(allowed).contains(matcher.group())) {
        throw node.complain(
            allowed.length == 0
                ? "a command without {…}"
                : "no other {…} than " + String.join(" and ", allowed));
      }
    }
    return text;
  }
}
