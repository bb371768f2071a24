package org.fieldwright.adapters.yaml;

import java.time.LocalDate;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.List;
import org.fieldwright.adapters.text.Found;
import org.fieldwright.adapters.text.Numbers;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.NearestName;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;
import org.snakeyaml.engine.v2.nodes.NodeTuple;
import org.snakeyaml.engine.v2.nodes.ScalarNode;
import org.snakeyaml.engine.v2.nodes.SequenceNode;

/**
 * A value in a YAML file that knows its place and its name. It is asked for as a type; if it is
 * none of that type, the refusal names file, line, column, field, what was found and what would be
 * right.
 */
public final class YamlNode {
  /** What messages call the whole. */
  static final String ROOT = "the file";

  private final String file;
  private final String field;
  private final Node node;

  YamlNode(String file, String field, Node node) {
    this.file = file;
    this.field = field;
    this.node = node;
  }

  /** The name of the field as a path from the root, e.g. {@code array.probes[2].radius_mm}. */
  public String field() {
    return field;
  }

  /** {@code file:line:column}. */
  public String where() {
    return YamlFile.at(file, node.getStartMark());
  }

  /** A refusal of this value. */
  public BadInput complain(String expected) {
    return Found.instead(where(), field, found(), expected);
  }

  private String found() {
    if (node instanceof ScalarNode scalar) {
      return scalar.getValue();
    }
    return node instanceof MappingNode ? "keys and values" : "a list";
  }

  /** Whether nothing was written, or {@code null} or {@code ~}. */
  public boolean isEmpty() {
    return node instanceof ScalarNode s
        && s.isPlain()
        && (s.getValue().isEmpty() || s.getValue().equals("~") || s.getValue().equals("null"));
  }

  public boolean isMap() {
    return node instanceof MappingNode;
  }

  public boolean isList() {
    return node instanceof SequenceNode;
  }

  /** Keys and values; a key that is not among the known ones is refused, and so is a second one. */
  public YamlMap map(String... knownKeys) {
    return YamlMap.of(this, List.of(knownKeys));
  }

  /** Keys of the user's own choice and their values. */
  public YamlMap mapOfAnyKeys() {
    return YamlMap.of(this, List.of());
  }

  /** Name and value nodes, for {@link YamlMap}. */
  List<NodeTuple> tuples() {
    if (node instanceof MappingNode mapping) {
      return mapping.getValue();
    }
    throw complain("keys and values");
  }

  /** A part of this value. */
  YamlNode part(String name, Node value) {
    return new YamlNode(file, name, value);
  }

  public List<YamlNode> list() {
    if (!(node instanceof SequenceNode sequence)) {
      throw complain("a list");
    }
    List<YamlNode> parts = new ArrayList<>();
    for (Node item : sequence.getValue()) {
      parts.add(new YamlNode(file, field + "[" + (parts.size() + 1) + "]", item));
    }
    return parts;
  }

  /** A list of this many numbers. */
  public double[] numbers(int count, Expected expected) {
    List<YamlNode> parts = list();
    if (parts.size() != count) {
      throw Found.instead(where(), field, parts.size() + " values", "a list of " + count);
    }
    return parts.stream().mapToDouble(p -> p.number(expected)).toArray();
  }

  private String scalar(String expected) {
    if (!(node instanceof ScalarNode scalar) || isEmpty()) {
      throw complain(expected);
    }
    return scalar.getValue();
  }

  /** Any single value, as text. */
  public String text() {
    String text = scalar("text").strip();
    if (text.isEmpty()) {
      throw complain("text");
    }
    return text;
  }

  public double number(Expected expected) {
    String text = scalar(expected.words());
    double value = ((ScalarNode) node).isPlain() ? Numbers.parse(text, '.') : Double.NaN;
    if (Double.isNaN(value) || !expected.holds().test(value)) {
      throw complain(expected.words());
    }
    return value;
  }

  public int integer(int low, int high) {
    Expected whole =
        new Expected(
            "a whole number from " + low + " to " + high,
            v -> v == Math.rint(v) && v >= low && v <= high);
    return (int) number(whole);
  }

  /** true or false. */
  public boolean yesOrNo() {
    String text = scalar("true or false");
    if (!text.equals("true") && !text.equals("false")) {
      throw complain("true or false");
    }
    return text.equals("true");
  }

  /** A date such as 2026-03-02. */
  public LocalDate date() {
    String expected = "a date such as 2026-03-02";
    try {
      return LocalDate.parse(scalar(expected));
    } catch (DateTimeParseException e) {
      throw complain(expected);
    }
  }

  /** One of the words given; a near miss is answered with the word meant. */
  public String oneOf(List<String> words) {
    String text = scalar("one of " + String.join(", ", words));
    if (!words.contains(text)) {
      String near = NearestName.of(text, words);
      throw complain(
          "one of "
              + String.join(", ", words)
              + (near == null ? "" : " (did you mean " + near + "?)"));
    }
    return text;
  }
}
