package org.fieldwright.adapters;

import java.io.IOException;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.DirectoryStream;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.UUID;

/**
 * Writes several files that belong together: all of them into a hidden neighbour of the folder
 * first, then moved over. A folder that does not exist yet appears whole; in one that does, files
 * of the same names are replaced one by one, each whole, and others are left alone.
 */
public final class WholeFolder {
  private WholeFolder() {}

  /**
   * Writes the files.
   *
   * @param files content by name relative to the folder; a name may hold sub-folders
   */
  public static void write(Path folder, Map<String, byte[]> files) throws IOException {
    Path target = folder.toAbsolutePath().normalize();
    Path parent = target.getParent();
    if (parent == null || (Files.exists(target) && !Files.isDirectory(target))) {
      throw new FileAlreadyExistsException(folder.toString(), null, "not a folder");
    }
    Files.createDirectories(parent);
    Path draft = Files.createDirectory(parent.resolve(".fieldwright-" + UUID.randomUUID()));
    try {
      for (Map.Entry<String, byte[]> file : files.entrySet()) {
        Path path = draft.resolve(file.getKey());
        Files.createDirectories(path.getParent());
        Files.write(path, file.getValue());
      }
      if (Files.exists(target)) {
        for (String name : files.keySet()) {
          Files.createDirectories(target.resolve(name).getParent());
          move(draft.resolve(name), target.resolve(name));
        }
      } else {
        move(draft, target);
      }
    } finally {
      delete(draft);
    }
  }

  private static List<String> topNames(Path folder) throws IOException {
    try (DirectoryStream<Path> entries = Files.newDirectoryStream(folder)) {
      List<String> names = new ArrayList<>();
      entries.forEach(entry -> names.add(String.valueOf(entry.getFileName())));
      return names;
    }
  }

  private static void move(Path from, Path to) throws IOException {
    try {
      Files.move(from, to, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
    } catch (AtomicMoveNotSupportedException e) {
      Files.move(from, to, StandardCopyOption.REPLACE_EXISTING);
    }
  }

  private static void delete(Path path) throws IOException {
    if (Files.isDirectory(path)) {
      for (String name : topNames(path)) {
        delete(path.resolve(name));
      }
    }
    Files.deleteIfExists(path);
  }
}
