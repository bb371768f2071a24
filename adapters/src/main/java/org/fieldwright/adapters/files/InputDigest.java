package org.fieldwright.adapters.files;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import org.fieldwright.adapters.Sha256;
import org.fieldwright.adapters.text.Utf8File;

/** What identifies an input: its SHA-256 (FIPS 180-4), in lower-case hexadecimal. */
public final class InputDigest {
  private InputDigest() {}

  public static String sha256(Path path) {
    Utf8File.requireFile(path);
    try (InputStream in = Files.newInputStream(path)) {
      return Sha256.of(in);
    } catch (IOException e) {
      throw Utf8File.unreadable(path, e);
    }
  }

  /** Of bytes at hand. */
  public static String sha256(byte[] bytes) {
    return Sha256.of(bytes);
  }
}
