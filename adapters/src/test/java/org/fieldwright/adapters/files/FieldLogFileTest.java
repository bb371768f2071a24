package org.fieldwright.adapters.files;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.stability.FieldLog;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Field logs as the format reference (docs/formats/field-log.md) describes them. */
class FieldLogFileTest {
  private static final double GAMMA = 42.57638543; // CODATA 2022, MHz/T

  @TempDir Path folder;

  private Path file(String text) throws IOException {
    Path path = folder.resolve("log.csv");
    Files.writeString(path, text);
    return path;
  }

  @Test
  void everyColumnIncludingMissingValues() throws IOException {
    FieldLog log =
        FieldLogFile.read(
            file(
                """
                # room: bay 2
                time,frequency_MHz,probe,current_A,temperature_C,pressure_hPa,comment
                2026-03-29T01:59:59.5+01:00,23.4,7,120.5,21.5,1013.2,start
                2026-03-29T03:00:00+02:00,,7,,21.6,,no lock
                2026-03-29T03:00:01.25+02:00,23.5,7,120.4,,1013.3,
                """),
            GAMMA);
    assertThat(log.start()).isEqualTo(Instant.parse("2026-03-29T00:59:59.500Z"));
    assertThat(log.time()).containsExactly(0, 0.5, 1.75);
    assertThat(log.field()[0]).isCloseTo(23.4 / GAMMA, within(1e-15));
    assertThat(log.field()[1]).isNaN();
    assertThat(log.probe()).containsExactly(7, 7, 7);
    assertThat(log.current()).containsExactly(120.5, Double.NaN, 120.4);
    assertThat(log.temperature()).containsExactly(21.5, 21.6, Double.NaN);
    assertThat(log.pressure()).containsExactly(1013.2, Double.NaN, 1013.3);
  }

  @Test
  void onlyTimeAndValueAreNeeded() throws IOException {
    FieldLog log =
        FieldLogFile.read(
            file("field_G\ttime\n15000,5\t2026-01-01 00:00Z\n15000,6\t2026-01-01 00:01Z\n"), GAMMA);
    assertThat(log.field()).containsExactly(1.50005, 1.50006);
    assertThat(log.probe()).isNull();
    assertThat(log.current()).isNull();
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '~',
      value = {
        "2026-03-29T02:30:00|23.4|:3: time: found '2026-03-29T02:30:00', expected an ISO 8601 time"
            + " with its offset from UTC, such as 2026-03-02T10:15:30+01:00 or"
            + " 2026-03-02T09:15:30Z (the offset is missing; local time alone is ambiguous)",
        "2026-03-01T10:00:00Z|23.4|:3: time 2026-03-01T10:00:00Z appears twice; every sample needs"
            + " a time of its own, and a field log follows one probe at a time",
        "2026-03-01T09:00:00Z|23.4|:3: time 2026-03-01T09:00:00Z is 3600.0 s before the sample"
            + " above it; samples must be in the order of time (a clock set back in between must be"
            + " corrected first)",
        "~~|23.4|:3: time: found nothing, expected an ISO 8601 time with its offset from UTC, such"
            + " as 2026-03-02T10:15:30+01:00 or 2026-03-02T09:15:30Z",
        "2026-03-01T10:00:01Z|23400000|:3: frequency_MHz: found '23400000', expected the unit of"
            + " the column throughout (it differs from the row above by a factor of 1000000)",
        "2026-03-01T10:00:01Z|23.4 MHz|:3: frequency_MHz: found '23.4 MHz', expected a finite"
            + " number such as 23.4167 (leave the cell empty if missing)",
        "2026-03-01T10:00:01Z|NaN|:3: frequency_MHz: found 'NaN', expected a finite number such as"
            + " 23.4167 (leave the cell empty if missing)",
        "2026-02-30T10:00:01Z|23.4|:3: time: found '2026-02-30T10:00:01Z', expected an ISO 8601"
            + " time with its offset from UTC, such as 2026-03-02T10:15:30+01:00 or"
            + " 2026-03-02T09:15:30Z (Invalid date 'FEBRUARY 30')"
      })
  void badRowsAreNamed(String time, String value, String message) throws IOException {
    Path path = file("time,frequency_MHz\n2026-03-01T10:00:00Z,23.4\n" + time + "," + value + "\n");
    assertThatThrownBy(() -> FieldLogFile.read(path, GAMMA))
        .isInstanceOf(BadInput.class)
        .hasMessage(path + message);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "frequency_MHz|:1: found no column time, expected one (ISO 8601 with an offset)",
        "tme,frequency_MHz|:1: found the unknown column 'tme', did you mean time?",
        "time,frequency_MHz,frequency_kHz|:1: found the columns 'frequency_MHz' and"
            + " 'frequency_kHz', expected one of them",
        "time,frequency_MHz,field_T|:1: found two value columns, frequency_MHz and field_T,"
            + " expected one of them",
        "time,frequency_MHz,temperature_K|:1: column 'temperature_K': found the unknown unit 'K',"
            + " expected temperature_C",
        "time,frequency_MHz,currentA|:1: found the unknown column 'currentA', did you mean"
            + " current_A?"
      })
  void badHeadersAreNamed(String header, String message) throws IOException {
    Path path = file(header + "\n");
    assertThatThrownBy(() -> FieldLogFile.read(path, GAMMA))
        .isInstanceOf(BadInput.class)
        .hasMessage(path + message);
  }
}
