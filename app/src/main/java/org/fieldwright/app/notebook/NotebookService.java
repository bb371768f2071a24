package org.fieldwright.app.notebook;

import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.TreeSet;
import java.util.concurrent.ConcurrentHashMap;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.fieldwright.adapters.files.InputDigest;
import org.fieldwright.adapters.store.Accounts;
import org.fieldwright.adapters.store.Document;
import org.fieldwright.adapters.store.Label;
import org.fieldwright.adapters.store.Magnet;
import org.fieldwright.adapters.store.Store;
import org.fieldwright.adapters.store.StoreFault;
import org.fieldwright.adapters.store.Stores;
import org.fieldwright.adapters.store.Writer;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/**
 * What the store keeps of magnets, with each magnet's folder below {@code DATA/magnets} in line
 * with it: every file lies there under its own name, byte for byte as it was given, and a folder
 * can be copied away and used without this program. What {@link #save} and {@link #write} have
 * returned is in the store, on the disk.
 */
public final class NotebookService implements AutoCloseable {
  /** Flat names that mean the same on every file system and can be no way out of a folder. */
  private static final Pattern NAME = Pattern.compile("[A-Za-z0-9][A-Za-z0-9_-]{0,63}");

  private static final Pattern FILE =
      Pattern.compile("[A-Za-z0-9][A-Za-z0-9_-]{0,63}(\\.[A-Za-z0-9_-]{1,32}){1,3}");

  /** The name under which a magnet's own description lies in its folder. */
  public static final String MAGNET_FILE = "magnet.yaml";

  private final Path magnets;
  private final Store store;
  private final FolderMirror mirror;
  private final Map<String, Object> locks = new ConcurrentHashMap<>();

  private NotebookService(Path magnets, Store store, FolderMirror mirror) {
    this.magnets = magnets;
    this.store = store;
    this.mirror = mirror;
  }

  /**
   * Opens the store; magnets that lie in {@code data} and are not in it are taken in when they are
   * first asked for.
   *
   * @param data the user's data directory
   * @param server address of a database that a team shares, {@code
   *     jdbc:postgresql://HOST/DATABASE?user=NAME}; null = the one in {@code data}
   */
  public static NotebookService open(Path data, @Nullable String server, Clock clock)
      throws IOException {
    try {
      Store store = server == null ? Stores.embedded(data, clock) : Stores.server(server, clock);
      String which = server == null ? "embedded" : "server-" + Stores.fingerprint(server);
      Path magnets = data.resolve("magnets");
      return new NotebookService(
          magnets, store, new FolderMirror(store, magnets, data.resolve("in-line").resolve(which)));
    } catch (StoreFault e) {
      throw new BadInput("the store cannot be opened: " + e.getMessage(), e);
    }
  }

  /** A file somebody else changed since it was read; nothing was written. */
  public static final class Changed extends Exception {
    private static final long serialVersionUID = 1L;

    Changed(String file) {
      super(
          file
              + " is not what you opened: somebody else changed it, or it is there already; open it"
              + " again");
    }

    Changed(org.fieldwright.adapters.store.Changed e) {
      super(e.getMessage(), e);
    }
  }

  /** The database does not answer; nothing was written. */
  public static final class Unreachable extends RuntimeException {
    private static final long serialVersionUID = 1L;

    Unreachable(StoreFault e) {
      super("the store does not answer: nothing was written, and nothing is lost; try again", e);
    }
  }

  /**
   * A file to be kept.
   *
   * @param revision of what it replaces; 0 = it is new
   */
  @SuppressWarnings("ArrayRecordComponent") // handed over once, never compared
  record Filed(Label label, byte[] content, long revision) {
    Document in(Writer rows) throws org.fieldwright.adapters.store.Changed {
      return rows.save(label, content, revision);
    }
  }

  /** Names of the magnets in the store and in the folders, sorted. */
  public List<String> magnets() throws IOException {
    TreeSet<String> all = new TreeSet<>(reach(store::changes).keySet());
    all.addAll(Files.isDirectory(magnets) ? names(magnets, NAME) : List.of());
    return List.copyOf(all);
  }

  /**
   * Brings a magnet's folder in line with the store, both ways: what a hand changed in the folder
   * is taken in, what another server saved is written. To be called before anything is read there.
   */
  public void bringInLine(String magnet) throws IOException {
    check(NAME, magnet, "the magnet's name");
    synchronized (lock(magnet)) {
      try {
        mirror.bringInLine(magnet);
      } catch (StoreFault e) {
        throw new Unreachable(e);
      }
    }
  }

  /** Held by whoever takes a free name for a file of a magnet. */
  Object lock(String magnet) {
    return locks.computeIfAbsent(magnet, name -> new Object());
  }

  private interface Question<T> {
    T ask();
  }

  private static <T> T reach(Question<T> question) {
    try {
      return question.ask();
    } catch (StoreFault e) {
      throw new Unreachable(e);
    }
  }

  /** The rows, to be read. */
  Store store() {
    return store;
  }

  /** Who may use it, where a team shares it. */
  public Accounts accounts() {
    return store.accounts();
  }

  /** Names of a magnet's files, sorted. */
  public List<String> files(String magnet) throws IOException {
    Path folder = folder(magnet);
    return names(folder, FILE).stream()
        .filter(name -> Files.isRegularFile(folder.resolve(name), LinkOption.NOFOLLOW_LINKS))
        .toList();
  }

  /** A file's content and its SHA-256, of the same moment. */
  @SuppressWarnings("ArrayRecordComponent") // handed over once, never compared
  public record Kept(byte[] content, String sha256) {}

  public Kept read(String magnet, String file) throws IOException {
    byte[] content = Files.readAllBytes(existing(magnet, file));
    return new Kept(content, InputDigest.sha256(content));
  }

  /**
   * Keeps a file of a magnet, whole or not at all; the magnet is made with its first.
   *
   * @param expected SHA-256 of the content it replaces; null where the file is new
   * @return SHA-256 of what is there now
   */
  public String save(String magnet, String file, byte[] content, @Nullable String expected)
      throws IOException, Changed {
    check(NAME, magnet, "the magnet's name");
    check(FILE, file, "the file's name");
    synchronized (lock(magnet)) {
      bringInLine(magnet);
      Document there = reach(() -> store.document(magnet, file)).orElse(null);
      if (!Objects.equals(there == null ? null : there.sha256(), expected)) {
        throw new Changed(file);
      }
      Filed filed = filed(magnet, file, content, there);
      return write(magnet, filed::in).sha256();
    }
  }

  /** Keeps new files of a magnet, all or none. */
  void add(String magnet, Map<String, byte[]> files) throws IOException, Changed {
    List<Filed> filed = new ArrayList<>();
    for (Map.Entry<String, byte[]> file : files.entrySet()) {
      filed.add(filed(magnet, file.getKey(), file.getValue(), null));
    }
    write(magnet, rows -> all(filed, rows));
  }

  /** Writes files within a transaction. */
  static List<Document> all(List<Filed> files, Writer rows)
      throws org.fieldwright.adapters.store.Changed {
    List<Document> kept = new ArrayList<>();
    for (Filed file : files) {
      kept.add(file.in(rows));
    }
    return kept;
  }

  /**
   * A file as it is to be kept.
   *
   * @param before what it replaces; null where it is new
   */
  static Filed filed(String magnet, String file, byte[] content, @Nullable Document before)
      throws IOException {
    return before == null
        ? new Filed(new Label(magnet, file, FileKinds.of(file, content), null), content, 0)
        : new Filed(
            new Label(magnet, file, FileKinds.of(file, content), before.label().visit()),
            content,
            before.revision());
  }

  /**
   * Writes rows and files of a magnet in one transaction, then the folder; a magnet that is not
   * there is made.
   */
  <T> T write(String magnet, Store.Together<T> work) throws IOException, Changed {
    synchronized (lock(magnet)) {
      bringInLine(magnet);
      T done;
      try {
        boolean isNew = store.magnet(magnet).isEmpty();
        done =
            store.together(
                rows -> {
                  if (isNew) {
                    rows.save(new Magnet(magnet, magnet, 0));
                  }
                  return work.through(rows);
                });
      } catch (org.fieldwright.adapters.store.Changed e) {
        throw new Changed(e);
      } catch (StoreFault e) {
        throw new Unreachable(e);
      }
      bringInLine(magnet);
      return done;
    }
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

  @Override
  public void close() {
    store.close();
  }
}
