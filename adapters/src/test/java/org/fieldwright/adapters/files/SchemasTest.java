package org.fieldwright.adapters.files;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.networknt.schema.Error;
import com.networknt.schema.InputFormat;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import org.fieldwright.core.BadInput;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * The published JSON Schemas against the examples of the format reference, by an independent
 * validator (JSON Schema draft 2020-12), and against the reader: what one refuses the other does.
 */
class SchemasTest {
  private static final Path SCHEMAS = Path.of("..", "docs", "schemas");

  @TempDir Path folder;

  private static final Map<String, Schema> READY = new ConcurrentHashMap<>();

  static List<Error> errors(String schema, String text, InputFormat format) {
    return READY.computeIfAbsent(schema, SchemasTest::schema).validate(text, format);
  }

  private static Schema schema(String name) {
    try {
      return SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
          .getSchema(Files.readString(SCHEMAS.resolve(name + ".schema.json")));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static String resource(String name) throws IOException {
    try (InputStream in = SchemasTest.class.getResourceAsStream(name)) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"assess", "shim"})
  void outputsOfTheReferenceAreValid(String name) throws IOException {
    String example = resource(name + ".json");
    assertThat(errors(name, example, InputFormat.JSON)).isEmpty();
    // The schema has teeth: each key is needed, and none may change its type.
    assertThat(errors(name, example.replaceFirst("\"warnings\"", "\"remarks\""), InputFormat.JSON))
        .isNotEmpty();
    assertThat(errors(name, example.replace("\"imaging\"", "7"), InputFormat.JSON)).isNotEmpty();
  }

  @Test
  void fullMagnetFileIsValid() throws IOException {
    assertThat(errors("magnet", resource("full.yaml"), InputFormat.YAML)).isEmpty();
    assertThat(errors("magnet", "magnet: {field_T: 3}\n", InputFormat.YAML)).isEmpty();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "field_T: 0.55 -> field_T: -0.55",
        "field_T: 0.55 -> field_t: 0.55",
        "field_axis: z -> field_axis: w",
        "sample: water -> sample: oil",
        "radius_mm: 200\n -> radius_mm: '200'\n",
        "radius_mm: 200\n -> radius_mm: -200\n",
        "id: 1, -> id: 1.5,",
        "polar_deg: 4.1 -> polar_deg: 361",
        "range_MHz: [22.2, 24.6] -> range_MHz: [22.2]",
        "months: 12 -> months: 0.5",
        "reading_ppm: 0.02 -> reading_ppm: -1",
        "shape: cylinder -> shape: cube",
        "diameters_mm: [400, 400, 360] -> diameter_mm: 400",
        "limit_ppm: 20 -> limit_ppm: 0",
        "limit_ppm_per_hour: 0.1 -> limit_ppm: 0.1",
        "trays: 24 -> trays: 0",
        "size_mm: [40, 50, 0.1] -> size_mm: [40, 50]",
        "id: thin, size -> id: =thin, size",
        "capacity_mm: 12 -> capacity_pieces: 1.5",
        "capacity_mm: 12\n -> capacity_mm: 12\n  capacity_pieces: 3\n",
        "strength: {thin: 0.97} -> strength: {thin: 0}",
        "step_A: 0.01 -> step_A: -0.01",
        "normalisation: schmidt -> normalisation: Schmitt",
        "unit: ppm_per_A -> unit: ppm",
        "part: cos -> part: kos"
      })
  void schemaAndReaderRefuseTheSame(String change) throws IOException {
    String[] parts = change.split(" -> ", -1);
    String full = resource("full.yaml");
    assertThat(full).contains(parts[0]);
    String broken = full.replace(parts[0], parts[1]);
    Path path = folder.resolve("m.yaml");
    Files.writeString(path, broken);
    Files.writeString(folder.resolve("installed.csv"), resource("installed.csv"));
    assertThat(errors("magnet", broken, InputFormat.YAML)).isNotEmpty();
    assertThatThrownBy(() -> MagnetFile.read(path)).isInstanceOf(BadInput.class);
  }
}
