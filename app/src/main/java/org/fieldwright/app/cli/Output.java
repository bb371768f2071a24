package org.fieldwright.app.cli;

import com.fasterxml.jackson.core.JsonEncoding;
import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import com.fasterxml.jackson.databind.JsonNode;
import java.io.ByteArrayOutputStream;
import java.io.FileDescriptor;
import java.io.FileOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.Map;

/**
 * Where a command speaks: the answer to standard output in one piece, so that an error half way
 * leaves nothing there; messages, progress and warnings to standard error. Both in UTF-8.
 */
public final class Output {
  private final PrintStream out;
  private final PrintStream err;

  public Output(OutputStream out, OutputStream err) {
    this.out = new PrintStream(out, false, StandardCharsets.UTF_8);
    this.err = new PrintStream(err, true, StandardCharsets.UTF_8);
  }

  /** The streams of the process. */
  static Output standard() {
    return new Output(
        new FileOutputStream(FileDescriptor.out), new FileOutputStream(FileDescriptor.err));
  }

  /** Prints the whole answer as text. */
  void answer(String text) {
    out.print(text.endsWith("\n") ? text : text + "\n");
    out.flush();
  }

  /** Prints the whole answer as one JSON document; a number that is not finite becomes null. */
  void answer(JsonNode document) {
    // A generator driven by hand starts several times faster than an ObjectMapper.
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    try (JsonGenerator json = new JsonFactory().createGenerator(bytes, JsonEncoding.UTF8)) {
      json.setPrettyPrinter(new DefaultPrettyPrinter());
      write(json, document);
    } catch (IOException e) {
      throw new IllegalStateException("writing to memory failed", e);
    }
    answer(bytes.toString(StandardCharsets.UTF_8));
  }

  /** Says something that is not part of the answer. */
  void note(String line) {
    err.println(line);
  }

  /** Standard error itself, for progress. */
  PrintStream notes() {
    return err;
  }

  /** True when the answer could not be delivered, for example to a full disk. */
  boolean failed() {
    return out.checkError();
  }

  private static void write(JsonGenerator json, JsonNode node) throws IOException {
    switch (node.getNodeType()) {
      case OBJECT -> {
        json.writeStartObject();
        for (Map.Entry<String, JsonNode> field : node.properties()) {
          json.writeFieldName(field.getKey());
          write(json, field.getValue());
        }
        json.writeEndObject();
      }
      case ARRAY -> {
        json.writeStartArray();
        for (JsonNode element : node) {
          write(json, element);
        }
        json.writeEndArray();
      }
      case STRING -> json.writeString(node.textValue());
      case BOOLEAN -> json.writeBoolean(node.booleanValue());
      case NUMBER -> writeNumber(json, node);
      case NULL -> json.writeNull();
      default -> throw new IllegalStateException("no JSON form for " + node.getNodeType());
    }
  }

  private static void writeNumber(JsonGenerator json, JsonNode node) throws IOException {
    if (node.isIntegralNumber()) {
      json.writeNumber(node.longValue());
    } else if (Double.isFinite(node.doubleValue())) {
      json.writeNumber(node.doubleValue());
    } else {
      json.writeNull();
    }
  }
}
