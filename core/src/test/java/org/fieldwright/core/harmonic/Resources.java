package org.fieldwright.core.harmonic;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.List;

/** Reference data beside the tests. */
final class Resources {
  private Resources() {}

  static String text(String name) {
    try (InputStream in = Resources.class.getResourceAsStream("/harmonic/" + name)) {
      if (in == null) {
        throw new IllegalArgumentException("no resource " + name);
      }
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** Rows of a CSV without its comments and header. */
  static List<String[]> rows(String name) {
    return text(name)
        .lines()
        .filter(l -> !l.isBlank() && !l.startsWith("#"))
        .skip(1)
        .map(l -> l.split(","))
        .toList();
  }
}
