package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.List;
import java.util.TreeSet;
import org.fieldwright.core.magnetostatics.Constants;
import org.jspecify.annotations.Nullable;

/**
 * An estimate of how hard the main field pulls at a loaded tray on its way: F = (J V/μ0)·∇|B| for
 * iron of polarisation J saturated along the field (Jackson, Classical Electrodynamics, 5.7: the
 * force on a moment that follows the field). Where the field is too weak to saturate the iron the
 * pull is less than this. The trays' iron does not pull at each other here. It decides nothing:
 * whether and how trays are moved is for the maker's procedure and the people on the spot.
 *
 * @param tray its number
 * @param mass of the iron in it, kg
 * @param home pull where the tray belongs, N, towards +z positive
 * @param largest pull of the greatest size on the way, N, towards +z positive
 * @param largestAt how far the tray is then from where it belongs, m, towards +z positive
 * @param side sum of the pulls away from the bore's axis where the tray belongs, N; null where the
 *     profile does not tell the radial part
 * @param turning greatest torque on the way that those pulls make about the tray's middle, N·m;
 *     null likewise
 */
public record TrayPull(
    int tray,
    double mass,
    double home,
    double largest,
    double largestAt,
    @Nullable Double side,
    @Nullable Double turning) {

  /**
   * One for each tray with iron in it, in the order of their numbers.
   *
   * @param gradient must cover every pocket that holds iron; the way is as far as it covers them
   * @throws IllegalArgumentException where it does not cover a pocket
   */
  public static List<TrayPull> of(IronSystem iron, Loading loading, FieldGradient gradient) {
    List<TrayPull> pulls = new ArrayList<>();
    for (int tray : new TreeSet<>(iron.pockets().stream().map(Pocket::tray).toList())) {
      Load load = Load.of(iron, loading, tray);
      if (load.z.length > 0) {
        pulls.add(load.pull(tray, gradient));
      }
    }
    return List.copyOf(pulls);
  }

  /** What lies in a tray: places along the bore, m, and moments J·V/μ0, A·m². */
  @SuppressWarnings("ArrayRecordComponent") // read in sums, never compared
  private record Load(double mass, double[] z, double[] moment) {

    static Load of(IronSystem iron, Loading loading, int tray) {
      List<double[]> stacks = new ArrayList<>();
      double mass = 0;
      for (Pocket pocket : iron.pockets()) {
        if (pocket.tray() != tray) {
          continue;
        }
        double moment = 0;
        for (PieceType piece : iron.pieces()) {
          int count = loading.count(new Loading.Place(tray, pocket.number(), piece.id()));
          moment += count * iron.polarisationOf(piece) * piece.volume() / Constants.MU_0;
          mass += count * piece.mass();
        }
        if (moment != 0) {
          stacks.add(new double[] {pocket.centre().z(), moment});
        }
      }
      return new Load(
          mass,
          stacks.stream().mapToDouble(s -> s[0]).toArray(),
          stacks.stream().mapToDouble(s -> s[1]).toArray());
    }

    TrayPull pull(int tray, FieldGradient gradient) {
      double first = Double.POSITIVE_INFINITY;
      double last = Double.NEGATIVE_INFINITY;
      for (double place : z) {
        first = Math.min(first, place);
        last = Math.max(last, place);
      }
      if (first < gradient.from() || last > gradient.to()) {
        throw new IllegalArgumentException(
            "tray %d holds iron from z = %.0f to %.0f mm".formatted(tray, 1e3 * first, 1e3 * last));
      }
      double largest = axial(gradient, 0);
      double largestAt = 0;
      double middle = (first + last) / 2;
      double turning = Math.abs(turning(gradient, 0, middle));
      for (double shift : stops(gradient, gradient.from() - first, gradient.to() - last)) {
        double force = axial(gradient, shift);
        if (Math.abs(force) > Math.abs(largest)) {
          largest = force;
          largestAt = shift;
        }
        turning = Math.max(turning, Math.abs(turning(gradient, shift, middle)));
      }
      boolean radial = gradient.tellsRadial();
      return new TrayPull(
          tray,
          mass,
          axial(gradient, 0),
          largest,
          largestAt,
          radial ? (Double) side(gradient) : null,
          radial ? (Double) turning : null);
    }

    /** The sums are linear between the shifts at which a stack passes a place of the profile. */
    private TreeSet<Double> stops(FieldGradient gradient, double low, double high) {
      TreeSet<Double> stops = new TreeSet<>();
      for (FieldGradient.Place place : gradient.places()) {
        for (double stack : z) {
          double shift = place.z() - stack;
          if (shift >= low && shift <= high) {
            stops.add(shift);
          }
        }
      }
      return stops;
    }

    private double axial(FieldGradient gradient, double shift) {
      double sum = 0;
      for (int i = 0; i < z.length; i++) {
        sum += moment[i] * gradient.axial(z[i] + shift);
      }
      return sum;
    }

    private double side(FieldGradient gradient) {
      double sum = 0;
      for (int i = 0; i < z.length; i++) {
        sum += moment[i] * gradient.radial(z[i]);
      }
      return sum;
    }

    private double turning(FieldGradient gradient, double shift, double middle) {
      double sum = 0;
      for (int i = 0; i < z.length; i++) {
        sum += moment[i] * gradient.radial(z[i] + shift) * (z[i] - middle);
      }
      return sum;
    }
  }
}
