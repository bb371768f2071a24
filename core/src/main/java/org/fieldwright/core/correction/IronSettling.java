package org.fieldwright.core.correction;

import java.util.HashMap;
import java.util.Map;
import java.util.Set;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.homogeneity.SurfaceExtremes;

/**
 * How long iron that comes into the bore at another temperature goes on changing the field: its
 * polarisation follows its temperature, and that goes to the bore's as e^(−t/τ), one lumped time
 * constant for all of it (an assumption; the constant is the user's).
 *
 * @param ppmPerKelvin peak-to-peak over a volume that the iron adds for each kelvin, all of it
 *     alike
 */
public record IronSettling(double ppmPerKelvin) {
  /** What a survey will not see any more, peak-to-peak; the noise of one good reading. */
  public static final double SETTLED_PPM = 0.02;

  /**
   * Of all the iron in the trays that were out of the bore.
   *
   * @param loaded what lies in the pockets now
   * @param trays that were out
   */
  public static IronSettling of(
      IronSystem iron,
      Vec3 fieldAxis,
      double centreField,
      Loading loaded,
      Set<Integer> trays,
      Volume volume) {
    PlanForecast forecast = new PlanForecast(iron, fieldAxis);
    double reach = volume.outerRadius();
    Expansion perKelvin = Expansion.zero(0, reach);
    for (PieceType piece : iron.pieces()) {
      Map<Place, Integer> counts = new HashMap<>(loaded.counts());
      counts.keySet().removeIf(p -> !trays.contains(p.tray()) || !p.piece().equals(piece.id()));
      perKelvin =
          perKelvin.plus(
              forecast
                  .changePpm(centreField, Loading.EMPTY, new Loading(counts), reach)
                  .times(piece.perKelvin()));
    }
    return new IronSettling(SurfaceExtremes.of(perKelvin, volume).peakToPeak());
  }

  /**
   * Until what is still to come is below {@link #SETTLED_PPM}, in the unit of the time constant.
   *
   * @param kelvin by which the iron was warmer or colder than the bore
   */
  public double waiting(double kelvin, double timeConstant) {
    double toCome = ppmPerKelvin * Math.abs(kelvin);
    return toCome <= SETTLED_PPM ? 0 : timeConstant * Math.log(toCome / SETTLED_PPM);
  }
}
