package org.fieldwright.adapters.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import org.fieldwright.core.BadInput;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Whole lines survive wherever the file was torn; what follows them does not. */
class LineFileTest {
  private static final String TEXT = "# head\na,b\n1,2\n3,4\n";

  @TempDir Path folder;

  @Test
  void tornAnywhereTheWholeLinesStay() throws IOException {
    byte[] whole = TEXT.getBytes(StandardCharsets.UTF_8);
    for (int length = 0; length <= whole.length; length++) {
      for (int zeros : new int[] {0, 1, 50}) {
        Path path = folder.resolve("torn.csv");
        Files.write(path, Arrays.copyOf(Arrays.copyOf(whole, length), length + zeros));
        String kept = TEXT.substring(0, TEXT.substring(0, length).lastIndexOf('\n') + 1);
        try (LineFile file = LineFile.open(path)) {
          assertThat(file.isEmpty()).isEqualTo(kept.isEmpty());
          file.append(List.of("5,6", "7,8"));
        }
        assertThat(Files.readString(path)).isEqualTo(kept + "5,6\n7,8\n");
      }
    }
  }

  @Test
  void beginningAnewLeavesNothing() throws IOException {
    Path path = Files.writeString(folder.resolve("a.csv"), "old\n");
    try (LineFile file = LineFile.open(path)) {
      file.begin(List.of("new", "lines"));
      assertThatThrownBy(() -> LineFile.open(path).close())
          .isInstanceOf(BadInput.class)
          .hasMessageContaining("another process is writing it");
    }
    assertThat(Files.readString(path)).isEqualTo("new\nlines\n");
  }

  @Test
  void aFileWithoutLinesIsRefused() throws IOException {
    byte[] much = new byte[3 << 20];
    Arrays.fill(much, (byte) 'x');
    Path path = Files.write(folder.resolve("x.bin"), much);
    assertThatThrownBy(() -> LineFile.open(path).close())
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("found no end of a line");
    assertThat(Files.size(path)).isEqualTo(much.length);
  }
}
