package org.fieldwright.app.notebook;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.fieldwright.adapters.AtomicFile;
import org.fieldwright.adapters.store.Changed;
import org.fieldwright.adapters.store.Document;
import org.fieldwright.adapters.store.KeptResult;
import org.fieldwright.adapters.store.Label;
import org.fieldwright.adapters.store.Magnet;
import org.fieldwright.adapters.store.MagnetFolder;
import org.fieldwright.adapters.store.Result;
import org.fieldwright.adapters.store.Store;
import org.fieldwright.app.notebook.FolderLine.Seen;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/**
 * The folders of magnets, brought in line with the store, which is right. What a hand put into a
 * folder or changed there goes into the store; what the store has and the folder has not, or not
 * any more, is written. Where both changed, the store's content gets the name and the hand's one
 * beside it, {@code NAME-by-hand}. Nothing is ever deleted. One call at a time for one magnet.
 */
final class FolderMirror {
  /** Others may write meanwhile; what is not settled by then is at the next call. */
  private static final int MOST_PASSES = 8;

  private final Store store;
  private final Path magnets;
  private final Path lines;
  private final Map<String, FolderLine> known = new ConcurrentHashMap<>();

  /**
   * @param magnets holds the folders
   * @param lines holds what is remembered of each; another one for another store
   */
  FolderMirror(Store store, Path magnets, Path lines) {
    this.store = store;
    this.magnets = magnets;
    this.lines = lines;
  }

  /** Does nothing where neither the store nor the folder has such a magnet. */
  void bringInLine(String magnet) throws IOException {
    Path folder = magnets.resolve(magnet);
    if (!store.changes().containsKey(magnet)) {
      if (!Files.isDirectory(folder)) {
        return;
      }
      takeIn(magnet, folder);
    }
    FolderLine line = line(magnet);
    for (int pass = 0; pass < MOST_PASSES; pass++) {
      long changes = store.changes().getOrDefault(magnet, 0L);
      if (changes < line.changes()) {
        line = FolderLine.NONE; // an older store was put back: it must not pass for a newer one
      }
      Map<String, Seen> here = FolderWalk.look(folder, line);
      if (line.is(changes, here) && known.containsKey(magnet)) {
        known.put(
            magnet, new FolderLine(changes, here)); // what was read again need not be next time
        return;
      }
      if (!settle(magnet, folder, line, here)) {
        remember(magnet, folder, line, new FolderLine(changes, here));
        return;
      }
    }
  }

  private FolderLine line(String magnet) throws IOException {
    FolderLine line = known.get(magnet);
    return line == null ? FolderLine.read(lineFile(magnet)) : line;
  }

  private Path lineFile(String magnet) {
    return lines.resolve(magnet + ".json");
  }

  private void remember(String magnet, Path folder, FolderLine before, FolderLine now)
      throws IOException {
    if (before.changes() != now.changes()) {
      writeOwn(magnet, folder);
    }
    if (!before.equals(now)) {
      Files.createDirectories(lines);
      AtomicFile.write(lineFile(magnet), now.toJson());
    }
    known.put(magnet, now);
  }

  /** A magnet that the store has not: one that left a store comes back with all that it had. */
  private void takeIn(String magnet, Path folder) throws IOException {
    try {
      if (Files.exists(folder.resolve(Store.OWN_FOLDER))) {
        store.add(
            magnet,
            MagnetFolder.read(folder),
            (path, content) -> FileKinds.of(folder.resolve(path)));
      } else {
        store.save(new Magnet(magnet, magnet, 0));
      }
    } catch (Changed e) {
      // another server on the same store was first: it is there now
    }
  }

  /** Whether anything had to be done. */
  private boolean settle(String magnet, Path folder, FolderLine line, Map<String, Seen> here)
      throws IOException {
    Files.createDirectories(folder);
    Map<String, Document> kept =
        store.documents(magnet).stream()
            .collect(Collectors.toMap(d -> d.label().path(), Function.identity()));
    Set<String> paths = new TreeSet<>(kept.keySet());
    paths.addAll(here.keySet());
    boolean acted = false;
    for (String path : paths) {
      Seen seen = here.get(path);
      Document document = kept.get(path);
      if (document == null) {
        acted |=
            takeIn(folder, new Label(magnet, path, FileKinds.of(folder.resolve(path)), null), 0);
      } else if (seen == null || !seen.sha256().equals(document.sha256())) {
        settle(folder, document, seen, line);
        acted = true;
      }
    }
    return acted;
  }

  /** A file that the folder has not as the store has it. */
  private void settle(Path folder, Document document, @Nullable Seen seen, FolderLine line)
      throws IOException {
    String path = document.label().path();
    if (seen != null && line.has(path, document.sha256())) {
      takeIn(folder, document.label(), document.revision());
      return;
    }
    if (seen != null && !line.has(path, seen.sha256())) {
      Files.move(folder.resolve(path), FolderWalk.byHand(folder.resolve(path)));
    }
    byte[] content = store.content(document.sha256()).orElse(null);
    if (content != null) { // else it has been replaced meanwhile: the next pass sees by what
      Files.createDirectories(folder.resolve(path).getParent());
      AtomicFile.write(folder.resolve(path), content);
    }
  }

  /**
   * Takes a file into the store.
   *
   * @return whether it could be; what no store takes stays in the folder as it is
   */
  private boolean takeIn(Path folder, Label label, long revision) throws IOException {
    Path file = folder.resolve(label.path());
    if (Files.size(file) > Store.LARGEST) {
      return false;
    }
    try {
      store.save(label, Files.readAllBytes(file), revision);
      return true;
    } catch (Changed e) {
      return true; // another server was first: the next pass sees both
    } catch (BadInput e) {
      return false;
    }
  }

  /** What the store adds to the plain files, so that nothing is only in the database. */
  private void writeOwn(String magnet, Path folder) throws IOException {
    Path own = folder.resolve(Store.OWN_FOLDER);
    Path contents = Files.createDirectories(own.resolve("contents"));
    Set<String> needed = new HashSet<>();
    for (KeptResult kept : store.results(magnet)) {
      needed.add(kept.answer());
      kept.result().inputs().stream().map(Result.Input::sha256).forEach(needed::add);
    }
    for (String sha256 : needed) {
      byte[] content =
          Files.exists(contents.resolve(sha256)) ? null : store.content(sha256).orElse(null);
      if (content != null) {
        AtomicFile.write(contents.resolve(sha256), content);
      }
    }
    byte[] notebook = store.notebook(magnet).orElse(null);
    if (notebook != null) {
      AtomicFile.write(own.resolve("notebook.json"), notebook);
    }
  }
}
