package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.Closeable;
import java.io.IOException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.adapters.files.FileKind;
import org.fieldwright.adapters.instrument.ReaderProfileFile;
import org.fieldwright.app.TemporaryFolder;
import org.fieldwright.app.capture.LiveWork;
import org.fieldwright.app.simulate.ReaderService;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/** The readers of each magnet, and who works with them: one at a time, whatever it is. */
public final class ReaderDesk implements AutoCloseable {
  private final NotebookService notebook;
  private final Map<String, Map<Class<? extends LiveWork>, LiveWork>> works = new HashMap<>();

  public ReaderDesk(NotebookService notebook) {
    this.notebook = notebook;
  }

  /** A reader's profile, and what must be closed when it is no longer spoken to. */
  record Instrument(Path profile, Closeable atEnd) {}

  /** How a work begins; called only once nothing else goes on at the magnet. */
  interface Beginning<W extends LiveWork> {
    W begin(Instrument instrument) throws IOException;
  }

  /**
   * Begins a work with a reader.
   *
   * @param reader file of the profile in the magnet's folder; {@link ReaderService#PROFILE} = a
   *     simulated one, where the folder holds a scenario
   */
  <W extends LiveWork> W begin(String magnet, String reader, Beginning<W> beginning)
      throws IOException {
    letGo(magnet);
    synchronized (this) {
      requireEnded(magnet);
      Instrument instrument = instrument(magnet, reader);
      try {
        W work = beginning.begin(instrument);
        works.computeIfAbsent(magnet, m -> new HashMap<>()).put(work.getClass(), work);
        return work;
      } catch (IOException | RuntimeException e) {
        instrument.atEnd().close();
        throw e;
      }
    }
  }

  /** Refuses while something goes on; what has ended has let everything go after this. */
  void requireFree(String magnet) {
    letGo(magnet);
    requireEnded(magnet);
  }

  private synchronized void requireEnded(String magnet) {
    for (LiveWork there : works.getOrDefault(magnet, Map.of()).values()) {
      if (!there.hasEnded()) {
        throw new BadInput(there.what() + ": watch it, take it over, or end it first");
      }
    }
  }

  /** Waits until what has ended has let its reader go; the desk is free meanwhile. */
  private void letGo(String magnet) {
    List<LiveWork> there;
    synchronized (this) {
      there = List.copyOf(works.getOrDefault(magnet, Map.of()).values());
    }
    there.stream().filter(LiveWork::hasEnded).forEach(LiveWork::awaitEnd);
  }

  private Instrument instrument(String magnet, String reader) throws IOException {
    if (!reader.equals(ReaderService.PROFILE)) {
      return new Instrument(notebook.existing(magnet, reader), () -> {});
    }
    ReaderService simulated =
        new ReaderService(notebook.existing(magnet, SampleMagnet.SCENARIO), 0, null);
    TemporaryFolder folder = TemporaryFolder.make();
    return new Instrument(
        simulated.writeProfile(folder.path()),
        () -> {
          simulated.close();
          folder.close();
        });
  }

  /** The work of a kind at a magnet that goes on, or ended last; null = none was begun. */
  synchronized <W extends LiveWork> @Nullable W find(String magnet, Class<W> kind) {
    return kind.cast(works.getOrDefault(magnet, Map.of()).get(kind));
  }

  /**
   * The same.
   *
   * @param what it is, for who finds none
   */
  <W extends LiveWork> W of(String magnet, Class<W> kind, String what) throws NoSuchFileException {
    W work = find(magnet, kind);
    if (work == null) {
      throw new NoSuchFileException(what + " of " + magnet + " that goes on");
    }
    return work;
  }

  /**
   * How a work stands, with the readers of probes and of current in the magnet's folder, and who is
   * busy with them.
   *
   * @param work null = none was begun
   */
  synchronized ObjectNode json(String magnet, @Nullable ObjectNode work) throws IOException {
    ObjectNode node = work == null ? JsonNodeFactory.instance.objectNode() : work;
    if (work == null) {
      node.put("phase", "none");
    }
    String busy = null;
    for (LiveWork each : works.getOrDefault(magnet, Map.of()).values()) {
      busy = each.hasEnded() ? busy : each.what();
    }
    node.put("busy", busy);
    var readers = node.putArray("readers");
    var currents = node.putArray("current_readers");
    for (String file : notebook.files(magnet)) {
      if (file.equals(SampleMagnet.SCENARIO)) {
        readers.add(ReaderService.PROFILE);
      } else if (FileKind.isReader(notebook.existing(magnet, file))) {
        (readsCurrent(notebook.existing(magnet, file)) ? currents : readers).add(file);
      }
    }
    return node;
  }

  /** One that cannot be read is left among the readers, where choosing it says what is wrong. */
  private static boolean readsCurrent(Path profile) {
    try {
      return ReaderProfileFile.read(profile).readsCurrent();
    } catch (BadInput e) {
      return false;
    }
  }

  /**
   * A name for a new table, such as log-1.csv, that none in the magnet's folder has.
   *
   * @param unfinished what a name is followed by as long as the table is not whole
   */
  String newName(String magnet, String kind, String unfinished) throws IOException {
    List<String> there = notebook.files(magnet);
    for (int number = 1; ; number++) {
      String name = "%s-%d.csv".formatted(kind, number);
      if (!there.contains(name) && !there.contains(name + unfinished)) {
        return name;
      }
    }
  }

  /** Names the tables of a magnet that were left before they were whole. */
  void putUnfinished(ObjectNode node, String magnet, String unfinished) throws IOException {
    ArrayNode list = node.putArray("unfinished");
    for (String file : notebook.files(magnet)) {
      if (file.endsWith(unfinished)) {
        list.add(file.substring(0, file.length() - unfinished.length()));
      }
    }
  }

  /** Ends all of it as it stands; what was read is kept. */
  @Override
  public synchronized void close() {
    works.values().forEach(here -> here.values().forEach(LiveWork::close));
  }
}
