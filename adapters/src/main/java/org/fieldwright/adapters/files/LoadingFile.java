package org.fieldwright.adapters.files;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.fieldwright.adapters.AtomicFile;
import org.fieldwright.adapters.files.table.Cells;
import org.fieldwright.adapters.files.table.Columns;
import org.fieldwright.adapters.files.table.Rows;
import org.fieldwright.adapters.text.SafeCell;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.NearestName;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.IronSystem.PocketId;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.correction.PieceType;
import org.fieldwright.core.correction.WeighedStacks;
import org.fieldwright.core.correction.WeighedStacks.Stack;

/**
 * Which pieces lie in which pockets, {@code tray,pocket,piece,count}, and what changes from one
 * loading to the next, {@code tray,pocket,piece,count,from,to}: there {@code count} is {@code to −
 * from}, the pieces to put in, negative for pieces to take out; only rows that change are listed.
 */
public final class LoadingFile {
  private static final long MOST_BYTES = 32L << 20;
  private static final int MOST_PIECES = 1_000_000;
  private static final double GRAMS = 1e3;
  private static final List<String> REQUIRED = List.of("tray", "pocket", "piece", "count");
  private static final List<String> CHANGES = List.of("from", "to");

  private LoadingFile() {}

  /** What lies where. A list of changes is refused unless it starts from empty pockets. */
  public static Loading read(Path path, IronSystem iron) {
    Map<Place, Integer> counts = new TreeMap<>();
    try (Rows rows = Rows.open(path, MOST_BYTES)) {
      Cells cells = new Cells(path.toString(), rows);
      Columns columns = Columns.of(cells, REQUIRED, CHANGES);
      while (cells.advance()) {
        Place place = newPlace(cells, columns, iron, counts);
        if (columns.has("from") && cells.requireInteger(columns.at("from"), 0, MOST_PIECES) != 0) {
          throw cells.complain(
              columns.at("from"), "0: this is a list of changes, not of what lies in the pockets");
        }
        counts.put(place, cells.requireInteger(columns.at("count"), 0, MOST_PIECES));
      }
    }
    return new Loading(counts);
  }

  /** How many pieces more (or, negative, fewer) lie in each place than before. */
  public static Map<Place, Integer> readChanges(Path path, IronSystem iron) {
    Map<Place, Integer> changes = new TreeMap<>();
    try (Rows rows = Rows.open(path, MOST_BYTES)) {
      Cells cells = new Cells(path.toString(), rows);
      Columns columns = Columns.of(cells, REQUIRED, CHANGES);
      if (columns.has("from") != columns.has("to")) {
        throw new BadInput(
            cells.headerWhere() + ": found one of the columns from and to, expected both or none");
      }
      while (cells.advance()) {
        Place place = newPlace(cells, columns, iron, changes);
        int count = cells.requireInteger(columns.at("count"), -MOST_PIECES, MOST_PIECES);
        if (columns.has("from")) {
          int from = cells.requireInteger(columns.at("from"), 0, MOST_PIECES);
          int to = cells.requireInteger(columns.at("to"), 0, MOST_PIECES);
          if (count != to - from) {
            throw cells.complain(columns.at("count"), "to − from = " + (to - from));
          }
        }
        changes.put(place, count);
      }
    }
    return changes;
  }

  /**
   * What a list of changes says beside the counts, where it has the columns.
   *
   * @param weighed g, by place; absent where nobody weighed
   * @param lot by place
   */
  public record Notes(Map<Place, Double> weighed, Map<Place, String> lot) {}

  /** The columns {@code weighed_g} and {@code lot} of a list of changes. */
  public static Notes readNotes(Path path, IronSystem iron) {
    Map<Place, Double> weighed = new TreeMap<>();
    Map<Place, String> lot = new TreeMap<>();
    try (Rows rows = Rows.open(path, MOST_BYTES)) {
      Cells cells = new Cells(path.toString(), rows);
      Columns columns = Columns.of(cells, REQUIRED, List.of("from", "to", "weighed_g", "lot"));
      while (cells.advance()) {
        Place place = newPlace(cells, columns, iron, Map.of());
        if (columns.has("weighed_g")) {
          double grams = cells.number(columns.at("weighed_g"));
          if (grams < 0) {
            throw cells.complain(columns.at("weighed_g"), "a mass in grams");
          }
          if (!Double.isNaN(grams)) {
            weighed.put(place, grams);
          }
        }
        if (columns.has("lot") && !cells.text(columns.at("lot")).isEmpty()) {
          lot.put(place, cells.text(columns.at("lot")));
        }
      }
    }
    return new Notes(weighed, lot);
  }

  /** The stacks of a list of changes that were weighed. */
  public static WeighedStacks readWeighed(Path path, IronSystem iron) {
    Round round = readRound(path, iron);
    Map<Place, Stack> stacks = new TreeMap<>();
    readNotes(path, iron)
        .weighed()
        .forEach(
            (place, grams) -> {
              int pieces = round.after().count(place) - round.before().count(place);
              if (pieces == 0 || grams == 0) {
                throw new BadInput(
                    "%s: found %s g for %d pieces in tray %d, pocket %d, expected a mass where pieces go in or come out"
                        .formatted(path, grams, pieces, place.tray(), place.pocket()));
              }
              PieceType kind =
                  iron.pieces().stream()
                      .filter(p -> p.id().equals(place.piece()))
                      .findFirst()
                      .orElseThrow();
              double worth = Math.copySign(grams / GRAMS / kind.mass(), pieces);
              stacks.put(place, new Stack(pieces, worth));
            });
    return new WeighedStacks(stacks);
  }

  /** What lay in the pockets before and after a round. */
  public record Round(Loading before, Loading after) {}

  /**
   * The round that a list of changes describes. Where it says from how many, that is what lay there
   * before, so that it makes no difference whether the magnet file has been brought up to date
   * since; otherwise what is installed lay there before.
   */
  public static Round readRound(Path path, IronSystem iron) {
    Loading before = readBefore(path, iron);
    return new Round(before, readChanged(path, iron.withInstalled(before)));
  }

  /** What lay in the pockets before a list of changes: what it states, else what is installed. */
  public static Loading readBefore(Path path, IronSystem iron) {
    Map<Place, Integer> stated = new TreeMap<>(iron.installed().counts());
    try (Rows rows = Rows.open(path, MOST_BYTES)) {
      Cells cells = new Cells(path.toString(), rows);
      Columns columns = Columns.of(cells, REQUIRED, CHANGES);
      while (columns.has("from") && cells.advance()) {
        Place place = newPlace(cells, columns, iron, Map.of());
        stated.put(place, cells.requireInteger(columns.at("from"), 0, MOST_PIECES));
      }
    }
    return new Loading(stated);
  }

  /** What lies where after the changes in a file were made to what is installed. */
  public static Loading readChanged(Path path, IronSystem iron) {
    Map<Place, Integer> counts = new TreeMap<>(iron.installed().counts());
    readChanges(path, iron)
        .forEach(
            (place, change) -> {
              int after = iron.installed().count(place) + change;
              if (after < 0) {
                throw new BadInput(
                    "%s: found %d of piece %s to take out of tray %d, pocket %d, where %d lie"
                        .formatted(
                            path,
                            -change,
                            place.piece(),
                            place.tray(),
                            place.pocket(),
                            iron.installed().count(place)));
              }
              counts.put(place, after);
            });
    return new Loading(counts);
  }

  private static Place newPlace(
      Cells cells, Columns columns, IronSystem iron, Map<Place, Integer> seen) {
    int tray = cells.requireInteger(columns.at("tray"), 1, MOST_PIECES);
    int pocket = cells.requireInteger(columns.at("pocket"), 1, MOST_PIECES);
    PocketId id = new PocketId(tray, pocket);
    if (iron.pockets().stream().noneMatch(p -> p.tray() == tray && p.number() == pocket)) {
      throw new BadInput(
          cells.where()
              + ": found tray "
              + id.tray()
              + ", pocket "
              + id.pocket()
              + ", expected a pocket that the magnet file describes");
    }
    String piece = cells.text(columns.at("piece"));
    List<String> known = iron.pieces().stream().map(PieceType::id).toList();
    if (!known.contains(piece)) {
      throw cells.complain(
          columns.at("piece"), "a piece of the magnet file; " + NearestName.advice(piece, known));
    }
    Place place = new Place(tray, pocket, piece);
    if (seen.containsKey(place)) {
      throw new BadInput(
          cells.where()
              + ": found tray "
              + tray
              + ", pocket "
              + pocket
              + ", piece "
              + piece
              + " a second time, expected one row for each");
    }
    return place;
  }

  /** Writes what lies where, all or nothing. */
  public static void write(Path path, Loading loading) {
    StringBuilder out = new StringBuilder("tray,pocket,piece,count\n");
    loading.counts().forEach((place, count) -> row(out, place, count).append('\n'));
    save(path, out.toString());
  }

  /**
   * Writes what changes from one loading to the next, all or nothing.
   *
   * @param weighed g, by place; the column is left out where nothing was weighed
   */
  public static void writeChanges(Path path, Loading from, Loading to, Map<Place, Double> weighed) {
    save(path, changes(from, to, weighed));
  }

  /** The text of a list of changes. */
  public static String changes(Loading from, Loading to) {
    return changes(from, to, Map.of());
  }

  private static String changes(Loading from, Loading to, Map<Place, Double> weighed) {
    StringBuilder out = new StringBuilder("tray,pocket,piece,count,from,to");
    out.append(weighed.isEmpty() ? "\n" : ",weighed_g\n");
    for (Place place : from.differences(to)) {
      int before = from.count(place);
      int after = to.count(place);
      row(out, place, after - before).append(',').append(before).append(',').append(after);
      if (!weighed.isEmpty()) {
        Double grams = weighed.get(place);
        out.append(',').append(grams == null ? "" : grams.toString());
      }
      out.append('\n');
    }
    return out.toString();
  }

  private static void save(Path path, String text) {
    try {
      AtomicFile.write(path, text.getBytes(StandardCharsets.UTF_8));
    } catch (IOException e) {
      throw new BadInput(path + ": cannot be written (" + e.getMessage() + ")", e);
    }
  }

  private static StringBuilder row(StringBuilder out, Place place, int count) {
    return out.append(place.tray())
        .append(',')
        .append(place.pocket())
        .append(',')
        .append(SafeCell.of(place.piece()))
        .append(',')
        .append(count);
  }
}
