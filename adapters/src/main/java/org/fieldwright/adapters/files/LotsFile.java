package org.fieldwright.adapters.files;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.fieldwright.adapters.files.table.Cells;
import org.fieldwright.adapters.files.table.Columns;
import org.fieldwright.adapters.files.table.Rows;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.LotStock;
import org.fieldwright.core.correction.PieceType;

/** {@code iron.lots}: what was delivered, {@code lot,piece,delivered}. */
final class LotsFile {
  private static final long MOST_BYTES = 4L << 20;
  private static final int MOST = 1_000_000;

  private LotsFile() {}

  /** The lots, none of them used yet. */
  static List<LotStock> read(Path path, List<PieceType> pieces) {
    List<String> kinds = pieces.stream().map(PieceType::id).toList();
    List<LotStock> lots = new ArrayList<>();
    Set<List<String>> seen = new HashSet<>();
    try (Rows rows = Rows.open(path, MOST_BYTES)) {
      Cells cells = new Cells(path.toString(), rows);
      Columns columns = Columns.of(cells, List.of("lot", "piece", "delivered"), List.of());
      while (cells.advance()) {
        String lot = cells.text(columns.at("lot"));
        String piece = cells.text(columns.at("piece"));
        if (lot.isEmpty()) {
          throw cells.complain(columns.at("lot"), "a name");
        }
        if (!kinds.contains(piece)) {
          throw cells.complain(
              columns.at("piece"), "a piece of the magnet file: " + String.join(", ", kinds));
        }
        if (!seen.add(List.of(lot, piece))) {
          throw cells.complain(columns.at("lot"), "each lot of a piece once");
        }
        int delivered = cells.requireInteger(columns.at("delivered"), 1, MOST);
        lots.add(new LotStock(lot, piece, delivered, delivered));
      }
    }
    if (lots.isEmpty()) {
      throw new BadInput(path + ": found no lot, expected at least one below the header");
    }
    return List.copyOf(lots);
  }
}
