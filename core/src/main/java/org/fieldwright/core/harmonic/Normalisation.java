package org.fieldwright.core.harmonic;

/**
 * How the associated Legendre functions of an expansion are scaled; all without the Condon–Shortley
 * phase. A coefficient is worthless without the name of its normalisation beside it.
 */
public enum Normalisation {
  /** Schmidt semi-normalised, geomagnetism's: mean square over a sphere 1/(2n+1). */
  SCHMIDT,
  /** Plain P_nm, the form of most shim-coil papers (e.g. Roméo &amp; Hoult 1984). */
  UNNORMALISED,
  /** Mean square over a sphere is 1. */
  ORTHONORMAL;

  /**
   * The factor that turns a Schmidt coefficient of order (n, m) into one of this normalisation. The
   * field is unchanged: the function shrinks as the coefficient grows.
   */
  public double coefficientFromSchmidt(int n, int m) {
    return switch (this) {
      case SCHMIDT -> 1;
      case ORTHONORMAL -> 1 / Math.sqrt(2.0 * n + 1);
      case UNNORMALISED -> schmidtFactor(n, m);
    };
  }

  /** S_nm / P_nm = sqrt((2 − δ_m0)(n−m)!/(n+m)!), as a product so that nothing overflows. */
  private static double schmidtFactor(int n, int m) {
    if (m == 0) {
      return 1;
    }
    double f = Math.sqrt(2);
    for (int k = n - m + 1; k <= n + m; k++) {
      f /= Math.sqrt(k);
    }
    return f;
  }

  /** The name used in files. */
  public String id() {
    return switch (this) {
      case SCHMIDT -> "schmidt";
      case UNNORMALISED -> "unnormalised";
      case ORTHONORMAL -> "orthonormal";
    };
  }
}
