package org.fieldwright.adapters.journal;

import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.channels.OverlappingFileLockException;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import org.fieldwright.core.BadInput;

/** A file that grows at its end, forced to the disk each time, by one process at a time. */
final class DurableFile implements Closeable {
  private final Path path;
  private final FileChannel channel;
  private long end;
  private boolean litter;

  private DurableFile(Path path, FileChannel channel) throws IOException {
    this.path = path;
    this.channel = channel;
    this.end = channel.size();
  }

  /**
   * Opens a file, or makes an empty one.
   *
   * @throws BadInput if another process has it
   */
  static DurableFile open(Path path) throws IOException {
    FileChannel channel =
        FileChannel.open(
            path, StandardOpenOption.CREATE, StandardOpenOption.READ, StandardOpenOption.WRITE);
    try {
      lock(path, channel);
      return new DurableFile(path, channel);
    } catch (IOException | RuntimeException e) {
      channel.close();
      throw e;
    }
  }

  private static void lock(Path path, FileChannel channel) throws IOException {
    FileLock lock;
    try {
      lock = channel.tryLock();
    } catch (OverlappingFileLockException e) {
      lock = null;
    }
    if (lock == null) {
      throw new BadInput(path + ": another process is writing it, expected one at a time");
    }
  }

  /** Where the next bytes go. */
  long end() {
    return end;
  }

  /** What the file holds from here on, ready to be read. */
  ByteBuffer read(long from) throws IOException {
    ByteBuffer bytes = ByteBuffer.allocate(Math.toIntExact(end - from));
    int read = 0;
    while (read >= 0 && bytes.hasRemaining()) {
      read = channel.read(bytes, from + bytes.position());
    }
    return bytes.flip();
  }

  /** Drops what stands from here on. */
  void cut(long at) throws IOException {
    if (at < end) {
      channel.truncate(at);
      channel.force(true);
      end = at;
    }
  }

  /** Writes the first bytes of a new file; whatever it held before is gone. */
  void begin(byte[] head) throws IOException {
    cut(0);
    append(ByteBuffer.wrap(head), "its beginning");
    forceFolder();
  }

  /** The name of a new file is on the disk only when its folder is. */
  private void forceFolder() throws IOException {
    Path folder = path.toAbsolutePath().getParent();
    if (folder != null && Files.isDirectory(folder)) {
      try (FileChannel directory = FileChannel.open(folder, StandardOpenOption.READ)) {
        directory.force(true);
      } catch (AccessDeniedException e) {
        // Windows opens no folders, and keeps the name with the file.
      }
    }
  }

  /**
   * Adds bytes and waits until they are on the disk.
   *
   * @param what they are, for the message
   * @throws IOException if they are not, for example because the disk is full; then none of them is
   *     in the file, and the next may be tried
   */
  void append(ByteBuffer bytes, String what) throws IOException {
    long after = end + bytes.remaining();
    try {
      clear();
      long position = end;
      while (bytes.hasRemaining()) {
        position += channel.write(bytes, position);
      }
      channel.force(false);
    } catch (IOException e) {
      litter = true;
      try {
        clear();
      } catch (IOException again) {
        e.addSuppressed(again); // tried once more before the next bytes
      }
      throw new IOException(
          "%s: %s could not be kept (%s); everything before it is safe"
              .formatted(path, what, e.getMessage()),
          e);
    }
    end = after;
  }

  /** Part of what failed would pass for damage once something else follows it. */
  private void clear() throws IOException {
    if (litter) {
      channel.truncate(end);
      litter = false;
    }
  }

  @Override
  public void close() throws IOException {
    channel.close();
  }
}
