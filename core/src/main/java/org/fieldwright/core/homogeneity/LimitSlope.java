package org.fieldwright.core.homogeneity;

import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.SolidHarmonics;

/**
 * The plain value of a limit's measure on a field and how it follows each coefficient: the basis at
 * the maximum less the basis at the minimum, or Wc/√(cᵀWc).
 *
 * @param value in the unit of the field
 * @param gradient by coefficient; zero where an RMS is zero
 */
@SuppressWarnings("ArrayRecordComponent") // read once, never compared
public record LimitSlope(double value, double[] gradient) {

  /** Of a limit over a volume. */
  public static LimitSlope of(Expansion field, Limit limit) {
    Volume volume = limit.requireVolume();
    if (limit.measure() == Limit.Measure.PEAK_TO_PEAK) {
      Extremes found = SurfaceExtremes.of(field, volume);
      return new LimitSlope(found.peakToPeak(), difference(field, found));
    }
    double value = Rms.of(field, volume, limit.measure());
    double[] g = MeanSquareForm.of(volume, limit.measure(), field).times(field.coefficients());
    for (int i = 0; i < g.length; i++) {
      g[i] = value > 0 ? g[i] / value : 0;
    }
    return new LimitSlope(value, g);
  }

  /** The gradient of peak-to-peak by the coefficients. */
  static double[] difference(Expansion field, Extremes extremes) {
    SolidHarmonics basis = new SolidHarmonics(field.degree(), field.referenceRadius());
    double[] g = basis.evaluate(extremes.max().at());
    double[] low = basis.evaluate(extremes.min().at());
    for (int i = 0; i < g.length; i++) {
      g[i] -= low[i];
    }
    return g;
  }
}
