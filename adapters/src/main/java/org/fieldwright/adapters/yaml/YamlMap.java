package org.fieldwright.adapters.yaml;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.fieldwright.adapters.text.Found;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.NearestName;
import org.jspecify.annotations.Nullable;
import org.snakeyaml.engine.v2.nodes.NodeTuple;
import org.snakeyaml.engine.v2.nodes.ScalarNode;

/** Keys and values of a YAML mapping, every key known and written once. */
public final class YamlMap {
  private final YamlNode owner;
  private final Map<String, YamlNode> values;

  private YamlMap(YamlNode owner, Map<String, YamlNode> values) {
    this.owner = owner;
    this.values = values;
  }

  /** An empty list of known keys admits any. */
  static YamlMap of(YamlNode owner, List<String> known) {
    String prefix = owner.field().equals(YamlNode.ROOT) ? "" : owner.field() + ".";
    Map<String, YamlNode> values = new LinkedHashMap<>();
    for (NodeTuple tuple : owner.tuples()) {
      YamlNode keyNode = owner.part(prefix + "key", tuple.getKeyNode());
      if (!(tuple.getKeyNode() instanceof ScalarNode scalar)) {
        throw keyNode.complain("a name");
      }
      String key = scalar.getValue();
      if (!known.isEmpty() && !known.contains(key)) {
        throw new BadInput(
            keyNode.where()
                + ": "
                + owner.field()
                + ": found the unknown key "
                + Found.quoted(key)
                + ", "
                + NearestName.advice(key, known));
      }
      YamlNode first = values.put(key, owner.part(prefix + key, tuple.getValueNode()));
      if (first != null) {
        throw new BadInput(
            keyNode.where()
                + ": "
                + prefix
                + key
                + ": found a second time, expected once (first at "
                + first.where()
                + ")");
      }
    }
    return new YamlMap(owner, values);
  }

  public Set<String> keys() {
    return values.keySet();
  }

  /** Null where the key is absent or has no value. */
  public @Nullable YamlNode get(String key) {
    YamlNode value = values.get(key);
    return value == null || value.isEmpty() ? null : value;
  }

  public boolean has(String key) {
    return get(key) != null;
  }

  public YamlNode require(String key) {
    YamlNode value = get(key);
    if (value == null) {
      throw new BadInput(
          owner.where() + ": " + owner.field() + ": found no key " + key + ", expected one");
    }
    return value;
  }

  /** A refusal of the mapping as a whole. */
  public BadInput complain(String found, String expected) {
    return new BadInput(
        owner.where() + ": " + owner.field() + ": found " + found + ", expected " + expected);
  }

  public double number(String key, Expected expected) {
    return require(key).number(expected);
  }

  public double numberOr(String key, Expected expected, double otherwise) {
    YamlNode value = get(key);
    return value == null ? otherwise : value.number(expected);
  }

  public @Nullable Double optionalNumber(String key, Expected expected) {
    YamlNode value = get(key);
    return value == null ? null : (Double) value.number(expected);
  }

  public String text(String key) {
    return require(key).text();
  }

  public @Nullable String optionalText(String key) {
    YamlNode value = get(key);
    return value == null ? null : value.text();
  }
}
