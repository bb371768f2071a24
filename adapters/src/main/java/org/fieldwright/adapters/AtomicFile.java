package org.fieldwright.adapters;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.UUID;

/**
 * Writes a file whole or not at all: into a hidden neighbour, forced to the disk, then renamed over
 * the target. Whoever opens the target sees the old content or the new, never a half; a failure
 * leaves the old content and no litter. A killed process may leave the hidden neighbour behind.
 */
public final class AtomicFile {
  private AtomicFile() {}

  /** Fills a stream with the content of a file. */
  @FunctionalInterface
  public interface Content {
    void writeTo(OutputStream out) throws IOException;
  }

  public static void write(Path target, byte[] content) throws IOException {
    write(target, out -> out.write(content));
  }

  public static void write(Path target, Content content) throws IOException {
    Path folder = target.toAbsolutePath().getParent();
    if (folder == null) {
      throw new IOException(target + " is not a file name");
    }
    // Told here, since the draft's name means nothing to a person.
    if (!Files.isDirectory(folder)) {
      throw new NoSuchFileException(folder.toString(), null, "no such folder");
    }
    Path draft = folder.resolve("." + target.getFileName() + "." + UUID.randomUUID() + ".tmp");
    try {
      try (FileChannel channel =
              FileChannel.open(draft, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE);
          OutputStream out = new BufferedOutputStream(Channels.newOutputStream(channel))) {
        content.writeTo(out);
        out.flush();
        channel.force(true);
      }
      rename(draft, target);
    } finally {
      Files.deleteIfExists(draft);
    }
  }

  private static void rename(Path draft, Path target) throws IOException {
    try {
      Files.move(
          draft, target, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
    } catch (AtomicMoveNotSupportedException e) {
      // Some network shares: still complete before it appears, though a reader may see it missing.
      Files.move(draft, target, StandardCopyOption.REPLACE_EXISTING);
    }
  }
}
