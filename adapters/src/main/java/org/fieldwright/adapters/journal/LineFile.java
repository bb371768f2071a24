package org.fieldwright.adapters.journal;

import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import org.fieldwright.core.BadInput;

/**
 * A text file that grows by whole lines, each on the disk before anyone is told. A process that
 * dies while writing leaves part of a line, or zeros where the disk had not followed; opening cuts
 * that off. One process at a time has it open.
 */
public final class LineFile implements Closeable {
  /** More than is ever written at once, so that what is torn lies within it. */
  private static final int TAIL = 1 << 20;

  private final DurableFile file;

  private LineFile(DurableFile file) {
    this.file = file;
  }

  /** Opens a file, or makes an empty one. */
  public static LineFile open(Path path) throws IOException {
    DurableFile file = DurableFile.open(path);
    try {
      long from = Math.max(0, file.end() - TAIL);
      ByteBuffer tail = file.read(from);
      int whole = 0;
      for (int i = 0; i < tail.limit() && tail.get(i) != 0; i++) {
        whole = tail.get(i) == '\n' ? i + 1 : whole;
      }
      if (whole == 0 && from > 0) {
        throw new BadInput(path + ": found no end of a line, expected a text file");
      }
      file.cut(from + whole);
      return new LineFile(file);
    } catch (IOException | RuntimeException e) {
      file.close();
      throw e;
    }
  }

  /** Whether it holds no whole line. */
  public boolean isEmpty() {
    return file.end() == 0;
  }

  /** Begins anew with these lines. */
  public void begin(List<String> lines) throws IOException {
    file.begin(bytes(lines));
  }

  /**
   * Adds lines and waits until all are on the disk.
   *
   * @throws IOException if they are not, for example because the disk is full; then none of them is
   *     in the file, and the next may be tried
   */
  public void append(List<String> lines) throws IOException {
    file.append(ByteBuffer.wrap(bytes(lines)), "the last line");
  }

  private static byte[] bytes(List<String> lines) {
    return (String.join("\n", lines) + "\n").getBytes(StandardCharsets.UTF_8);
  }

  @Override
  public void close() throws IOException {
    file.close();
  }
}
