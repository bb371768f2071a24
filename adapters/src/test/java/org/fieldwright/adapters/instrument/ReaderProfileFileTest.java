package org.fieldwright.adapters.instrument;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.networknt.schema.InputFormat;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.List;
import org.fieldwright.adapters.instrument.ReaderProfile.Item;
import org.fieldwright.core.BadInput;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The profile's reader against its published schema, by an independent validator. */
class ReaderProfileFileTest {
  private static final Path DOCS = Path.of("..", "docs");
  private static final Path TEMPLATE = DOCS.resolve("examples/reader-template.yaml");
  private static final Schema SCHEMA = schema();

  @TempDir Path folder;

  private static Schema schema() {
    try {
      return SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
          .getSchema(Files.readString(DOCS.resolve("schemas/reader-profile.schema.json")));
    } catch (IOException e) {
      throw new IllegalStateException(e);
    }
  }

  @Test
  void theTemplateSaysWhatItSays() {
    ReaderProfile profile = ReaderProfileFile.read(TEMPLATE);
    assertThat(profile.transport())
        .isEqualTo(new ReaderProfile.Transport.Tcp("192.168.1.20", 5025));
    assertThat(profile.lineEnding()).isEqualTo("\n");
    assertThat(profile.query().answer()).containsExactly(Item.VALUE, Item.SD, Item.LOCKED);
    assertThat(profile.query().probeByProbe()).isTrue();
    assertThat(profile.patience()).isEqualTo(new ReaderProfile.Patience(5000, 2, 500, 60_000));
    assertThat(profile.calibrated()).isEqualTo(LocalDate.of(2026, 3, 2));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "../docs/examples/reader-template.yaml",
        "src/main/resources/org/fieldwright/adapters/instrument/simulated/simulated-reader.yaml"
      })
  void whatShipsIsValid(String name) throws IOException {
    Path path = Path.of(name);
    assertThat(SCHEMA.validate(Files.readString(path), InputFormat.YAML)).isEmpty();
    assertThat(ReaderProfileFile.read(path).identification()).isNotNull();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "reader: my reader -> raeder: my reader",
        "kind: tcp -> kind: udp",
        "port: 5025 -> port: 65536",
        "port: 5025} -> port: 5025, baud: 9600}",
        "line_ending: lf -> line_ending: nl",
        "ask: \"*IDN?\" -> ask: \"*IDN?\\n*RST\"",
        "setup: [\"*CLS\"] -> setup: [\"\u00e9\"]",
        "none: \"0,\" -> never: \"0,\"",
        " {high_MHz} -> ",
        "PROBE {probe} -> PROBE",
        "[value, sd, locked] -> [sd, locked]",
        "[value, sd, locked] -> [value, sd, lock]",
        "separator: comma -> separator: ','",
        "no_lock: [\"9.91E37\"] -> no_lock: 9.91E37",
        "timeout_s: 5 -> timeout_s: 0",
        "retries: 2 -> retries: 1.5",
        "calibrated: 2026-03-02 -> calibrated: 2 March 2026",
        "months: 12 -> months: 0"
      })
  void schemaAndReaderRefuseTheSame(String change) throws IOException {
    String broken = changed(change);
    assertThat(SCHEMA.validate(broken, InputFormat.YAML)).isNotEmpty();
    assertRefused(broken);
  }

  /** What a schema cannot say. */
  @ParameterizedTest
  @ValueSource(
      strings = {
        "value_unit: MHz -> value_unit: mHz",
        "  value_unit: MHz\n -> ",
        "  sd_unit: Hz\n -> ",
        "[value, sd, locked] -> [value, unit, sd, locked]",
        "[value, sd, locked] -> [value, value, sd]",
        "READ? -> READ? {channel}",
        "READ? -> READ? {probe",
        "  choose: \"PROBE {probe}\" -> #"
      })
  void theReaderRefusesMore(String change) throws IOException {
    assertRefused(changed(change));
  }

  private static String changed(String change) throws IOException {
    List<String> parts = List.of(change.split(" -> ", -1));
    String template = Files.readString(TEMPLATE);
    assertThat(template).contains(parts.get(0));
    return template.replace(parts.get(0), parts.get(1));
  }

  private void assertRefused(String text) throws IOException {
    Path path = folder.resolve("reader.yaml");
    Files.writeString(path, text);
    assertThatThrownBy(() -> ReaderProfileFile.read(path))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("reader.yaml:")
        .hasMessageContaining("found");
  }

  @Test
  void theChecksumIsTheCatalogues() {
    // "CRC-16/IBM-3740": check value of the digits 1 to 9, Catalogue of parametrised CRC
    // algorithms.
    assertThat(Crc16.guarded("123456789")).isEqualTo("123456789*29B1");
    assertThat(Crc16.unguarded("123456789*29B1")).isEqualTo("123456789");
    assertThat(Crc16.unguarded("123456780*29B1")).isNull();
    assertThat(Crc16.unguarded("123456789")).isNull();
  }
}
