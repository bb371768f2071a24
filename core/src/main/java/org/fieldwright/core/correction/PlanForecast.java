package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.magnetostatics.Block;
import org.fieldwright.core.magnetostatics.DipoleSeries;
import org.fieldwright.core.magnetostatics.PointDipole;

/**
 * What a loading does to a field model, computed forward from the whole pieces: the change of the
 * iron as one expansion about the origin, of so high a degree that what is left out is below {@link
 * #TRUNCATION_PPM} on the outermost volume.
 */
public final class PlanForecast {
  /** Left out of the series at the outermost point, ppm. */
  public static final double TRUNCATION_PPM = 1e-6;

  private static final int LOWEST_DEGREE = 12;
  private static final int HIGHEST_DEGREE = 80;
  private static final int DEGREE_STEP = 4;
  private static final int PLACES = 5;
  private static final int RADIAL_PLACES = 3;
  private static final double THIN = 1e-3; // m

  private final IronSystem iron;
  private final Vec3 fieldAxis;

  public PlanForecast(IronSystem iron, Vec3 fieldAxis) {
    this.iron = iron;
    this.fieldAxis = fieldAxis;
  }

  /**
   * The field after the pieces were changed, referred to its own centre field, without uncertainty.
   *
   * @param from what lay in the pockets when the model was measured
   * @param to what lies in them then
   * @param weighed stacks that count with their mass
   * @param outermost radius of the farthest point that matters, m
   */
  public FieldModel after(
      FieldModel model, Loading from, Loading to, WeighedStacks weighed, double outermost) {
    return after(model, changePpm(model.centreField(), from, to, weighed, outermost));
  }

  /** The field with something added (ppm of the model's centre field), without uncertainty. */
  static FieldModel after(FieldModel model, Expansion changePpm) {
    return with(model, changePpm, Covariance.zero(Term.count(0)), List.of());
  }

  /**
   * The field with coils set otherwise, referred to its own centre field, as uncertain as before.
   */
  public static FieldModel withCoils(
      FieldModel model, List<Coil> coils, Map<String, Double> currents) {
    return changed(model, CoilColumns.change(coils, currents, model.ppm().referenceRadius()));
  }

  /** The field with something added (ppm of the model's centre field), as uncertain as before. */
  static FieldModel changed(FieldModel model, Expansion changePpm) {
    return with(model, changePpm, model.covariance(), model.shares());
  }

  private static FieldModel with(
      FieldModel model, Expansion changePpm, Covariance covariance, List<FieldModel.Share> shares) {
    Expansion sum = model.ppm().plus(changePpm);
    double shift = sum.coefficient(0) * 1e-6;
    return new FieldModel(
        sum.withConstant(0).times(1 / (1 + shift)),
        model.centreField() * (1 + shift),
        model.unseen(),
        covariance,
        shares,
        model.condition(),
        model.residualRmsPpm(),
        model.degreesOfFreedom(),
        model.measuredRadius(),
        model.degreeReason());
  }

  /**
   * Pieces of one kind put into (or, negative, taken out of) a pocket.
   *
   * @param outwards of their middle from the pocket's centre, m
   */
  record Change(Pocket pocket, PieceType piece, int count, double outwards) {
    Place place() {
      return new Place(pocket.tray(), pocket.number(), piece.id());
    }
  }

  /** The change of the field, ppm of the centre field given. */
  public Expansion changePpm(double centreField, Loading from, Loading to, double outermost) {
    return changePpm(centreField, from, to, WeighedStacks.NONE, outermost);
  }

  /** The same with some stacks worth what the scale says. */
  Expansion changePpm(
      double centreField, Loading from, Loading to, WeighedStacks weighed, double outermost) {
    List<Change> changes = changes(from, to);
    int degree = degree(centreField, changes, outermost, TRUNCATION_PPM);
    DipoleSeries series = new DipoleSeries(degree, outermost);
    for (Change c : changes) {
      dipoles(c, weighed.worth(c.place(), c.count()), Vec3.ZERO).forEach(series::add);
    }
    return series.along(fieldAxis).times(1e6 / centreField);
  }

  /**
   * What changes from one loading to the other, in the order pocket, piece. A stack grows and
   * shrinks at its open end; where kinds are mixed they lie in the file's order, and a kind that
   * comes to lie elsewhere is taken out and put in again.
   */
  List<Change> changes(Loading from, Loading to) {
    List<Change> changes = new ArrayList<>();
    for (Pocket pocket : iron.pockets()) {
      double below = 0;
      double belowBefore = 0;
      for (PieceType piece : iron.pieces()) {
        Place place = new Place(pocket.tray(), pocket.number(), piece.id());
        int before = from.count(place);
        int after = to.count(place);
        double each = piece.size() == null ? 0 : piece.size().radial();
        if (iron.outwards(pocket, below, 0) == iron.outwards(pocket, belowBefore, 0)) {
          double open = below + Math.min(before, after) * each;
          add(changes, pocket, piece, after - before, open);
        } else {
          add(changes, pocket, piece, -before, belowBefore);
          add(changes, pocket, piece, after, below);
        }
        belowBefore += before * each;
        below += after * each;
      }
    }
    return changes;
  }

  private void add(List<Change> changes, Pocket pocket, PieceType piece, int count, double below) {
    if (count != 0) {
      double height = Math.abs(count) * (piece.size() == null ? 0 : piece.size().radial());
      changes.add(new Change(pocket, piece, count, iron.outwards(pocket, below, height)));
    }
  }

  /**
   * The pieces of a change as dipoles.
   *
   * @param amount how many ideal pieces they are worth
   * @param displacement of the pocket from where the drawing has it, m
   */
  List<PointDipole> dipoles(Change change, double amount, Vec3 displacement) {
    PieceType piece = change.piece();
    double azimuth = change.pocket().centre().azimuth();
    Vec3 stacked = Vec3.cylindrical(change.outwards(), azimuth, 0);
    Vec3 centre = change.pocket().centre().plus(stacked).plus(displacement);
    Vec3 polarisation = fieldAxis.times(iron.polarisationOf(piece) * amount);
    PieceType.Size size = piece.size();
    if (size == null) {
      return List.of(new PointDipole(centre, polarisation.times(piece.volume())));
    }
    if (iron.stack() == IronSystem.Stack.CENTRED) {
      return new Block(
              centre, size.tangential(), size.axial(), size.radial(), azimuth, polarisation)
          .dipoles(PLACES, PLACES, radialPlaces(size));
    }
    int layers = Math.abs(change.count());
    return new Block(
            centre,
            size.tangential(),
            size.axial(),
            size.radial() * layers,
            azimuth,
            polarisation.times(1.0 / layers))
        .dipoles(PLACES, PLACES, RADIAL_PLACES);
  }

  /** A thin plate is one layer of dipoles: its thickness enters squared, against its sides. */
  static int radialPlaces(PieceType.Size size) {
    return size.radial() <= THIN ? 1 : RADIAL_PLACES;
  }

  /** The degree whose omitted rest is below a tolerance at the outermost point, ppm. */
  static int degree(
      double centreField, List<Change> changes, double outermost, double tolerancePpm) {
    for (int degree = LOWEST_DEGREE; degree < HIGHEST_DEGREE; degree += DEGREE_STEP) {
      double left = 0;
      for (Change c : changes) {
        double r0 = c.pocket().centre().norm();
        left += Math.abs(c.count()) * leftOut(c.piece(), r0, outermost, degree);
      }
      if (left / centreField * 1e6 <= tolerancePpm) {
        return degree;
      }
    }
    return HIGHEST_DEGREE;
  }

  /**
   * T that the degrees above one leave out of a piece's field at most: degree n of a dipole's
   * series is below (n+1)(n+2) (r/r0)^n J V/(4π r0³).
   */
  private static double leftOut(PieceType piece, double r0, double outermost, int degree) {
    double ratio = outermost / r0;
    int n = degree + 1;
    double first =
        (n + 1.0) * (n + 2.0) * Math.pow(ratio, n) * piece.polarisation() * piece.volume();
    return first / (4 * Math.PI * r0 * r0 * r0) / Math.pow(1 - ratio, 2);
  }
}
