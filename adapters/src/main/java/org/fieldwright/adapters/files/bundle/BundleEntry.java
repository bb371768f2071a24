package org.fieldwright.adapters.files.bundle;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.zip.CRC32;
import org.fieldwright.adapters.text.Utf8File;
import org.fieldwright.core.BadInput;

/**
 * A file of a bundle: its name, where its bytes come from, and what they must be. The bytes are
 * read as a stream each time, never held, so that a log of any size costs a buffer.
 */
public final class BundleEntry {
  private static final int BUFFER = 1 << 16;

  private final String name;
  private final Source source;
  private final long size;
  private final int crc;
  private final String sha256;

  /** Opens the bytes from their beginning. */
  @FunctionalInterface
  interface Source {
    InputStream open() throws IOException;
  }

  BundleEntry(String name, Source source, Sum sum) {
    this.name = name;
    this.source = source;
    this.size = sum.size;
    this.crc = (int) sum.crc.getValue();
    this.sha256 = sum.sha256();
  }

  /** Bytes at hand. */
  public static BundleEntry of(String name, byte[] content) {
    Sum sum = new Sum();
    sum.add(content, content.length);
    return new BundleEntry(name, () -> new ByteArrayInputStream(content), sum);
  }

  /** A file, read once now and again when the archive is written. */
  public static BundleEntry of(String name, Path file) {
    Utf8File.requireFile(file);
    Sum sum = new Sum();
    try (InputStream in = Files.newInputStream(file)) {
      pass(in, OutputStream.nullOutputStream(), sum);
    } catch (IOException e) {
      throw Utf8File.unreadable(file, e);
    }
    return new BundleEntry(name, () -> Files.newInputStream(file), sum);
  }

  public String name() {
    return name;
  }

  /** Bytes. */
  public long size() {
    return size;
  }

  int crc() {
    return crc;
  }

  /** Lower-case hexadecimal. */
  public String sha256() {
    return sha256;
  }

  /**
   * Copies the bytes.
   *
   * @throws BadInput if they are no longer what they were
   */
  public void copyTo(OutputStream out) throws IOException {
    Sum again = new Sum();
    try (InputStream in = source.open()) {
      pass(in, out, again);
    }
    if (again.size != size || !again.sha256().equals(sha256)) {
      throw new BadInput(name + ": was changed while it was read; start again");
    }
  }

  static void pass(InputStream in, OutputStream out, Sum sum) throws IOException {
    byte[] buffer = new byte[BUFFER];
    for (int n = in.read(buffer); n >= 0; n = in.read(buffer)) {
      sum.add(buffer, n);
      out.write(buffer, 0, n);
    }
  }

  /** Size, CRC-32 (for zip readers) and SHA-256 (for people) of bytes as they pass. */
  static final class Sum {
    private final CRC32 crc = new CRC32();
    private final MessageDigest digest;
    private long size;

    Sum() {
      try {
        digest = MessageDigest.getInstance("SHA-256");
      } catch (NoSuchAlgorithmException e) {
        throw new IllegalStateException("every Java platform has SHA-256", e);
      }
    }

    void add(byte[] bytes, int count) {
      crc.update(bytes, 0, count);
      digest.update(bytes, 0, count);
      size += count;
    }

    private String sha256() {
      return HexFormat.of().formatHex(digest.digest());
    }
  }
}
