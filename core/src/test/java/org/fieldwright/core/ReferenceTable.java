package org.fieldwright.core;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.List;

/** Numbers of published or independently computed tables kept beside the tests. */
public final class ReferenceTable {
  private ReferenceTable() {}

  /**
   * The rows below the header of a comma-separated table; lines with {@code #} name its source.
   *
   * @param resource path from the root of the test resources, e.g. {@code /geometry/nodes.csv}
   */
  public static List<double[]> rows(String resource) {
    try (InputStream in = ReferenceTable.class.getResourceAsStream(resource)) {
      if (in == null) {
        throw new IllegalArgumentException("no test resource " + resource);
      }
      return new String(in.readAllBytes(), StandardCharsets.UTF_8)
          .lines()
          .filter(line -> !line.startsWith("#"))
          .skip(1)
          .map(line -> Arrays.stream(line.split(",")).mapToDouble(Double::parseDouble).toArray())
          .toList();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
