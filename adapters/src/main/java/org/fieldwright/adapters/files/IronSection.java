package org.fieldwright.adapters.files;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import org.fieldwright.adapters.yaml.Expected;
import org.fieldwright.adapters.yaml.YamlMap;
import org.fieldwright.adapters.yaml.YamlNode;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.FieldGradient;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.IronSystem.Capacity;
import org.fieldwright.core.correction.IronSystem.Errors;
import org.fieldwright.core.correction.IronSystem.PocketId;
import org.fieldwright.core.correction.IronSystem.Stack;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.LotStock;
import org.fieldwright.core.correction.PieceType;
import org.fieldwright.core.correction.Pocket;
import org.jspecify.annotations.Nullable;

/** {@code iron}: where iron can go, which pieces there are, and the rules. */
final class IronSection {
  private static final double MM = 1e-3;
  private static final double MM3 = 1e-9;
  private static final double G_PER_CM3 = 1e3;
  private static final double GRAM = 1e-3;
  private static final double PERCENT = 1e-2;
  private static final double ABSOLUTE_ZERO_C = -273.15;

  private final Companions companions;
  private @Nullable Path installedFile;
  private List<LotStock> lots = List.of();

  IronSection(Companions companions) {
    this.companions = companions;
  }

  IronSystem read(YamlNode node) {
    YamlMap map =
        node.map(
            "pockets",
            "file",
            "pieces",
            "capacity_mm",
            "capacity_pieces",
            "tray_mass_limit_g",
            "forbidden",
            "installed",
            "strength",
            "temperature_C",
            "errors",
            "stack",
            "gradient",
            "lots");
    Capacity capacity = capacity(map);
    PocketsReader pocketsReader = new PocketsReader(companions, capacity);
    List<Pocket> pockets = pocketsReader.read(map);
    List<PieceType> pieces = stocked(map, pieces(map.require("pieces"), capacity));
    Double trayLimit = map.optionalNumber("tray_mass_limit_g", Expected.POSITIVE);
    YamlNode installed = map.get("installed");
    IronSystem empty =
        new IronSystem(
            pockets,
            pieces,
            capacity,
            trayLimit == null ? null : (Double) (trayLimit * GRAM),
            forbidden(map.get("forbidden"), pockets),
            Loading.EMPTY,
            strength(map.get("strength"), pieces),
            map.optionalNumber("temperature_C", Expected.within(ABSOLUTE_ZERO_C, 1000)),
            errors(map.get("errors")),
            pocketsReader.plusZEnd(),
            stack(map.get("stack")),
            gradient(map.get("gradient"), pockets));
    if (installed == null) {
      return empty;
    }
    Path file = companions.resolve(installed);
    installedFile = file;
    return empty.withInstalled(LoadingFile.read(file, empty));
  }

  /** The table of what lies in the pockets, once read; null where none is named. */
  @Nullable Path installedFile() {
    return installedFile;
  }

  /** What is left of the lots delivered, once read; empty where the magnet file names none. */
  List<LotStock> lots() {
    return lots;
  }

  /** Pieces that come from lots: what is left of those is their stock. */
  private List<PieceType> stocked(YamlMap map, List<PieceType> pieces) {
    YamlNode node = map.get("lots");
    if (node == null) {
      return pieces;
    }
    Path file = companions.resolve(node);
    lots = LotStock.after(LotsFile.read(file, pieces), LoadingRecord.rounds(companions.record()));
    List<PieceType> stocked = new ArrayList<>();
    for (PieceType piece : pieces) {
      List<LotStock> own = lots.stream().filter(l -> l.piece().equals(piece.id())).toList();
      if (!own.isEmpty() && piece.stock() != null) {
        throw node.complain("either a stock or lots of piece %s, not both".formatted(piece.id()));
      }
      int left = own.stream().mapToInt(LotStock::left).sum();
      stocked.add(own.isEmpty() ? piece : piece.withStock(Math.max(0, left)));
    }
    return stocked;
  }

  private static Capacity capacity(YamlMap map) {
    YamlNode pieces = map.get("capacity_pieces");
    if (map.has("capacity_mm") == (pieces != null)) {
      throw map.complain(
          pieces == null ? "no capacity" : "two capacities", "capacity_mm or capacity_pieces");
    }
    return pieces == null
        ? new Capacity(map.number("capacity_mm", Expected.POSITIVE) * MM, null)
        : new Capacity(null, pieces.integer(1, 1_000_000));
  }

  private static List<PieceType> pieces(YamlNode node, Capacity capacity) {
    List<PieceType> pieces = new ArrayList<>();
    Set<String> ids = new HashSet<>();
    for (YamlNode item : node.list()) {
      YamlMap map =
          item.map(
              "id",
              "size_mm",
              "volume_mm3",
              "polarisation_T",
              "density_g_cm3",
              "stock",
              "polarisation_percent_per_K");
      String id = map.text("id");
      if (!ids.add(id) || "=+-@'".indexOf(id.charAt(0)) >= 0) {
        throw map.require("id")
            .complain("an id that no other piece has and that does not begin with = + - @ '");
      }
      pieces.add(piece(id, map, capacity));
    }
    if (pieces.isEmpty()) {
      throw node.complain("at least one piece");
    }
    return pieces;
  }

  private static PieceType piece(String id, YamlMap map, Capacity capacity) {
    YamlNode sizeNode = map.get("size_mm");
    if (map.has("volume_mm3") == (sizeNode != null)) {
      throw map.complain(
          sizeNode == null ? "no size" : "two sizes",
          "size_mm: [tangential, axial, radial] or volume_mm3");
    }
    if (sizeNode == null && capacity.height() != null) {
      throw map.complain(
          "volume_mm3, which tells no height, beside iron.capacity_mm",
          "size_mm, or iron.capacity_pieces");
    }
    double polarisation = map.number("polarisation_T", Expected.NOT_ZERO);
    double density = map.number("density_g_cm3", Expected.POSITIVE) * G_PER_CM3;
    YamlNode stockNode = map.get("stock");
    Integer stock = stockNode == null ? null : (Integer) stockNode.integer(0, 1_000_000);
    double perKelvin =
        map.numberOr(
                "polarisation_percent_per_K",
                Expected.within(-1, 1),
                PieceType.IRON_PER_KELVIN / PERCENT)
            * PERCENT;
    if (sizeNode == null) {
      double volume = map.number("volume_mm3", Expected.POSITIVE) * MM3;
      return new PieceType(id, null, volume, polarisation, density, stock, perKelvin);
    }
    double[] mm = sizeNode.numbers(3, Expected.POSITIVE);
    PieceType.Size size = new PieceType.Size(mm[0] * MM, mm[1] * MM, mm[2] * MM);
    return new PieceType(
        id, size, mm[0] * mm[1] * mm[2] * MM3, polarisation, density, stock, perKelvin);
  }

  private static Set<PocketId> forbidden(@Nullable YamlNode node, List<Pocket> pockets) {
    Set<PocketId> known =
        pockets.stream()
            .map(p -> new PocketId(p.tray(), p.number()))
            .collect(Collectors.toUnmodifiableSet());
    Set<PocketId> forbidden = new HashSet<>();
    for (YamlNode item : node == null ? List.<YamlNode>of() : node.list()) {
      YamlMap map = item.map("tray", "pocket");
      PocketId id =
          new PocketId(
              map.require("tray").integer(1, PocketsReader.MOST),
              map.require("pocket").integer(1, PocketsReader.MOST));
      if (!known.contains(id)) {
        throw new BadInput(
            item.where()
                + ": "
                + item.field()
                + ": found tray "
                + id.tray()
                + ", pocket "
                + id.pocket()
                + ", expected a pocket that iron.pockets describes");
      }
      forbidden.add(id);
    }
    return forbidden;
  }

  private @Nullable FieldGradient gradient(@Nullable YamlNode node, List<Pocket> pockets) {
    return node == null ? null : GradientFile.read(companions.resolve(node), pockets);
  }

  private static Map<String, Double> strength(@Nullable YamlNode node, List<PieceType> pieces) {
    Map<String, Double> strength = new HashMap<>();
    if (node != null) {
      String[] ids = pieces.stream().map(PieceType::id).toArray(String[]::new);
      YamlMap map = node.map(ids);
      for (String id : map.keys()) {
        strength.put(id, map.number(id, Expected.POSITIVE));
      }
    }
    return strength;
  }

  private static @Nullable Errors errors(@Nullable YamlNode node) {
    if (node == null) {
      return null;
    }
    YamlMap map =
        node.map("piece_mass_percent", "lot_mass_percent", "position_mm", "strength_percent");
    return new Errors(
        map.numberOr("piece_mass_percent", Expected.NOT_NEGATIVE, 0) * PERCENT,
        map.numberOr("lot_mass_percent", Expected.NOT_NEGATIVE, 0) * PERCENT,
        map.numberOr("position_mm", Expected.NOT_NEGATIVE, 0) * MM,
        map.numberOr("strength_percent", Expected.NOT_NEGATIVE, 0) * PERCENT);
  }

  private static Stack stack(@Nullable YamlNode node) {
    if (node == null) {
      return Stack.CENTRED;
    }
    return switch (node.oneOf(List.of("centred", "outside_in", "inside_out"))) {
      case "outside_in" -> Stack.OUTSIDE_IN;
      case "inside_out" -> Stack.INSIDE_OUT;
      default -> Stack.CENTRED;
    };
  }
}
