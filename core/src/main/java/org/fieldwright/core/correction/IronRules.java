package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.IntToDoubleFunction;
import java.util.stream.IntStream;
import org.fieldwright.core.correction.IronColumns.Column;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.correction.ShimProblem.Cap;

/** The rules of an {@link IronSystem} and of a request as sums over columns. */
final class IronRules {
  private static final double ROUNDING = 1e-9;

  private final IronSystem iron;
  private final IronColumns columns;
  private final PocketRoom room;
  private final List<String> warnings;

  /**
   * @param warnings what a person has to know is added here
   */
  IronRules(IronSystem iron, IronColumns columns, PocketRoom room, List<String> warnings) {
    this.iron = iron;
    this.columns = columns;
    this.room = room;
    this.warnings = warnings;
  }

  /**
   * All that must be kept besides each column's own bounds.
   *
   * @param all iron and coils, for what they do at the centre
   */
  List<Cap> caps(PlanRules rules, ShimColumns all) {
    List<Cap> caps = new ArrayList<>();
    if (iron.pieces().size() > 1) {
      capPockets(caps);
    }
    capTrays(caps);
    capStock(caps);
    if (rules.mostChanges() != null) {
      caps.add(cap(columns.count(), j -> column(j).places().size(), rules.mostChanges()));
    }
    if (rules.mostShiftPpm() != null) {
      double most = rules.mostShiftPpm();
      caps.add(cap(all.count(), j -> all.ppmAt(j, 0, 0, 0), most));
      caps.add(cap(all.count(), j -> -all.ppmAt(j, 0, 0, 0), most));
    }
    return caps;
  }

  private Column column(int j) {
    return columns.column(j);
  }

  /** Of the first columns, those with a weight. */
  private static Cap cap(int count, IntToDoubleFunction weight, double limit) {
    int[] which = IntStream.range(0, count).filter(j -> weight.applyAsDouble(j) != 0).toArray();
    return new Cap(which, IntStream.of(which).mapToDouble(weight).toArray(), limit);
  }

  /** Several kinds share a pocket's height or number. */
  private void capPockets(List<Cap> caps) {
    Map<Integer, Map<Integer, List<Integer>>> byPocket = new TreeMap<>();
    for (int j = 0; j < columns.count(); j++) {
      for (Place place : column(j).places()) {
        byPocket
            .computeIfAbsent(place.tray(), t -> new TreeMap<>())
            .computeIfAbsent(place.pocket(), p -> new ArrayList<>())
            .add(j);
      }
    }
    for (Pocket pocket : iron.pockets()) {
      List<Integer> here =
          byPocket.getOrDefault(pocket.tray(), Map.of()).getOrDefault(pocket.number(), List.of());
      double[] weights =
          here.stream()
              .mapToDouble(
                  j -> (column(j).putsIn() ? 1 : -1) * room.share(pocket, column(j).piece()))
              .toArray();
      double left = room.whole(pocket) * (1 + ROUNDING) - room.installed(pocket);
      int[] which = here.stream().mapToInt(Integer::intValue).toArray();
      caps.add(new Cap(which, weights, Math.max(0, left)));
    }
  }

  private void capTrays(List<Cap> caps) {
    Double limit = iron.trayMassLimit();
    if (limit == null) {
      return;
    }
    Map<Integer, Double> installed = new LinkedHashMap<>();
    for (Pocket pocket : iron.pockets()) {
      for (PieceType piece : iron.pieces()) {
        double mass = iron.installed().count(room.place(pocket, piece)) * piece.mass();
        installed.merge(pocket.tray(), mass, Double::sum);
      }
    }
    installed.forEach(
        (tray, mass) -> {
          double left = limit * (1 + ROUNDING) - mass;
          if (left < 0) {
            warnings.add("tray %d holds more than its mass limit already".formatted(tray));
          }
          caps.add(
              cap(
                  columns.count(),
                  j -> column(j).inTray(tray) * column(j).piece().mass(),
                  Math.max(0, left)));
        });
  }

  /** What is taken out can be used again. */
  private void capStock(List<Cap> caps) {
    for (PieceType piece : iron.pieces()) {
      Integer stock = piece.stock();
      if (stock != null) {
        caps.add(
            cap(
                columns.count(),
                j -> column(j).piece().equals(piece) ? column(j).pieces() : 0,
                stock));
      }
    }
  }
}
