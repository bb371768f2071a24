package org.fieldwright.core.simulation;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.correction.PieceType;
import org.fieldwright.core.correction.Pocket;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.magnetostatics.Block;
import org.fieldwright.core.magnetostatics.FieldSource;
import org.fieldwright.core.magnetostatics.PointDipole;

/**
 * Pieces as they really lie in their pockets: none weighs exactly what its kind does, no pocket is
 * exactly where the drawing says. Every piece and every pocket draws its own error from the seed
 * and its place, so what stays in a pocket from one round to the next stays what it was.
 *
 * @param iron the shim system as the magnet file states it; its errors are the spread drawn from
 * @param fieldAxis unit vector along which the pieces are magnetised
 * @param trueStrength factor on the stated polarisation by piece id, absent = 1: what a round of
 *     loading would have to learn; the file's learned strength plays no part in it
 * @param seed of this set of pieces
 */
public record LoadedIron(
    IronSystem iron, Vec3 fieldAxis, Map<String, Double> trueStrength, long seed) {

  private static final int LOT = 1;
  private static final int POCKET = 2;
  private static final int PIECE = 3;

  public LoadedIron {
    trueStrength = Map.copyOf(trueStrength);
  }

  /** What a loading adds to the magnet. */
  public List<FieldSource> sources(Loading loading) {
    List<FieldSource> sources = new ArrayList<>();
    for (Pocket pocket : iron.pockets()) {
      Vec3 centre = pocket.centre().plus(displacement(pocket));
      double filled = 0;
      for (int kind = 0; kind < iron.pieces().size(); kind++) {
        PieceType piece = iron.pieces().get(kind);
        int count = loading.count(new Place(pocket.tray(), pocket.number(), piece.id()));
        if (count == 0) {
          continue;
        }
        Stack stack = stack(pocket, piece, count, filled);
        filled += stack.height();
        sources.add(source(centre, stack, piece, amount(pocket, kind, piece, count)));
      }
    }
    return sources;
  }

  private IronSystem.Errors errors() {
    IronSystem.Errors stated = iron.errors();
    return stated == null ? new IronSystem.Errors(0, 0, 0, 0) : stated;
  }

  private Vec3 displacement(Pocket pocket) {
    Draws draws = Draws.of(seed, POCKET, pocket.tray(), pocket.number());
    double spread = errors().position();
    return new Vec3(draws.normal(), draws.normal(), draws.normal()).times(spread);
  }

  /** How many ideal pieces of stated polarisation the pieces in a pocket are worth. */
  private double amount(Pocket pocket, int kind, PieceType piece, int count) {
    Draws lot = Draws.of(seed, LOT, kind);
    lot.normal(); // the lot's mass
    double strength = 1 + errors().strength() * lot.normal();
    Place place = new Place(pocket.tray(), pocket.number(), piece.id());
    return worth(place, 0, count) * strength * trueStrength.getOrDefault(piece.id(), 1.0);
  }

  /**
   * What a scale would show for the pieces by which two counts of a pocket differ, in pieces of the
   * stated mass; negative for pieces taken out.
   */
  public double worth(Place place, int from, int to) {
    int kind = iron.pieces().stream().map(PieceType::id).toList().indexOf(place.piece());
    double worth = 0;
    for (int i = Math.min(from, to); i < Math.max(from, to); i++) {
      Draws own = Draws.of(seed, PIECE, place.tray(), place.pocket(), kind, i);
      worth += 1 + errors().pieceMass() * own.normal();
    }
    double mass = 1 + errors().lotMass() * Draws.of(seed, LOT, kind).normal();
    return (to < from ? -1 : 1) * worth * mass;
  }

  /**
   * How the pieces of one kind lie.
   *
   * @param outwards from the pocket's centre, m
   * @param height along the radius, m
   * @param layers pieces within that height; 1 where all are taken to lie at one place
   */
  private record Stack(double outwards, double height, int layers) {}

  /** Kinds are stacked in the file's order. */
  private Stack stack(Pocket pocket, PieceType piece, int count, double filled) {
    PieceType.Size size = piece.size();
    double thickness = size == null ? 0 : size.radial();
    Double room = iron.capacityOf(pocket).height();
    if (room == null || iron.stack() == IronSystem.Stack.CENTRED) {
      return new Stack(0, thickness, 1);
    }
    double height = count * thickness;
    double inwards = filled + height / 2 - room / 2;
    boolean fromOutside = iron.stack() == IronSystem.Stack.OUTSIDE_IN;
    return new Stack(fromOutside ? -inwards : inwards, height, count);
  }

  private FieldSource source(Vec3 pocketCentre, Stack stack, PieceType piece, double amount) {
    double azimuth = pocketCentre.azimuth();
    Vec3 centre = pocketCentre.plus(Vec3.cylindrical(stack.outwards(), azimuth, 0));
    Vec3 polarisation = fieldAxis.times(piece.polarisation() * amount);
    PieceType.Size size = piece.size();
    return size == null
        ? new PointDipole(centre, polarisation.times(piece.volume()))
        : new Block(
            centre,
            size.tangential(),
            size.axial(),
            stack.height(),
            azimuth,
            polarisation.times(1.0 / stack.layers()));
  }
}
