package org.fieldwright.app.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.networknt.schema.InputFormat;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import org.fieldwright.adapters.instrument.simulated.SimulatedReader;
import org.fieldwright.app.simulate.ReaderService;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** {@code record} from the words to the answer, with a simulated reader. */
class RecordCommandTest {
  private final ByteArrayOutputStream out = new ByteArrayOutputStream();
  private final ByteArrayOutputStream err = new ByteArrayOutputStream();
  @TempDir private Path folder;

  @BeforeEach
  void demoMagnet() throws IOException {
    for (String name : new String[] {"magnet.yaml", "installed.csv", "scenario.yaml"}) {
      try (InputStream in = RecordCommandTest.class.getResourceAsStream("/demo/" + name)) {
        String text = new String(in.readAllBytes(), StandardCharsets.UTF_8);
        Files.writeString(
            folder.resolve(name),
            text.replace("seconds_per_reading: 1.5", "seconds_per_reading: 0.01"));
      }
    }
  }

  private static String simulatedReadersProfile() throws IOException {
    try (InputStream in = SimulatedReader.class.getResourceAsStream(SimulatedReader.PROFILE)) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
  }

  private String at(String name) {
    return folder.resolve(name).toString();
  }

  private int run(String... words) {
    out.reset();
    err.reset();
    return Main.run(new Output(out, err), words);
  }

  @Test
  void theAnswerFollowsItsSchema() throws IOException {
    try (ReaderService reader = new ReaderService(folder.resolve("scenario.yaml"), 0, null)) {
      String profile = simulatedReadersProfile();
      Files.writeString(
          folder.resolve("i.yaml"), profile.replace("port: 5055", "port: " + reader.port()));
      int status =
          run(
              "record",
              "--magnet",
              at("magnet.yaml"),
              "--instrument",
              at("i.yaml"),
              "--out",
              at("log.csv"),
              "--probe",
              "12",
              "--interval-s",
              "0",
              "--hours",
              "0.0004",
              "--json");
      assertThat(status).as(err.toString(StandardCharsets.UTF_8)).isZero();
    }
    String schema = Files.readString(Path.of("..", "docs", "schemas", "record.schema.json"));
    assertThat(
            SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                .getSchema(schema)
                .validate(out.toString(StandardCharsets.UTF_8), InputFormat.JSON))
        .isEmpty();
    assertThat(err.toString(StandardCharsets.UTF_8))
        .startsWith("This only watches: it drives no power supply")
        .contains("Probe 12 found the field at 23.4");
    assertThat(run("watch", at("log.csv"), "--magnet", at("magnet.yaml"))).isZero();
  }

  @Test
  void badWordsAreAnswered() {
    String[] words = {
      "record", "--magnet", "m", "--instrument", "i", "--out", "o", "--hours", "-1"
    };
    assertThat(run(words)).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(err.toString(StandardCharsets.UTF_8))
        .contains("--hours: found -1.0, expected a number above 0");
    assertThat(run("seat", "--magnet", "m", "--instrument", "i", "--earlier", "e", "--to", "there"))
        .isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(err.toString(StandardCharsets.UTF_8))
        .contains("--to: found 'there', expected magnetic-centre or as-before");
  }
}
