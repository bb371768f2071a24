package org.fieldwright.app.capture;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.fieldwright.core.BadInput;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class RecordRequestTest {
  private static final Path MAGNET = Path.of("magnet.yaml");

  @TempDir Path folder;

  private Path log(RecordRequest request) throws IOException {
    StringBuilder head = new StringBuilder();
    request.remarks().forEach((key, value) -> head.append("# %s: %s\n".formatted(key, value)));
    return Files.writeString(request.log(), head + "time,frequency_MHz\n");
  }

  private RecordRequest asked(Integer probe, Path current, Double alarmPpm, Double targetMHz) {
    Path log = folder.resolve("log-1.csv" + RecordRequest.UNFINISHED);
    return new RecordRequest(
        MAGNET, Path.of("r.yaml"), log, probe, current, 0.5, 200, alarmPpm, targetMHz, 300);
  }

  @Test
  void aLogThatWasLeftIsGoneOnWithAsItWasBegun() throws IOException {
    RecordRequest all = asked(7, Path.of("a.yaml"), 2.5, 23.4);
    assertThat(RecordRequest.unfinished(MAGNET, log(all))).isEqualTo(all);
    RecordRequest least = asked(null, null, null, null);
    assertThat(RecordRequest.unfinished(MAGNET, log(least))).isEqualTo(least);
  }

  @Test
  void aHeadThatAHandChangedSaysWhatIsWrongWithIt() throws IOException {
    Path log = log(asked(7, null, 2.5, null));
    Files.writeString(log, Files.readString(log).replace("alarm_ppm: 2.5", "alarm_ppm: 2,5"));
    assertThatThrownBy(() -> RecordRequest.unfinished(MAGNET, log))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("alarm_ppm: found '2,5', expected a number");
  }
}
