package org.fieldwright.adapters.files;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import org.fieldwright.adapters.text.Utf8File;

/** What identifies an input: its SHA-256 (FIPS 180-4), in lower-case hexadecimal. */
public final class InputDigest {
  private InputDigest() {}

  public static String sha256(Path path) {
    Utf8File.requireFile(path);
    MessageDigest digest = sha256();
    try (InputStream in = Files.newInputStream(path)) {
      byte[] buffer = new byte[1 << 16];
      for (int n = in.read(buffer); n >= 0; n = in.read(buffer)) {
        digest.update(buffer, 0, n);
      }
    } catch (IOException e) {
      throw Utf8File.unreadable(path, e);
    }
    return HexFormat.of().formatHex(digest.digest());
  }

  /** Of bytes at hand. */
  public static String sha256(byte[] bytes) {
    return HexFormat.of().formatHex(sha256().digest(bytes));
  }

  private static MessageDigest sha256() {
    try {
      return MessageDigest.getInstance("SHA-256");
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }
}
