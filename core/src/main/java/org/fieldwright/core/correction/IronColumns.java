package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.magnetostatics.Block;
import org.fieldwright.core.magnetostatics.DipoleSeries;
import org.fieldwright.core.magnetostatics.PointDipole;

/**
 * The pieces of an {@link IronSystem} as {@link ShimColumns}: one column for putting a piece into a
 * pocket (or one each into pockets that are to be changed alike), a second one for taking out where
 * something lies.
 *
 * <p>A piece is saturated along the main field. It is a point dipole, or for a block whose point
 * form would be wrong by more than {@link #POINT_ERROR_PPM} a full pocket at the nearest target,
 * dipoles at Gauss–Legendre places that carry its moments to fifth order.
 */
final class IronColumns implements ShimColumns {
  static final double POINT_ERROR_PPM = 1e-3;
  private static final int PLACES = 3;

  private final IronSystem iron;
  private final Vec3 axis;
  private final double ppmPerTesla;
  private final double outermost;
  private final List<Column> columns = new ArrayList<>();
  private double pointErrorPpm;

  /**
   * @param places the slots, one piece each
   * @param putsIn false for the column that takes out
   * @param dipoles of one piece in each, unit sign
   */
  record Column(List<Place> places, PieceType piece, boolean putsIn, List<PointDipole> dipoles) {
    /** Pieces in a tray per unit of the column, taken out counted negative. */
    int inTray(int tray) {
      int count = (int) places.stream().filter(p -> p.tray() == tray).count();
      return putsIn ? count : -count;
    }

    /** Pieces per unit of the column, taken out counted negative. */
    int pieces() {
      return putsIn ? places.size() : -places.size();
    }
  }

  /**
   * @param outermost radius of the farthest target from the origin, m
   */
  IronColumns(IronSystem iron, Vec3 axis, double centreField, double outermost) {
    this.iron = iron;
    this.axis = axis;
    this.ppmPerTesla = 1e6 / centreField;
    this.outermost = outermost;
  }

  /**
   * Adds a column.
   *
   * @param pockets that are changed alike
   * @param outwards of the pieces' middle from each pocket's centre, m
   * @param pieces how many a pocket may hold, for judging the point form
   */
  void add(
      List<Pocket> pockets, PieceType piece, boolean putsIn, List<Double> outwards, int pieces) {
    List<Place> places = new ArrayList<>();
    List<PointDipole> dipoles = new ArrayList<>();
    for (int k = 0; k < pockets.size(); k++) {
      Pocket pocket = pockets.get(k);
      places.add(new Place(pocket.tray(), pocket.number(), piece.id()));
      double azimuth = pocket.centre().azimuth();
      Vec3 centre = pocket.centre().plus(Vec3.cylindrical(outwards.get(k), azimuth, 0));
      dipoles.addAll(dipoles(centre, azimuth, piece, pieces));
    }
    columns.add(new Column(List.copyOf(places), piece, putsIn, List.copyOf(dipoles)));
  }

  private List<PointDipole> dipoles(Vec3 centre, double azimuth, PieceType piece, int pieces) {
    Vec3 polarisation = axis.times(iron.polarisationOf(piece));
    PointDipole point = new PointDipole(centre, polarisation.times(piece.volume()));
    PieceType.Size size = piece.size();
    if (size == null) {
      return List.of(point);
    }
    Block block =
        new Block(centre, size.tangential(), size.axial(), size.radial(), azimuth, polarisation);
    double wrong = pointError(block, centre) * pieces;
    if (wrong <= POINT_ERROR_PPM) {
      pointErrorPpm = Math.max(pointErrorPpm, wrong);
      return List.of(point);
    }
    return block.dipoles(PLACES, PLACES, PlanForecast.radialPlaces(size));
  }

  /**
   * ppm by which the point form of a block is wrong on the sphere of targets, where it is worst.
   */
  private double pointError(Block block, Vec3 centre) {
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

  /**
   * One unit of a column about the origin: its field (ppm) and what displacing it by one metre
   * along x, y and z adds, as coefficients.
   */
  double[][] series(int j, int degree, double radius) {
    Column c = columns.get(j);
    DipoleSeries series = new DipoleSeries(degree + 1, radius);
    c.dipoles().forEach(series::add);
    Expansion one = series.along(axis).times(c.putsIn() ? ppmPerTesla : -ppmPerTesla);
    Expansion[] gradient = one.gradient();
    double[][] result = new double[4][];
    result[0] = one.withDegree(degree).coefficients();
    for (int k = 0; k < 3; k++) {
      result[k + 1] = gradient[k].times(-1).coefficients(); // B(r − δ) = B(r) − δ·∇B
    }
    return result;
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
