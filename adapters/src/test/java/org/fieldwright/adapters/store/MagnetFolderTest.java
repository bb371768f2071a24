package org.fieldwright.adapters.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import org.fieldwright.adapters.WholeFolder;
import org.fieldwright.core.BadInput;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class MagnetFolderTest {
  @TempDir Path folder;

  @Test
  void everyFileIsReadByItsPath() throws IOException {
    Map<String, byte[]> files = StoreContract.folder();
    WholeFolder.write(folder.resolve("m"), files);
    Map<String, byte[]> read = MagnetFolder.read(folder.resolve("m"));
    assertThat(read.keySet()).isEqualTo(files.keySet());
    files.forEach((path, bytes) -> assertThat(read.get(path)).as(path).isEqualTo(bytes));
  }

  @Test
  void whatIsNotInTheFolderIsNotRead() throws IOException {
    Path secret = Files.writeString(folder.resolve("secret"), "x");
    Path magnet = Files.createDirectory(folder.resolve("m"));
    Files.createSymbolicLink(magnet.resolve("link.csv"), secret);
    assertThatThrownBy(() -> MagnetFolder.read(magnet))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("link.csv");
    assertThatThrownBy(() -> MagnetFolder.read(secret)).isInstanceOf(BadInput.class);
  }
}
