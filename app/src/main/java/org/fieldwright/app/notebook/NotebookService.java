package org.fieldwright.app.notebook;

import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.List;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.fieldwright.adapters.AtomicFile;
import org.fieldwright.adapters.files.InputDigest;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/**
 * The magnet folders below {@code DATA/magnets}. They are the store: every file lies there under
 * its own name, byte for byte as it was given, and a folder can be copied away and used without
 * this program. A file is forced to the disk before {@link #save} returns.
 */
public final class NotebookService {
  /** Flat names that mean the same on every file system and can be no way out of a folder. */
  private static final Pattern NAME = Pattern.compile("[A-Za-z0-9][A-Za-z0-9_-]{0,63}");

  private static final Pattern FILE =
      Pattern.compile("[A-Za-z0-9][A-Za-z0-9_-]{0,63}(\\.[A-Za-z0-9_-]{1,32}){1,3}");

  /** The name under which a magnet's own description lies in its folder. */
  public static final String MAGNET_FILE = "magnet.yaml";

  private final Path magnets;

  /**
   * @param data the user's data directory; made when the first file is saved
   */
  public NotebookService(Path data) {
    this.magnets = data.resolve("magnets");
  }

  /** A file somebody else changed since it was read; nothing was written. */
  public static final class Changed extends Exception {
    private static final long serialVersionUID = 1L;

    Changed(String file) {
      super(
          file
              + " is not what you opened: somebody else changed it, or it is there already; open it again");
    }
  }

  /** Names of the magnets, sorted. */
  public List<String> magnets() throws IOException {
    return Files.isDirectory(magnets) ? names(magnets, NAME) : List.of();
  }

  /** Names of a magnet's files, sorted. */
  public List<String> files(String magnet) throws IOException {
    return names(folder(magnet), FILE);
  }

  /** A file's content and its SHA-256, of the same moment. */
  @SuppressWarnings("ArrayRecordComponent") // handed over once, never compared
  public record Kept(byte[] content, String sha256) {}

  public Kept read(String magnet, String file) throws IOException {
    byte[] content = Files.readAllBytes(existing(magnet, file));
    return new Kept(content, InputDigest.sha256(content));
  }

  /**
   * Keeps a file of a magnet, whole or not at all.
   *
   * @param expected SHA-256 of the content it replaces; null where the file is new
   * @return SHA-256 of what is there now
   */
  public synchronized String save(
      String magnet, String file, byte[] content, @Nullable String expected)
      throws IOException, Changed {
    check(NAME, magnet, "the magnet's name");
    check(FILE, file, "the file's name");
    Path target = magnets.resolve(magnet).resolve(file);
    String there = Files.exists(target) ? InputDigest.sha256(target) : null;
    if (!java.util.Objects.equals(there, expected)) {
      throw new Changed(file);
    }
    Files.createDirectories(magnets.resolve(magnet));
    AtomicFile.write(target, content);
    return InputDigest.sha256(content);
  }

  /** Where a magnet's file lies; services read it there. */
  public Path existing(String magnet, String file) throws IOException {
    check(FILE, file, "the file's name");
    Path path = folder(magnet).resolve(file);
    if (!Files.isRegularFile(path, LinkOption.NOFOLLOW_LINKS)) {
      throw new NoSuchFileException(magnet + "/" + file);
    }
    return path;
  }

  /** The magnet's own description. */
  public Path magnetFile(String magnet) throws IOException {
    return existing(magnet, MAGNET_FILE);
  }

  /** A message without where the folders lie: that helps nobody at the other end. */
  public String withoutPlace(String message) {
    return message.replaceAll(
        Pattern.quote(magnets.toString() + File.separator) + "[A-Za-z0-9_-]+" + "[/\\\\]", "");
  }

  /** The folder itself. */
  Path folder(String magnet) throws IOException {
    check(NAME, magnet, "the magnet's name");
    Path folder = magnets.resolve(magnet);
    if (!Files.isDirectory(folder)) {
      throw new NoSuchFileException(magnet);
    }
    return folder;
  }

  private static List<String> names(Path folder, Pattern wanted) throws IOException {
    try (Stream<Path> inside = Files.list(folder)) {
      return inside
          .map(p -> String.valueOf(p.getFileName()))
          .filter(name -> wanted.matcher(name).matches())
          .sorted()
          .toList();
    }
  }

  private static void check(Pattern pattern, String name, String what) {
    if (!pattern.matcher(name).matches()) {
      throw new BadInput(
          "%s: found '%s'; right are letters, digits, - and _%s"
              .formatted(what, name, pattern == FILE ? ", with an ending such as .csv" : ""));
    }
  }
}
