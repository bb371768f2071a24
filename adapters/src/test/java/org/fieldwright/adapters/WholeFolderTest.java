package org.fieldwright.adapters;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class WholeFolderTest {
  @TempDir private Path home = Path.of("");

  private static byte[] bytes(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }

  private Stream<String> names(Path folder) throws IOException {
    try (Stream<Path> all = Files.list(folder)) {
      return all.map(p -> p.getFileName().toString()).sorted().toList().stream();
    }
  }

  @Test
  void writesANewFolderWithItsSubfolders() throws IOException {
    Path target = home.resolve("a/b");
    WholeFolder.write(target, Map.of("one.txt", bytes("1"), "sub/two.txt", bytes("2")));
    assertThat(Files.readString(target.resolve("one.txt"))).isEqualTo("1");
    assertThat(Files.readString(target.resolve("sub/two.txt"))).isEqualTo("2");
    assertThat(names(home.resolve("a"))).containsExactly("b");
  }

  @Test
  void replacesItsOwnFilesAndLeavesOthersAlone() throws IOException {
    Path target = Files.createDirectory(home.resolve("out"));
    Files.writeString(target.resolve("one.txt"), "old");
    Files.writeString(target.resolve("mine.txt"), "keep");
    WholeFolder.write(target, Map.of("one.txt", bytes("new")));
    assertThat(Files.readString(target.resolve("one.txt"))).isEqualTo("new");
    assertThat(Files.readString(target.resolve("mine.txt"))).isEqualTo("keep");
    assertThat(names(home)).containsExactly("out");
  }

  /** The second file cannot be written beneath the first: neither appears. */
  @Test
  void writesNothingWhenOneFileFails() throws IOException {
    Path target = home.resolve("out");
    Map<String, byte[]> clash = new java.util.LinkedHashMap<>();
    clash.put("one", bytes("1"));
    clash.put("one/two", bytes("2"));
    assertThatThrownBy(() -> WholeFolder.write(target, clash)).isInstanceOf(IOException.class);
    assertThat(names(home)).isEmpty();
  }

  @Test
  void refusesAFileInTheFoldersPlace() throws IOException {
    Path target = Files.writeString(home.resolve("out"), "a file");
    assertThatThrownBy(() -> WholeFolder.write(target, Map.of("one", bytes("1"))))
        .isInstanceOf(IOException.class)
        .hasMessageContaining("not a folder");
    assertThat(names(home)).containsExactly("out");
  }
}
