package org.fieldwright.app.notebook;

import java.io.IOException;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.Map;
import java.util.TreeMap;
import org.fieldwright.adapters.files.InputDigest;
import org.fieldwright.adapters.store.Store;
import org.fieldwright.app.capture.CaptureRequest;
import org.fieldwright.app.capture.RecordRequest;
import org.fieldwright.app.notebook.FolderLine.Seen;
import org.fieldwright.core.BadInput;

/**
 * The files of a magnet's folder: not links, not what is hidden, not what the store adds, and not
 * surveys and logs that are still being taken.
 */
final class FolderWalk extends SimpleFileVisitor<Path> {
  private final Path folder;
  private final FolderLine line;
  private final Map<String, Seen> files = new TreeMap<>();

  private FolderWalk(Path folder, FolderLine line) {
    this.folder = folder;
    this.line = line;
  }

  /**
   * The files by their path with {@code /}; one that has the marks of {@code line} is not read
   * again. Hidden ones count only where they are in that line already.
   */
  static Map<String, Seen> look(Path folder, FolderLine line) throws IOException {
    if (!Files.isDirectory(folder)) {
      return Map.of();
    }
    FolderWalk walk = new FolderWalk(folder.toRealPath(), line);
    Files.walkFileTree(walk.folder, walk);
    return Map.copyOf(walk.files);
  }

  private String path(Path file) {
    return folder.relativize(file).toString().replace(file.getFileSystem().getSeparator(), "/");
  }

  private static boolean hidden(String path) {
    return path.startsWith(".") || path.contains("/.");
  }

  @Override
  public FileVisitResult preVisitDirectory(Path directory, BasicFileAttributes attributes) {
    String path = path(directory);
    boolean passed =
        path.equals(Store.OWN_FOLDER)
            || (hidden(path)
                && line.files().keySet().stream().noneMatch(p -> p.startsWith(path + "/")));
    return passed ? FileVisitResult.SKIP_SUBTREE : FileVisitResult.CONTINUE;
  }

  @Override
  public FileVisitResult visitFile(Path file, BasicFileAttributes attributes) {
    String path = path(file);
    boolean wanted = !hidden(path) || line.files().containsKey(path);
    boolean growing =
        path.endsWith(CaptureRequest.UNFINISHED) || path.endsWith(RecordRequest.UNFINISHED);
    if (attributes.isRegularFile() && wanted && !growing) {
      try {
        files.put(path, seen(file, path, attributes));
      } catch (BadInput e) {
        return FileVisitResult.CONTINUE; // gone meanwhile, or not for us to read
      }
    }
    return FileVisitResult.CONTINUE;
  }

  @Override
  public FileVisitResult visitFileFailed(Path file, IOException e) {
    return FileVisitResult.CONTINUE;
  }

  /** A free name beside a file for what a hand made of it. */
  static Path byHand(Path file) {
    String name = String.valueOf(file.getFileName());
    int dot = name.indexOf('.', 1);
    String stem = dot < 0 ? name : name.substring(0, dot);
    String ending = dot < 0 ? "" : name.substring(dot);
    Path free = file.resolveSibling(stem + "-by-hand" + ending);
    for (int k = 2; Files.exists(free, LinkOption.NOFOLLOW_LINKS); k++) {
      free = file.resolveSibling(stem + "-by-hand-" + k + ending);
    }
    return free;
  }

  private Seen seen(Path file, String path, BasicFileAttributes attributes) {
    long modified = attributes.lastModifiedTime().toMillis();
    Seen before = line.files().get(path);
    return before != null && before.holds(attributes.size(), modified)
        ? before
        : new Seen(
            InputDigest.sha256(file), attributes.size(), modified, System.currentTimeMillis());
  }
}
