package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.magnetostatics.Block;
import org.fieldwright.core.magnetostatics.PointDipole;

/**
 * The pieces of an {@link IronSystem} as {@link ShimColumns}: one column for putting a piece into a
 * pocket, a second one for taking out where something lies.
 *
 * <p>A piece is saturated along the main field. It is a point dipole, or for a block whose point
 * form would be wrong by more than {@link #POINT_ERROR_PPM} a full pocket at the nearest target,
 * dipoles at Gauss–Legendre places that carry its moments to fifth order.
 */
final class IronColumns implements ShimColumns {
  static final double POINT_ERROR_PPM = 1e-3;
  private static final int PLACES = 3;

  private final Vec3 axis;
  private final double ppmPerTesla;
  private final List<Column> columns = new ArrayList<>();
  private double pointErrorPpm;

  /**
   * @param place the slot
   * @param putsIn false for the column that takes out
   * @param dipoles of one piece, unit sign
   */
  @SuppressWarnings("ArrayRecordComponent") // read in the inner loop
  record Column(Place place, PieceType piece, boolean putsIn, PointDipole[] dipoles) {}

  IronColumns(Vec3 axis, double centreField) {
    this.axis = axis;
    this.ppmPerTesla = 1e6 / centreField;
  }

  /**
   * Adds a column.
   *
   * @param outermost radius of the farthest target from the origin, m
   * @param pieces how many the pocket may hold, for judging the point form
   */
  void add(
      IronSystem iron,
      Pocket pocket,
      PieceType piece,
      boolean putsIn,
      double outermost,
      int pieces) {
    Place place = new Place(pocket.tray(), pocket.number(), piece.id());
    columns.add(new Column(place, piece, putsIn, dipoles(iron, pocket, piece, outermost, pieces)));
  }

  private PointDipole[] dipoles(
      IronSystem iron, Pocket pocket, PieceType piece, double outermost, int pieces) {
    Vec3 polarisation = axis.times(piece.polarisation() * iron.strengthOf(piece));
    PointDipole point = new PointDipole(pocket.centre(), polarisation.times(piece.volume()));
    PieceType.Size size = piece.size();
    if (size == null) {
      return new PointDipole[] {point};
    }
    Block block =
        new Block(
            pocket.centre(),
            size.tangential(),
            size.axial(),
            size.radial(),
            pocket.centre().azimuth(),
            polarisation);
    double wrong = pointError(block, pocket.centre(), outermost) * pieces;
    if (wrong <= POINT_ERROR_PPM) {
      pointErrorPpm = Math.max(pointErrorPpm, wrong);
      return new PointDipole[] {point};
    }
    return block.dipoles(PLACES, PLACES, 1).toArray(PointDipole[]::new);
  }

  /**
   * ppm by which the point form of a block is wrong on the sphere of targets, where it is worst.
   */
  private double pointError(Block block, Vec3 centre, double outermost) {
    PointDipole point = block.dipole();
    double worst = 0;
    for (int k = -1; k <= 1; k++) {
      Vec3 target =
          Vec3.spherical(outermost, Math.max(0, centre.polar() + 0.3 * k), centre.azimuth());
      double error = block.along(target, axis) - point.along(target, axis);
      worst = Math.max(worst, Math.abs(error) * ppmPerTesla);
    }
    return worst;
  }

  /** The largest error, a full pocket at the nearest target, of the point forms in use; ppm. */
  double pointErrorPpm() {
    return pointErrorPpm;
  }

  Column column(int j) {
    return columns.get(j);
  }

  @Override
  public int count() {
    return columns.size();
  }

  @Override
  public double ppmAt(int column, double x, double y, double z) {
    Column c = columns.get(column);
    Vec3 p = new Vec3(x, y, z);
    double sum = 0;
    for (PointDipole dipole : c.dipoles()) {
      sum += dipole.along(p, axis);
    }
    return (c.putsIn() ? ppmPerTesla : -ppmPerTesla) * sum;
  }
}
