package org.fieldwright.adapters.text;

import java.io.BufferedInputStream;
import java.io.ByteArrayOutputStream;
import java.io.FilterInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.Reader;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.CharsetDecoder;
import java.nio.charset.CodingErrorAction;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import org.fieldwright.core.BadInput;

/**
 * UTF-8 text from a file, read once and within a bound: a byte order mark is dropped; UTF-16,
 * binary data and other encodings are refused rather than guessed at.
 */
public final class Utf8File {
  private static final int SNIFFED = 4;

  private Utf8File() {}

  /**
   * The whole text.
   *
   * @param maxBytes bound on the size
   */
  public static String read(Path path, long maxBytes) {
    try (InputStream in = open(path, maxBytes)) {
      byte[] bytes = in.readAllBytes();
      try {
        return strictDecoder().decode(ByteBuffer.wrap(bytes)).toString();
      } catch (CharacterCodingException e) {
        throw notUtf8(path, e);
      }
    } catch (IOException e) {
      throw unreadable(path, e);
    }
  }

  /** The text as a stream. Use {@link #notUtf8} on a {@link CharacterCodingException} from it. */
  public static Reader reader(Path path, long maxBytes) {
    return new InputStreamReader(open(path, maxBytes), strictDecoder());
  }

  /** The bytes after the byte order mark, guarded against size and NUL bytes. */
  private static InputStream open(Path path, long maxBytes) {
    requireFile(path);
    try {
      long size = Files.size(path);
      if (size > maxBytes) {
        throw tooLarge(path, maxBytes);
      }
      InputStream in = new BufferedInputStream(Files.newInputStream(path), 1 << 16);
      in.mark(SNIFFED);
      byte[] head = in.readNBytes(SNIFFED);
      refuseOtherEncodings(path, head);
      in.reset();
      if (startsWith(head, 0xef, 0xbb, 0xbf)) {
        in.skipNBytes(3);
      }
      return new Guard(in, path, maxBytes);
    } catch (IOException e) {
      throw unreadable(path, e);
    }
  }

  /** Refuses what is no file. */
  public static void requireFile(Path path) {
    if (!Files.exists(path)) {
      throw new BadInput(path + ": no such file");
    }
    if (Files.isDirectory(path)) {
      throw new BadInput(path + ": is a folder, expected a file");
    }
  }

  public static BadInput unreadable(Path path, IOException e) {
    return new BadInput(path + ": cannot be read (" + e.getMessage() + ")", e);
  }

  private static BadInput tooLarge(Path path, long maxBytes) {
    return new BadInput(
        path + ": found more than " + (maxBytes >> 20) + " MiB, expected a file within that bound");
  }

  private static void refuseOtherEncodings(Path path, byte[] head) {
    if (head.length == 0) {
      throw new BadInput(path + ":1: the file is empty, expected UTF-8 text");
    }
    boolean nul = head.length > 1 && (head[0] == 0) != (head[1] == 0);
    if (startsWith(head, 0xff, 0xfe) || startsWith(head, 0xfe, 0xff) || nul) {
      throw new BadInput(
          path
              + ":1: found UTF-16 text or binary data, expected UTF-8 text (save it as \"UTF-8\")");
    }
  }

  private static boolean startsWith(byte[] head, int... bytes) {
    if (head.length < bytes.length) {
      return false;
    }
    for (int i = 0; i < bytes.length; i++) {
      if ((head[i] & 0xff) != bytes[i]) {
        return false;
      }
    }
    return true;
  }

  /** The complaint about bytes that are no UTF-8, with the line of the first of them. */
  public static BadInput notUtf8(Path path, Throwable cause) {
    return new BadInput(
        path
            + ":"
            + firstUndecodableLine(path)
            + ": found bytes that are not UTF-8, expected UTF-8 text (save it as \"UTF-8\")",
        cause);
  }

  /** Reads the file again, line by line; only to explain a refusal. */
  private static int firstUndecodableLine(Path path) {
    int line = 1;
    try (InputStream in = new BufferedInputStream(Files.newInputStream(path))) {
      ByteArrayOutputStream bytes = new ByteArrayOutputStream();
      for (int b = in.read(); b >= 0; b = in.read()) {
        if (b != '\n') {
          bytes.write(b);
          continue;
        }
        strictDecoder().decode(ByteBuffer.wrap(bytes.toByteArray()));
        bytes.reset();
        line++;
      }
    } catch (IOException e) {
      return line; // the line that would not decode
    }
    return line;
  }

  private static CharsetDecoder strictDecoder() {
    return StandardCharsets.UTF_8
        .newDecoder()
        .onMalformedInput(CodingErrorAction.REPORT)
        .onUnmappableCharacter(CodingErrorAction.REPORT);
  }

  /** Counts bytes and lines, and stops at a NUL byte: no text holds one. */
  private static final class Guard extends FilterInputStream {
    private final Path path;
    private final long maxBytes;
    private long count;
    private int line = 1;

    Guard(InputStream in, Path path, long maxBytes) {
      super(in);
      this.path = path;
      this.maxBytes = maxBytes;
    }

    @Override
    public int read() throws IOException {
      byte[] one = new byte[1];
      return read(one, 0, 1) < 0 ? -1 : one[0] & 0xff;
    }

    @Override
    public int read(byte[] b, int off, int len) throws IOException {
      int n = super.read(b, off, len);
      count += Math.max(0, n);
      if (count > maxBytes) {
        throw tooLarge(path, maxBytes);
      }
      for (int i = off; i < off + n; i++) {
        if (b[i] == '\n') {
          line++;
        } else if (b[i] == 0) {
          throw new BadInput(
              path + ":" + line + ": found binary data (a NUL byte), expected UTF-8 text");
        }
      }
      return n;
    }
  }
}
