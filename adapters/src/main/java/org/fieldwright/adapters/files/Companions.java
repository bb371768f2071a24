package org.fieldwright.adapters.files;

import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.List;
import org.fieldwright.adapters.yaml.YamlNode;

/**
 * Finds the tables that a magnet file names beside itself. They must lie in its folder or below, so
 * that the folder can be copied whole, and so that a magnet file from elsewhere cannot have other
 * files read.
 */
final class Companions {
  private final Path owner;
  private final List<Path> found;

  /**
   * @param owner the magnet file
   * @param found to which each table is added
   */
  Companions(Path owner, List<Path> found) {
    this.owner = owner;
    this.found = found;
  }

  /**
   * The magnet file, beside which the record of loading lies; that counts as read if it is there.
   */
  Path record() {
    Path record = LoadingRecord.fileOf(owner);
    if (Files.exists(record)) {
      found.add(record);
    }
    return owner;
  }

  Path resolve(YamlNode node) {
    String expected = "the name of a file in the folder of the magnet file or below it";
    try {
      Path relative = Path.of(node.text());
      if (relative.isAbsolute() || relative.normalize().startsWith("..")) {
        throw node.complain(expected);
      }
      Path path = owner.resolveSibling(relative);
      found.add(path);
      return path;
    } catch (InvalidPathException e) {
      throw node.complain(expected);
    }
  }
}
