package org.fieldwright.app.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.Test;

class OutputTest {
  private final ByteArrayOutputStream out = new ByteArrayOutputStream();
  private final Output output = new Output(out, OutputStream.nullOutputStream());

  /** Read back by the parser of the library, which shares no code with the writer here. */
  @Test
  void writesOneDocumentThatReadsBackTheSame() throws IOException {
    ObjectNode document = JsonNodeFactory.instance.objectNode();
    document.put("text", "half ring, \"24\" probes — µT\n").put("whole", 408).put("gate", true);
    document.put("tiny", 1.0e-12).put("exact", 0.1).putNull("none");
    document.putArray("at_mm").add(0).add(-1.5).addObject().put("big", Long.MAX_VALUE);
    output.answer(document);
    JsonNode read = new ObjectMapper().readTree(out.toByteArray());
    assertThat(read).isEqualTo(new ObjectMapper().readTree(document.toString()));
  }

  @Test
  void aNumberThatIsNotFiniteBecomesNull() {
    output.answer(JsonNodeFactory.instance.objectNode().put("a", Double.NaN).put("b", 1.0 / 0.0));
    assertThat(out.toString(StandardCharsets.UTF_8))
        .isEqualToIgnoringWhitespace("{\"a\": null, \"b\": null}");
  }
}
