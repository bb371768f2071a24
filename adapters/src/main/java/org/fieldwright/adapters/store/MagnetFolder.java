package org.fieldwright.adapters.store;

import java.io.IOException;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.Map;
import java.util.TreeMap;
import org.fieldwright.core.BadInput;

/** Reads a folder as {@link Store#add} takes it. */
public final class MagnetFolder {
  /** Bytes of a whole folder: it passes through memory once. */
  private static final long LARGEST = 512L << 20;

  private MagnetFolder() {}

  /**
   * Every file below a folder, hidden ones too, by its path with {@code /}. Empty folders are no
   * files. Links are refused: what they lead to is not in the folder.
   */
  public static Map<String, byte[]> read(Path folder) throws IOException {
    if (!Files.isDirectory(folder, LinkOption.NOFOLLOW_LINKS)) {
      throw new BadInput(folder + ": found no folder there");
    }
    Map<String, byte[]> files = new TreeMap<>();
    Files.walkFileTree(folder, new Reader(folder, files));
    return files;
  }

  private static final class Reader extends SimpleFileVisitor<Path> {
    private final Path folder;
    private final Map<String, byte[]> files;
    private long bytes;

    Reader(Path folder, Map<String, byte[]> files) {
      this.folder = folder;
      this.files = files;
    }

    @Override
    public FileVisitResult visitFile(Path file, BasicFileAttributes attributes) throws IOException {
      if (!attributes.isRegularFile()) {
        throw new BadInput(file + ": found a link or device; right are plain files");
      }
      bytes += attributes.size();
      if (bytes > LARGEST) {
        throw new BadInput(
            "%s: found more than %d bytes; a magnet's folder may have that many"
                .formatted(folder, LARGEST));
      }
      String path =
          folder.relativize(file).toString().replace(file.getFileSystem().getSeparator(), "/");
      files.put(path, Files.readAllBytes(file));
      return FileVisitResult.CONTINUE;
    }
  }
}
