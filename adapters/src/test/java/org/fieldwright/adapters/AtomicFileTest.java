package org.fieldwright.adapters;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class AtomicFileTest {
  @TempDir Path folder;

  @Test
  void replacesTheOldContent() throws IOException {
    Path file = folder.resolve("loading.csv");
    Files.writeString(file, "a much longer old content\n");
    AtomicFile.write(file, new byte[] {'n', 'e', 'w'});
    assertThat(file).hasContent("new");
    assertThat(names()).containsExactly("loading.csv");
  }

  @Test
  void aFailureHalfWayLeavesTheOldContentAndNoLitter() throws IOException {
    Path file = folder.resolve("loading.csv");
    Files.writeString(file, "old");
    assertThatThrownBy(
            () ->
                AtomicFile.write(
                    file,
                    out -> {
                      out.write(new byte[100_000]);
                      throw new IOException("disk full");
                    }))
        .hasMessage("disk full");
    assertThat(file).hasContent("old");
    assertThat(names()).containsExactly("loading.csv");
  }

  @Test
  void aMissingFolderIsNamed() {
    assertThatThrownBy(() -> AtomicFile.write(folder.resolve("none/x.csv"), new byte[0]))
        .isInstanceOf(IOException.class)
        .hasMessageEndingWith("none: no such folder");
  }

  private Stream<String> names() throws IOException {
    try (Stream<Path> files = Files.list(folder)) {
      return files.map(p -> p.getFileName().toString()).toList().stream();
    }
  }
}
