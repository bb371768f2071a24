package org.fieldwright.core.correction;

import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.IronSystem.Capacity;
import org.fieldwright.core.correction.Loading.Place;

/** How much fits into the pockets of an {@link IronSystem}. */
record PocketRoom(IronSystem iron) {
  /** Pieces of a pocket without a stated capacity. */
  private static final int UNSTATED_CAPACITY = 10_000;

  private static final double ROUNDING = 1e-9;

  Place place(Pocket pocket, PieceType piece) {
    return new Place(pocket.tray(), pocket.number(), piece.id());
  }

  /** Pieces of one kind that a pocket holds if nothing else lies in it. */
  int pieces(Pocket pocket, PieceType piece) {
    return (int) Math.floor(whole(pocket) / share(pocket, piece) + ROUNDING);
  }

  /** What fits in all, in the measure of {@link #share}. */
  double whole(Pocket pocket) {
    Capacity capacity = iron.capacityOf(pocket);
    Double height = capacity.height();
    Integer pieces = capacity.pieces();
    return height != null ? height : pieces == null ? UNSTATED_CAPACITY : pieces;
  }

  /** What one piece takes: stack height in m, or 1 where pieces are counted. */
  double share(Pocket pocket, PieceType piece) {
    if (iron.capacityOf(pocket).height() == null) {
      return 1;
    }
    PieceType.Size size = piece.size();
    if (size == null) {
      throw new BadInput(
          "iron.pieces: piece %s is given by its volume, so its share of a stack height is unknown; give size_mm, or the capacity as capacity_pieces"
              .formatted(piece.id()));
    }
    return size.radial();
  }

  /** What a pocket's installed pieces take. */
  double installed(Pocket pocket) {
    return taken(pocket, iron.installed());
  }

  private double taken(Pocket pocket, Loading loading) {
    return iron.pieces().stream()
        .mapToDouble(piece -> share(pocket, piece) * loading.count(place(pocket, piece)))
        .sum();
  }

  /** Pieces of a kind that fit in besides what a loading has there; never below zero. */
  int left(Pocket pocket, Loading loading, PieceType piece) {
    double free = whole(pocket) - taken(pocket, loading);
    return Math.max(0, (int) Math.floor(free / share(pocket, piece) + ROUNDING));
  }

  /** Refuses a pocket that is said to hold more than fits in. */
  void requireWithin(Pocket pocket) {
    double whole = whole(pocket);
    double installed = installed(pocket);
    if (installed > whole * (1 + ROUNDING)) {
      boolean byHeight = iron.capacityOf(pocket).height() != null;
      throw new BadInput(
          "iron.installed: tray %d pocket %d: found %s, more than the pocket's capacity of %s; mend the installed counts or the capacity"
              .formatted(
                  pocket.tray(),
                  pocket.number(),
                  byHeight
                      ? "a stack of %.3g mm".formatted(installed * 1e3)
                      : "%.0f pieces".formatted(installed),
                  byHeight ? "%.3g mm".formatted(whole * 1e3) : "%.0f".formatted(whole)));
    }
  }
}
