package org.fieldwright.adapters.yaml;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.adapters.AtomicFile;
import org.fieldwright.adapters.text.Utf8File;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;
import org.snakeyaml.engine.v2.common.FlowStyle;
import org.snakeyaml.engine.v2.exceptions.Mark;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;
import org.snakeyaml.engine.v2.nodes.NodeTuple;
import org.snakeyaml.engine.v2.nodes.ScalarNode;
import org.snakeyaml.engine.v2.nodes.SequenceNode;

/**
 * Changes single numbers in a YAML file that a person keeps: comments, order and layout stay as
 * they are. The result is read again before it is written, and must say what the file said but for
 * these numbers.
 */
public final class YamlEdit {
  private static final String BYTE_ORDER_MARK = "\uFEFF";

  private YamlEdit() {}

  /**
   * Sets numbers in a section, whole or not at all.
   *
   * @param section names from the root down, the last of them added where it is missing
   * @param numbers by key, as they are to be written
   */
  public static void setNumbers(Path path, List<String> section, Map<String, String> numbers) {
    setNumbers(path, Map.of(section, numbers));
  }

  /**
   * Sets numbers in several sections, whole or not at all.
   *
   * @param numbers by section; an item of a list is named by its place, from 0
   */
  public static void setNumbers(Path path, Map<List<String>, Map<String, String>> numbers) {
    String file = path.toString();
    String before = Utf8File.read(path, YamlFile.MOST_BYTES);
    String after = before;
    Object wanted = content(YamlFile.compose(file, before));
    for (Map.Entry<List<String>, Map<String, String>> section : numbers.entrySet()) {
      for (Map.Entry<String, String> number : section.getValue().entrySet()) {
        after = set(file, after, section.getKey(), number.getKey(), number.getValue());
      }
      put(wanted, section.getKey(), section.getValue());
      if (!wanted.equals(content(YamlFile.compose(file, after)))) {
        throw refusal(file, section.getKey());
      }
    }
    try {
      AtomicFile.write(path, (mark(path) + after).getBytes(StandardCharsets.UTF_8));
    } catch (IOException e) {
      throw new BadInput(file + ": cannot be written (" + e.getMessage() + ")", e);
    }
  }

  /** The byte order mark, where the file has one. */
  private static String mark(Path path) throws IOException {
    byte[] mark = BYTE_ORDER_MARK.getBytes(StandardCharsets.UTF_8);
    try (InputStream in = Files.newInputStream(path)) {
      return Arrays.equals(in.readNBytes(mark.length), mark) ? BYTE_ORDER_MARK : "";
    }
  }

  private static BadInput refusal(String file, List<String> section) {
    return new BadInput(
        "%s: section %s is written in a way that cannot be changed by itself; enter the numbers by hand"
            .formatted(file, String.join(".", section)));
  }

  private static String set(
      String file, String text, List<String> section, String key, String number) {
    Node node = YamlFile.compose(file, text);
    for (int depth = 0; depth < section.size(); depth++) {
      Node next = child(node, section.get(depth));
      if (next == null && depth == section.size() - 1) {
        String flow = "{" + written(key) + ": " + number + "}";
        return inserted(file, text, section, node, section.get(depth), flow);
      }
      if (next == null) {
        throw refusal(file, section);
      }
      node = next;
    }
    Node present = child(node, key);
    if (present == null) {
      return inserted(file, text, section, node, key, number);
    }
    int at = start(text, present);
    String space = at > 0 && text.charAt(at - 1) == ':' ? " " : ""; // a key without a value
    return text.substring(0, at) + space + number + text.substring(end(text, present));
  }

  private static @Nullable Node child(Node node, String key) {
    if (node instanceof MappingNode mapping) {
      for (NodeTuple tuple : mapping.getValue()) {
        if (tuple.getKeyNode() instanceof ScalarNode name && name.getValue().equals(key)) {
          return tuple.getValueNode();
        }
      }
    }
    if (node instanceof SequenceNode list && key.matches("[0-9]{1,4}")) {
      int place = Integer.parseInt(key);
      return place < list.getValue().size() ? list.getValue().get(place) : null;
    }
    return null;
  }

  /** A further entry after the last one of a mapping. */
  private static String inserted(
      String file, String text, List<String> section, Node into, String key, String value) {
    if (!(into instanceof MappingNode mapping)) {
      throw refusal(file, section);
    }
    String entry = written(key) + ": " + value;
    if (mapping.getFlowStyle() == FlowStyle.FLOW) {
      int brace = end(text, mapping) - 1;
      String comma = mapping.getValue().isEmpty() ? "" : ", ";
      int at = mapping.getValue().isEmpty() ? brace : end(text, last(mapping));
      return text.substring(0, at) + comma + entry + text.substring(at);
    }
    int line = text.indexOf('\n', end(text, last(mapping)));
    int at = line < 0 ? text.length() : line;
    String eol = at > 0 && text.charAt(at - 1) == '\r' ? "\r\n" : "\n";
    int cut = eol.length() == 2 ? at - 1 : at;
    String indent = " ".repeat(mark(mapping.getStartMark().orElse(null)).getColumn());
    return text.substring(0, cut) + eol + indent + entry + text.substring(cut);
  }

  /** The last thing written in a mapping or list: the end of a block is known by its leaves. */
  private static Node last(Node node) {
    if (node instanceof MappingNode mapping
        && mapping.getFlowStyle() == FlowStyle.BLOCK
        && !mapping.getValue().isEmpty()) {
      return last(mapping.getValue().get(mapping.getValue().size() - 1).getValueNode());
    }
    if (node instanceof MappingNode mapping && !mapping.getValue().isEmpty()) {
      return mapping.getValue().get(mapping.getValue().size() - 1).getValueNode();
    }
    if (node instanceof SequenceNode list
        && list.getFlowStyle() == FlowStyle.BLOCK
        && !list.getValue().isEmpty()) {
      return last(list.getValue().get(list.getValue().size() - 1));
    }
    return node;
  }

  private static String written(String key) {
    return key.matches("[A-Za-z][A-Za-z0-9_-]*")
        ? key
        : '"' + key.replace("\\", "\\\\").replace("\"", "\\\"") + '"';
  }

  private static int start(String text, Node node) {
    return text.offsetByCodePoints(0, mark(node.getStartMark().orElse(null)).getIndex());
  }

  private static int end(String text, Node node) {
    return text.offsetByCodePoints(0, mark(node.getEndMark().orElse(null)).getIndex());
  }

  private static Mark mark(@Nullable Mark mark) {
    if (mark == null) {
      throw new IllegalStateException("composed without marks");
    }
    return mark;
  }

  private static Object content(Node node) {
    if (node instanceof MappingNode mapping) {
      Map<Object, Object> map = new LinkedHashMap<>();
      mapping.getValue().forEach(t -> map.put(content(t.getKeyNode()), content(t.getValueNode())));
      return map;
    }
    if (node instanceof SequenceNode list) {
      List<Object> values = new ArrayList<>();
      list.getValue().forEach(v -> values.add(content(v)));
      return values;
    }
    return ((ScalarNode) node).getValue();
  }

  @SuppressWarnings("unchecked") // maps and lists are made by content()
  private static void put(Object content, List<String> section, Map<String, String> numbers) {
    Object at = content;
    for (String name : section) {
      at =
          at instanceof List<?> list
              ? list.get(Integer.parseInt(name))
              : ((Map<Object, Object>) at).computeIfAbsent(name, n -> new LinkedHashMap<>());
    }
    ((Map<Object, Object>) at).putAll(numbers);
  }
}
