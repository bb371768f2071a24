package org.fieldwright.adapters.files;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.adapters.files.table.Cells;
import org.fieldwright.adapters.files.table.Columns;
import org.fieldwright.adapters.files.table.Rows;
import org.fieldwright.adapters.text.SafeCell;
import org.fieldwright.adapters.text.Timestamp;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.LoadedRound;
import org.fieldwright.core.correction.LoadedRound.Step;
import org.fieldwright.core.correction.Loading.Place;

/**
 * What was really put into a magnet, round by round: {@code loadings.csv} beside the magnet file.
 * Rows are only ever added, each round in one write that is on the disk before it counts as done; a
 * round taken back is a further round.
 */
public final class LoadingRecord {
  private static final String NAME = "loadings.csv";
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

  private final Path file;
  private final List<LoadedRound> rounds;

  private LoadingRecord(Path file, List<LoadedRound> rounds) {
    this.file = file;
    this.rounds = rounds;
  }

  /** The record beside a magnet file; empty where there is none yet. */
  public static LoadingRecord beside(Path magnetFile) {
    Path folder = magnetFile.toAbsolutePath().getParent();
    Path file = folder == null ? Path.of(NAME) : folder.resolve(NAME);
    return new LoadingRecord(file, Files.exists(file) ? read(file) : List.of());
  }

  public List<LoadedRound> rounds() {
    return List.copyOf(rounds);
  }

  /** Adds a round; it is on the disk when this returns. */
  public void add(LoadedRound round) {
    StringBuilder text = new StringBuilder();
    boolean first = !Files.exists(file);
    if (first) {
      text.append(String.join(",", COLUMNS)).append('\n');
    }
    for (Step s : round.steps()) {
      text.append(row(round, s)).append('\n');
    }
    ByteBuffer bytes = ByteBuffer.wrap(text.toString().getBytes(StandardCharsets.UTF_8));
    try (FileChannel channel =
        FileChannel.open(file, StandardOpenOption.CREATE, StandardOpenOption.APPEND)) {
      long before = channel.size();
      try {
        while (bytes.hasRemaining()) {
          channel.write(bytes);
        }
        channel.force(true);
      } catch (IOException e) { // a full disk must not leave half a round
        channel.truncate(before);
        throw e;
      }
    } catch (IOException e) {
      throw new BadInput(file + ": cannot be written (" + e.getMessage() + ")", e);
    }
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
