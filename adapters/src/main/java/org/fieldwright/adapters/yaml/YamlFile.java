package org.fieldwright.adapters.yaml;

import java.nio.file.Path;
import java.util.Optional;
import org.fieldwright.adapters.text.Utf8File;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;
import org.snakeyaml.engine.v2.api.LoadSettings;
import org.snakeyaml.engine.v2.common.Anchor;
import org.snakeyaml.engine.v2.composer.Composer;
import org.snakeyaml.engine.v2.events.AliasEvent;
import org.snakeyaml.engine.v2.events.Event;
import org.snakeyaml.engine.v2.exceptions.Mark;
import org.snakeyaml.engine.v2.exceptions.MarkedYamlEngineException;
import org.snakeyaml.engine.v2.exceptions.YamlEngineException;
import org.snakeyaml.engine.v2.nodes.Node;
import org.snakeyaml.engine.v2.parser.Parser;
import org.snakeyaml.engine.v2.parser.ParserImpl;
import org.snakeyaml.engine.v2.scanner.StreamReader;

/**
 * Opens a YAML file as a tree of {@link YamlNode}s.
 *
 * <p>Bounded before anything is built: size, depth of nesting, number of nodes and of aliases. A
 * tree read by name and type cannot be made to grow by aliases, but a person who writes hundreds of
 * them is not describing a magnet.
 */
public final class YamlFile {
  static final long MOST_BYTES = 4 << 20;
  private static final int DEEPEST = 40;
  private static final int MOST_ALIASES = 100;

  private YamlFile() {}

  /** The root of the only document in the file. */
  public static YamlNode read(Path path) {
    String file = path.toString();
    return new YamlNode(file, YamlNode.ROOT, compose(file, Utf8File.read(path, MOST_BYTES)));
  }

  /** The nodes of a text, with their places in it. */
  static Node compose(String file, String text) {
    LoadSettings settings = LoadSettings.builder().setLabel(file).build();
    try {
      Parser parser = new ParserImpl(settings, new StreamReader(settings, text));
      Optional<Node> root = new Composer(settings, new BoundedParser(file, parser)).getSingleNode();
      return root.orElseThrow(
          () -> new BadInput(file + ":1:1: the file holds no YAML, expected keys and values"));
    } catch (MarkedYamlEngineException e) {
      throw new BadInput(
          at(file, e.getProblemMark())
              + ": not readable as YAML: "
              + oneLine(e.getContext(), e.getProblem()),
          e);
    } catch (YamlEngineException e) {
      throw new BadInput(file + ":1:1: not readable as YAML: " + oneLine(e.getMessage()), e);
    }
  }

  private static String oneLine(@Nullable String... parts) {
    StringBuilder out = new StringBuilder();
    for (String part : parts) {
      if (part != null && !part.isBlank()) {
        out.append(out.isEmpty() ? "" : ", ").append(part.strip().replaceAll("\\s+", " "));
      }
    }
    return out.toString();
  }

  /** {@code file:line:column}, both from 1. */
  static String at(String file, Optional<Mark> mark) {
    return file + mark.map(m -> ":" + (m.getLine() + 1) + ":" + (m.getColumn() + 1)).orElse(":1:1");
  }

  /** Stops at the bounds while events pass. */
  private static final class BoundedParser implements Parser {
    private final String file;
    private final Parser parser;
    private int depth;
    private int aliases;

    BoundedParser(String file, Parser parser) {
      this.file = file;
      this.parser = parser;
    }

    @Override
    public boolean checkEvent(Event.ID id) {
      return parser.checkEvent(id);
    }

    @Override
    public Event peekEvent() {
      return parser.peekEvent();
    }

    @Override
    public boolean hasNext() {
      return parser.hasNext();
    }

    @Override
    public Event next() {
      Event event = parser.next();
      switch (event.getEventId()) {
        case MappingStart, SequenceStart -> depth++;
        case MappingEnd, SequenceEnd -> depth--;
        case Alias -> aliases++;
        default -> {}
      }
      if (depth > DEEPEST) {
        throw new BadInput(
            at(file, event.getStartMark())
                + ": found more than "
                + DEEPEST
                + " levels of nesting, expected fewer");
      }
      if (aliases > MOST_ALIASES) {
        throw new BadInput(
            at(file, event.getStartMark())
                + ": found more than "
                + MOST_ALIASES
                + " aliases ("
                + name(event)
                + "), expected values written out");
      }
      return event;
    }

    private static String name(Event event) {
      Anchor anchor = event instanceof AliasEvent alias ? alias.getAlias() : new Anchor("?");
      return "*" + anchor.getValue();
    }
  }
}
