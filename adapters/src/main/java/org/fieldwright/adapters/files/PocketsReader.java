package org.fieldwright.adapters.files;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.fieldwright.adapters.files.table.Cells;
import org.fieldwright.adapters.files.table.Columns;
import org.fieldwright.adapters.files.table.Rows;
import org.fieldwright.adapters.yaml.Expected;
import org.fieldwright.adapters.yaml.YamlMap;
import org.fieldwright.adapters.yaml.YamlNode;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.IronSystem.Capacity;
import org.fieldwright.core.correction.IronSystem.PocketId;
import org.fieldwright.core.correction.Pocket;
import org.fieldwright.core.geometry.Vec3;
import org.jspecify.annotations.Nullable;

/**
 * {@code iron.pockets}: a regular drum of trays, or a table {@code tray,pocket,x_mm,y_mm,z_mm} with
 * an optional {@code capacity} in the measure of the whole set (mm or pieces).
 */
final class PocketsReader {
  /** Largest number of trays, and of pockets in a tray. */
  static final int MOST = 100_000;

  private static final int MOST_POCKETS = 100_000;
  private static final long MOST_BYTES = 32L << 20;
  private static final double MM = 1e-3;

  private final Companions companions;
  private final Capacity capacity;
  private @Nullable String plusZEnd;

  PocketsReader(Companions companions, Capacity capacity) {
    this.companions = companions;
    this.capacity = capacity;
  }

  /** What people call the +z end of the bore; known once the pockets are read. */
  @Nullable String plusZEnd() {
    return plusZEnd;
  }

  /** The pockets, in the order tray, pocket. */
  List<Pocket> read(YamlMap iron) {
    YamlNode table = iron.get("file");
    if (table != null) {
      if (iron.has("pockets")) {
        throw table.complain("either pockets or file");
      }
      return fromTable(companions.resolve(table));
    }
    YamlNode node = iron.require("pockets");
    YamlMap map = node.map("file", "trays", "first_tray_deg", "radius_mm", "z_mm", "plus_z_end");
    plusZEnd = map.optionalText("plus_z_end");
    table = map.get("file");
    if (table == null) {
      return drum(map);
    }
    for (String key : List.of("trays", "first_tray_deg", "radius_mm", "z_mm")) {
      if (map.has(key)) {
        throw map.require(key).complain("no such key beside file");
      }
    }
    return fromTable(companions.resolve(table));
  }

  private static List<Pocket> drum(YamlMap map) {
    int trays = map.require("trays").integer(1, MOST);
    double first = map.numberOr("first_tray_deg", Expected.within(-360, 360), 0);
    double radius = map.number("radius_mm", Expected.POSITIVE) * MM;
    YamlNode zNode = map.require("z_mm");
    List<YamlNode> z = zNode.list();
    if (z.isEmpty() || (long) trays * z.size() > MOST_POCKETS) {
      throw zNode.complain("from 1 to " + MOST_POCKETS + " pockets in all trays together");
    }
    double[] places = zNode.numbers(z.size(), Expected.NUMBER);
    List<Pocket> pockets = new ArrayList<>();
    for (int tray = 1; tray <= trays; tray++) {
      double azimuth = Math.toRadians(first + (tray - 1) * 360.0 / trays);
      for (int k = 0; k < places.length; k++) {
        Vec3 centre = Vec3.cylindrical(radius, azimuth, places[k] * MM);
        pockets.add(new Pocket(tray, k + 1, centre, null));
      }
    }
    return pockets;
  }

  private List<Pocket> fromTable(Path path) {
    List<Pocket> pockets = new ArrayList<>();
    Set<PocketId> seen = new HashSet<>();
    try (Rows rows = Rows.open(path, MOST_BYTES)) {
      Cells cells = new Cells(path.toString(), rows);
      Columns columns =
          Columns.of(cells, List.of("tray", "pocket", "x_mm", "y_mm", "z_mm"), List.of("capacity"));
      while (cells.advance()) {
        Pocket pocket = pocket(cells, columns);
        if (!seen.add(new PocketId(pocket.tray(), pocket.number()))) {
          throw cells.complain(columns.at("pocket"), "each pocket of a tray once");
        }
        pockets.add(pocket);
      }
    }
    if (pockets.isEmpty() || pockets.size() > MOST_POCKETS) {
      throw new BadInput(
          path + ": found " + pockets.size() + " pockets, expected from 1 to " + MOST_POCKETS);
    }
    pockets.sort(Comparator.comparingInt(Pocket::tray).thenComparingInt(Pocket::number));
    return pockets;
  }

  private Pocket pocket(Cells cells, Columns columns) {
    String length = "a length in mm";
    Vec3 centre =
        new Vec3(
            cells.requireNumber(columns.at("x_mm"), length) * MM,
            cells.requireNumber(columns.at("y_mm"), length) * MM,
            cells.requireNumber(columns.at("z_mm"), length) * MM);
    return new Pocket(
        cells.requireInteger(columns.at("tray"), 1, MOST),
        cells.requireInteger(columns.at("pocket"), 1, MOST),
        centre,
        columns.has("capacity") ? own(cells, columns.at("capacity")) : null);
  }

  private @Nullable Double own(Cells cells, int column) {
    double value = cells.number(column);
    if (Double.isNaN(value)) {
      return null;
    }
    boolean counted = capacity.pieces() != null;
    if (value < 0 || (counted && value != Math.rint(value))) {
      throw cells.complain(column, counted ? "a whole number of pieces" : "a height in mm");
    }
    return counted ? value : value * MM;
  }
}
