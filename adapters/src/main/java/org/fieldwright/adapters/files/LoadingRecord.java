package org.fieldwright.adapters.files;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.locks.ReentrantLock;
import org.fieldwright.adapters.AtomicFile;
import org.fieldwright.adapters.files.table.Cells;
import org.fieldwright.adapters.files.table.Columns;
import org.fieldwright.adapters.files.table.Rows;
import org.fieldwright.adapters.text.SafeCell;
import org.fieldwright.adapters.text.Timestamp;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.LoadedRound;
import org.fieldwright.core.correction.LoadedRound.Step;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.Loading.Place;
import org.jspecify.annotations.Nullable;

/**
 * What was really put into a magnet, round by round: {@code loadings.csv} beside the magnet file,
 * and with it the table of what is installed. Rows are only ever added; a round taken back is a
 * further round. Whoever has the record open has it alone, on this machine and, where the file
 * system passes locks on, on others.
 *
 * <p>A round is there whole or not at all, whenever the machine dies: the table as it will be is
 * written beside the present one, then the record, then the table takes its place. Opening the
 * record makes up for that last step if it was prevented. A table changed by hand since is left as
 * it is.
 */
public final class LoadingRecord implements AutoCloseable {
  /** Its name beside the magnet file. */
  public static final String NAME = "loadings.csv";

  private static final long MOST_BYTES = 64L << 20;
  private static final int MOST = 1_000_000;
  private static final List<String> COLUMNS =
      List.of(
          "round",
          "time",
          "by",
          "takes_back",
          "tray",
          "pocket",
          "piece",
          "count",
          "from",
          "to",
          "weighed_g",
          "lot",
          "note");

  private static final String LOCK = ".loadings.lock";
  private static final ReentrantLock HERE = new ReentrantLock(); // file locks hold between programs

  private final Path file;
  private final List<LoadedRound> rounds;
  private final FileChannel lock;

  private LoadingRecord(Path file, FileChannel lock) {
    this.file = file;
    this.lock = lock;
    this.rounds = read(file);
  }

  /** The rounds recorded beside a magnet file, the first one first. */
  public static List<LoadedRound> rounds(Path magnetFile) {
    return read(fileOf(magnetFile));
  }

  /** Where the record beside a magnet file lies, or will. */
  public static Path fileOf(Path magnetFile) {
    return beside(magnetFile, NAME);
  }

  /** The record beside a magnet file, new where there is none yet; waits until it is free. */
  public static LoadingRecord open(Path magnetFile) {
    HERE.lock();
    FileChannel lock = null;
    try {
      lock =
          FileChannel.open(
              beside(magnetFile, LOCK), StandardOpenOption.CREATE, StandardOpenOption.WRITE);
      lock.lock();
      return new LoadingRecord(fileOf(magnetFile), lock);
    } catch (IOException e) {
      release(lock);
      throw new BadInput(
          "%s: the record beside it cannot be opened (%s)".formatted(magnetFile, e.getMessage()),
          e);
    } catch (RuntimeException e) {
      release(lock);
      throw e;
    }
  }

  private static Path beside(Path magnetFile, String name) {
    return magnetFile.toAbsolutePath().resolveSibling(name);
  }

  @Override
  public void close() {
    release(lock);
  }

  private static void release(@Nullable FileChannel lock) {
    try {
      if (lock != null) {
        lock.close();
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    } finally {
      HERE.unlock();
    }
  }

  public List<LoadedRound> rounds() {
    return List.copyOf(rounds);
  }

  /** Puts the table of what is installed in place if the last round recorded could not do so. */
  public void settle(Path installedFile, IronSystem iron) {
    Path next = next(installedFile, rounds.size());
    try {
      if (!rounds.isEmpty() && Files.exists(next)) {
        LoadedRound last = rounds.get(rounds.size() - 1);
        Loading now = iron.installed();
        if (last.steps().stream().allMatch(s -> now.count(s.place()) == s.from())) {
          Files.move(next, installedFile, StandardCopyOption.REPLACE_EXISTING);
        } else { // changed by hand since
          Files.delete(next);
        }
      }
    } catch (IOException e) {
      throw new BadInput(installedFile + ": cannot be written (" + e.getMessage() + ")", e);
    }
  }

  private static Path next(Path installedFile, int round) {
    return installedFile.resolveSibling("." + installedFile.getFileName() + ".round-" + round);
  }

  /** Adds a round and brings the table of what is installed up to date. */
  public void add(LoadedRound round, Path installedFile, Loading after) {
    Path next = next(installedFile, round.number());
    LoadingFile.write(next, after);
    try {
      AtomicFile.write(file, with(round).getBytes(StandardCharsets.UTF_8));
      Files.move(next, installedFile, StandardCopyOption.REPLACE_EXISTING);
    } catch (IOException e) {
      throw new BadInput(file + ": cannot be written (" + e.getMessage() + ")", e);
    }
  }

  private String with(LoadedRound round) throws IOException {
    StringBuilder text = new StringBuilder();
    text.append(Files.exists(file) ? Files.readString(file) : String.join(",", COLUMNS) + '\n');
    for (Step s : round.steps()) {
      text.append(row(round, s)).append('\n');
    }
    return text.toString();
  }

  private static String row(LoadedRound round, Step s) {
    List<String> cells =
        List.of(
            Integer.toString(round.number()),
            round.time().toString(),
            SafeCell.of(round.by()),
            round.takesBack() == null ? "" : round.takesBack().toString(),
            Integer.toString(s.place().tray()),
            Integer.toString(s.place().pocket()),
            SafeCell.of(s.place().piece()),
            Integer.toString(s.count()),
            Integer.toString(s.from()),
            Integer.toString(s.to()),
            s.weighed() == null ? "" : s.weighed().toString(),
            SafeCell.of(s.lot()),
            SafeCell.of(round.note()));
    return String.join(",", cells);
  }

  private static List<LoadedRound> read(Path file) {
    if (!Files.exists(file)) {
      return List.of();
    }
    Map<Integer, LoadedRound> heads = new LinkedHashMap<>();
    Map<Integer, List<Step>> steps = new LinkedHashMap<>();
    try (Rows rows = Rows.open(file, MOST_BYTES)) {
      Cells cells = new Cells(file.toString(), rows);
      Columns columns = Columns.of(cells, COLUMNS, List.of());
      while (cells.advance()) {
        int number = cells.requireInteger(columns.at("round"), 1, MOST);
        if (number != steps.size() && number != steps.size() + 1) {
          throw cells.complain(columns.at("round"), "rounds in order, each one more than the last");
        }
        heads.putIfAbsent(number, head(cells, columns, number));
        steps.computeIfAbsent(number, n -> new ArrayList<>()).add(step(cells, columns));
      }
    }
    List<LoadedRound> rounds = new ArrayList<>();
    heads.forEach(
        (n, h) -> {
          List<Step> of = steps.getOrDefault(n, List.of());
          rounds.add(new LoadedRound(n, h.time(), h.by(), h.takesBack(), h.note(), of));
        });
    return rounds;
  }

  private static LoadedRound head(Cells cells, Columns columns, int number) {
    Timestamp time = cells.time(columns.at("time"));
    if (time == null) {
      throw cells.complain(columns.at("time"), Timestamp.EXPECTED);
    }
    return new LoadedRound(
        number,
        time.instant(),
        cells.text(columns.at("by")),
        cells.text(columns.at("takes_back")).isEmpty()
            ? null
            : (Integer) cells.requireInteger(columns.at("takes_back"), 1, number),
        cells.text(columns.at("note")),
        List.of());
  }

  private static Step step(Cells cells, Columns columns) {
    double weighed = cells.number(columns.at("weighed_g"));
    Place place =
        new Place(
            cells.requireInteger(columns.at("tray"), 1, MOST),
            cells.requireInteger(columns.at("pocket"), 1, MOST),
            cells.text(columns.at("piece")));
    return new Step(
        place,
        cells.requireInteger(columns.at("from"), 0, MOST),
        cells.requireInteger(columns.at("to"), 0, MOST),
        Double.isNaN(weighed) ? null : (Double) weighed,
        cells.text(columns.at("lot")));
  }
}
