package org.fieldwright.adapters.journal;

import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.zip.CRC32C;
import org.fieldwright.core.BadInput;

/**
 * An append-only file of records. After the head, a line of text, each record is its length (4
 * bytes, big-endian), the CRC-32C of length and content (4 bytes), and the content.
 *
 * <p>{@link #append} returns once the record is forced to the disk; if it throws, the record is not
 * in the file, and the next one may be tried. A process that dies while appending leaves a torn
 * tail, a record whose frame reaches the end of the file or zeros up to it; opening cuts it off.
 * Damage anywhere else is refused, because records that had been acknowledged would be dropped with
 * it. One process at a time has a journal open.
 */
public final class Journal implements Closeable {
  private static final byte[] HEAD = "fieldwright journal 1\n".getBytes(StandardCharsets.US_ASCII);
  private static final int FRAME = 8;
  private static final int LONGEST = 1 << 20;
  private static final long MOST_BYTES = 1L << 31;

  private final Path path;
  private final DurableFile file;
  private final List<byte[]> found = new ArrayList<>();

  private Journal(Path path, DurableFile file) {
    this.path = path;
    this.file = file;
  }

  /** Opens a journal, or starts one. */
  public static Journal open(Path path) throws IOException {
    DurableFile file = DurableFile.open(path);
    Journal journal = new Journal(path, file);
    try {
      journal.recover();
      return journal;
    } catch (IOException | RuntimeException e) {
      file.close();
      throw e;
    }
  }

  /** The records that were there when the journal was opened. */
  public List<byte[]> found() {
    return List.copyOf(found);
  }

  private void recover() throws IOException {
    long size = file.end();
    if (size > MOST_BYTES) {
      throw new BadInput(path + ": found " + size + " bytes, expected a journal");
    }
    ByteBuffer all = file.read(0);
    if (isTornHead(all)) {
      file.begin(HEAD);
      return;
    }
    if (all.limit() < HEAD.length || !all.slice(0, HEAD.length).equals(ByteBuffer.wrap(HEAD))) {
      throw new BadInput(path + ": found another kind of file, expected a journal");
    }
    all.position(HEAD.length);
    boolean whole = true;
    while (whole && all.hasRemaining()) {
      whole = readRecord(all);
    }
    file.cut(all.position());
  }

  /** A file that was created and died before its head was whole. */
  private static boolean isTornHead(ByteBuffer all) {
    return all.limit() < HEAD.length
        && ByteBuffer.wrap(HEAD, 0, all.limit()).equals(all.duplicate());
  }

  /** Takes the next record; false, with the position before it, where only a torn tail is left. */
  private boolean readRecord(ByteBuffer all) {
    int start = all.position();
    if (all.remaining() < FRAME) {
      return false;
    }
    int length = all.getInt();
    int crc = all.getInt();
    boolean plausible = length > 0 && length <= LONGEST;
    if (plausible && length <= all.remaining()) {
      byte[] content = new byte[length];
      all.get(content);
      if (crc == crc(length, content)) {
        found.add(content);
        return true;
      }
    }
    boolean reachesEnd = plausible && length >= all.limit() - start - FRAME;
    all.position(start);
    if ((!reachesEnd && !onlyZeros(all)) || holdsRecord(all.slice(), 1)) {
      throw new BadInput(
          "%s: found damage at byte %d, expected whole records up to the end; %d records before it are whole"
              .formatted(path, start, found.size()));
    }
    return false;
  }

  private static boolean onlyZeros(ByteBuffer all) {
    for (int i = all.position(); i < all.limit(); i++) {
      if (all.get(i) != 0) {
        return false;
      }
    }
    return true;
  }

  /** Whether a whole record starts anywhere from here on: then what stands before it is no tail. */
  private static boolean holdsRecord(ByteBuffer rest, int from) {
    for (int start = from; start + FRAME < rest.limit(); start++) {
      int length = rest.getInt(start);
      if (length > 0 && length <= rest.limit() - start - FRAME) {
        byte[] content = new byte[length];
        rest.get(start + FRAME, content);
        if (rest.getInt(start + 4) == crc(length, content)) {
          return true;
        }
      }
    }
    return false;
  }

  private static int crc(int length, byte[] content) {
    CRC32C crc = new CRC32C();
    crc.update(ByteBuffer.allocate(4).putInt(length).flip());
    crc.update(content);
    return (int) crc.getValue();
  }

  /**
   * Adds a record and waits until it is on the disk.
   *
   * @throws IOException if it is not, for example because the disk is full
   */
  public void append(byte[] content) throws IOException {
    if (content.length == 0 || content.length > LONGEST) {
      throw new IllegalArgumentException("a record of " + content.length + " bytes");
    }
    ByteBuffer record = ByteBuffer.allocate(FRAME + content.length);
    record.putInt(content.length).putInt(crc(content.length, content)).put(content).flip();
    file.append(record, "the last record");
  }

  @Override
  public void close() throws IOException {
    file.close();
  }
}
