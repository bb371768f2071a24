package org.fieldwright.adapters.instrument;

import java.io.ByteArrayOutputStream;
import java.io.Closeable;
import java.io.EOFException;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.concurrent.TimeUnit;

/** Lines to a reader and back, each answer within a time and of a bounded length. */
final class LineLink implements Closeable {
  private static final int LONGEST = 1 << 16;

  private final Wire wire;
  private final String ending;
  private final byte last;
  private final boolean checksum;
  private final byte[] buffer = new byte[4096];
  private int next;
  private int filled;

  LineLink(Wire wire, String ending, boolean checksum) {
    this.wire = wire;
    this.ending = ending;
    this.checksum = checksum;
    this.last = (byte) ending.charAt(ending.length() - 1);
  }

  void send(String line) throws IOException {
    String guarded = checksum ? Crc16.guarded(line) : line;
    wire.write((guarded + ending).getBytes(StandardCharsets.US_ASCII));
  }

  /** The next line without its ending and its checksum, which must be right. */
  String receive(int timeoutMs) throws IOException {
    String line = line(timeoutMs);
    if (!checksum) {
      return line;
    }
    String text = Crc16.unguarded(line);
    if (text == null) {
      throw new Garbled(line, "an answer that ends in * and its checksum");
    }
    return text;
  }

  private String line(int timeoutMs) throws IOException {
    long start = System.nanoTime();
    ByteArrayOutputStream line = new ByteArrayOutputStream();
    while (true) {
      while (next < filled) {
        byte b = buffer[next++];
        if (b == last) {
          return line.toString(StandardCharsets.ISO_8859_1).strip();
        }
        line.write(b);
        if (line.size() > LONGEST) {
          throw new IOException("an answer of more than " + LONGEST + " bytes without an end");
        }
      }
      long left = timeoutMs - TimeUnit.NANOSECONDS.toMillis(System.nanoTime() - start);
      int count = left <= 0 ? 0 : wire.read(buffer, (int) left);
      if (count < 0) {
        throw new EOFException("the reader ended the connection");
      }
      if (count == 0) {
        throw new IOException("no answer within %.3g s".formatted(timeoutMs / 1000.0));
      }
      next = 0;
      filled = count;
    }
  }

  @Override
  public void close() throws IOException {
    wire.close();
  }
}
