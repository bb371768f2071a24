package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.IntStream;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.IronColumns.Column;
import org.fieldwright.core.correction.IronSystem.PocketId;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.correction.ShimProblem.Cap;
import org.fieldwright.core.correction.ShimProblem.Requirement;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.homogeneity.Limit;
import org.jspecify.annotations.Nullable;

/** Turns an {@link IronSystem} and a request into a {@link ShimProblem}, and values into loads. */
final class ShimProblemBuilder {
  /** Pieces of a pocket without a stated capacity. */
  private static final int UNSTATED_CAPACITY = 10_000;

  private static final double ROUNDING = 1e-9;
  private static final double WIDTH_PRICE = 100; // ppm of objective per ppm missed

  private final IronSystem iron;
  private final FieldModel model;
  private final ShimRequest request;
  private final double outermost;
  private final IronColumns columns;
  private final List<Integer> upper = new ArrayList<>();
  private final List<Cap> caps = new ArrayList<>();
  private final List<String> warnings = new ArrayList<>();

  ShimProblemBuilder(IronSystem iron, Vec3 fieldAxis, FieldModel model, ShimRequest request) {
    this.iron = iron;
    this.model = model;
    this.request = request;
    this.columns = new IronColumns(fieldAxis, model.centreField());
    double radius = request.target().requireVolume().outerRadius();
    for (Limit limit : request.constraints()) {
      radius = Math.max(radius, limit.requireVolume().outerRadius());
    }
    this.outermost = radius;
    for (Pocket pocket : iron.pockets()) {
      if (pocket.centre().norm() <= outermost) {
        throw new BadInput(
            "iron.pockets: tray %d pocket %d lies %.0f mm from the centre, inside the reach of %.0f mm of limit %s"
                .formatted(
                    pocket.tray(),
                    pocket.number(),
                    pocket.centre().norm() * 1e3,
                    outermost * 1e3,
                    request.target().id()));
      }
      addPocket(pocket);
    }
    capTrays();
    capChanges();
  }

  /** Radius of the farthest target from the centre, m. */
  double outermost() {
    return outermost;
  }

  List<String> warnings() {
    return warnings;
  }

  ShimProblem problem() {
    int n = columns.count();
    double[] mass = new double[n];
    double[] up = new double[n];
    double all = 0;
    for (int j = 0; j < n; j++) {
      up[j] = upper.get(j);
      mass[j] = columns.column(j).putsIn() ? columns.column(j).piece().mass() : 0;
      all += up[j] * mass[j];
    }
    boolean leastIron = request.goal() == Plan.Goal.LEAST_IRON;
    List<Requirement> requirements = new ArrayList<>();
    requirements.add(
        new Requirement(
            request.target().requireVolume(),
            leastIron ? request.requiredPpm() : Double.POSITIVE_INFINITY));
    for (Limit limit : request.constraints()) {
      requirements.add(new Requirement(limit.requireVolume(), limit.limit()));
    }
    return new ShimProblem(
        columns,
        new double[n],
        up,
        mass,
        model.ppm(),
        requirements,
        caps,
        leastIron,
        leastIron ? all : WIDTH_PRICE);
  }

  private void addPocket(Pocket pocket) {
    boolean forbidden = iron.forbidden().contains(new PocketId(pocket.tray(), pocket.number()));
    int first = columns.count();
    for (PieceType piece : iron.pieces()) {
      int installed = iron.installed().count(place(pocket, piece));
      int capacity = capacity(pocket, piece);
      if (installed > capacity) {
        warnings.add(
            "tray %d pocket %d holds %d pieces of %s, more than its capacity of %d"
                .formatted(pocket.tray(), pocket.number(), installed, piece.id(), capacity));
      }
      if (!forbidden && capacity > installed) {
        columns.add(iron, pocket, piece, true, outermost, capacity);
        upper.add(capacity - installed);
      }
      if (!forbidden && request.removal() && installed > 0) {
        columns.add(iron, pocket, piece, false, outermost, Math.max(capacity, installed));
        upper.add(installed);
      }
    }
    if (iron.pieces().size() > 1) {
      capPocket(pocket, first);
    }
  }

  private static Place place(Pocket pocket, PieceType piece) {
    return new Place(pocket.tray(), pocket.number(), piece.id());
  }

  /** Pieces of one kind that a pocket holds if nothing else lies in it. */
  private int capacity(Pocket pocket, PieceType piece) {
    Double height = height(pocket);
    if (height != null) {
      return (int) Math.floor(height / stackHeight(piece) + ROUNDING);
    }
    Integer pieces = iron.capacity().pieces();
    return pieces == null ? UNSTATED_CAPACITY : pieces;
  }

  private @Nullable Double height(Pocket pocket) {
    return pocket.capacity() != null ? pocket.capacity() : iron.capacity().height();
  }

  private static double stackHeight(PieceType piece) {
    PieceType.Size size = piece.size();
    if (size == null) {
      throw new BadInput(
          "iron.pieces: piece %s is given by its volume, so its share of a stack height is unknown; give size_mm, or the capacity as capacity_pieces"
              .formatted(piece.id()));
    }
    return size.radial();
  }

  /** Several kinds share a pocket's height or number. */
  private void capPocket(Pocket pocket, int first) {
    Double height = height(pocket);
    Integer pieces = iron.capacity().pieces();
    if (height == null && pieces == null) {
      return;
    }
    boolean byHeight = height != null;
    double room = height != null ? height * (1 + ROUNDING) : pieces == null ? 0 : pieces;
    for (PieceType piece : iron.pieces()) {
      double each = byHeight ? stackHeight(piece) : 1;
      room -= iron.installed().count(place(pocket, piece)) * each;
    }
    int[] which = IntStream.range(first, columns.count()).toArray();
    double[] weights = new double[which.length];
    for (int k = 0; k < which.length; k++) {
      Column c = columns.column(which[k]);
      weights[k] = (c.putsIn() ? 1 : -1) * (byHeight ? stackHeight(c.piece()) : 1);
    }
    caps.add(new Cap(which, weights, Math.max(0, room)));
  }

  private void capTrays() {
    Double limit = iron.trayMassLimit();
    if (limit == null) {
      return;
    }
    Map<Integer, Double> installed = new TreeMap<>();
    for (PieceType piece : iron.pieces()) {
      iron.installed()
          .counts()
          .forEach(
              (place, count) -> {
                if (place.piece().equals(piece.id())) {
                  installed.merge(place.tray(), count * piece.mass(), Double::sum);
                }
              });
    }
    int[] trays = iron.pockets().stream().mapToInt(Pocket::tray).distinct().toArray();
    for (int tray : trays) {
      int[] which =
          IntStream.range(0, columns.count())
              .filter(j -> columns.column(j).place().tray() == tray)
              .toArray();
      double[] weights =
          Arrays.stream(which)
              .mapToDouble(
                  j -> (columns.column(j).putsIn() ? 1 : -1) * columns.column(j).piece().mass())
              .toArray();
      double room = limit * (1 + ROUNDING) - installed.getOrDefault(tray, 0.0);
      if (room < 0) {
        warnings.add("tray %d holds more than its mass limit already".formatted(tray));
      }
      caps.add(new Cap(which, weights, Math.max(0, room)));
    }
  }

  private void capChanges() {
    Integer most = request.mostChanges();
    if (most == null) {
      return;
    }
    int[] all = IntStream.range(0, columns.count()).toArray();
    double[] ones = new double[all.length];
    Arrays.fill(ones, 1);
    caps.add(new Cap(all, ones, most));
  }

  /** The loading that column values stand for. */
  Loading loading(double[] values) {
    Map<Place, Integer> counts = new TreeMap<>(iron.installed().counts());
    for (int j = 0; j < values.length; j++) {
      int pieces = (int) Math.round(values[j]);
      if (pieces != 0) {
        Column c = columns.column(j);
        counts.merge(c.place(), c.putsIn() ? pieces : -pieces, Integer::sum);
      }
    }
    return new Loading(counts);
  }

  /** ppm by which point forms in use may be wrong. */
  double pointErrorPpm() {
    return columns.pointErrorPpm();
  }
}
