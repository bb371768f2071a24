package org.fieldwright.core.history;

import org.fieldwright.core.correction.LoadedChange;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.Term;
import org.jspecify.annotations.Nullable;

/** What loaded iron should have done, in ppm of the life's field and at its radius. */
final class ShapeIron {
  private final Expansion ppm;
  private final Covariance covariance;

  private ShapeIron(Expansion ppm, Covariance covariance) {
    this.ppm = ppm;
    this.covariance = covariance;
  }

  /**
   * From what was loaded before a survey; null where nothing was.
   *
   * @param ratio of the field that the change's ppm refer to, to the life's
   */
  static @Nullable ShapeIron of(@Nullable LoadedChange loaded, double radius, double ratio) {
    if (loaded == null) {
      return null;
    }
    Expansion ppm = loaded.ppm().withReferenceRadius(radius).times(ratio);
    int size = Term.count(ppm.degree());
    double[] c =
        ShapeState.moved(loaded.covariance(), size, radius / loaded.ppm().referenceRadius(), ratio);
    return new ShapeIron(ppm, new Covariance(size, c));
  }

  Expansion ppm() {
    return ppm;
  }

  /** 0 for terms beyond its degree. */
  double covariance(int i, int j) {
    return Math.max(i, j) < covariance.size() ? covariance.at(i, j) : 0;
  }
}
