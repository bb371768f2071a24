package org.fieldwright.app;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Comparator;
import java.util.List;
import java.util.stream.Stream;

/** A folder to work in that is gone, with all that is in it, when it is closed. */
public record TemporaryFolder(Path path) implements AutoCloseable {

  public static TemporaryFolder make() throws IOException {
    return new TemporaryFolder(Files.createTempDirectory("fieldwright-"));
  }

  @Override
  public void close() throws IOException {
    List<Path> all;
    try (Stream<Path> walk = Files.walk(path)) {
      all = walk.sorted(Comparator.reverseOrder()).toList();
    }
    for (Path p : all) {
      Files.delete(p);
    }
  }
}
