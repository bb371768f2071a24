package org.fieldwright.core.homogeneity;

import java.util.Arrays;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.SolidHarmonics;
import org.fieldwright.core.harmonic.Term;

/**
 * Field values on rings of equal azimuths that cover the surface of a sphere or a finite cylinder.
 *
 * <p>The rings lie along the profile from the +z end to the −z end with a step of at most π/(4
 * degree) in a parameter in which the field is a trigonometric polynomial of that degree: the polar
 * angle on a sphere, ρ = R sin t on a cap, z = h cos t on the side of a cylinder. On a ring the
 * field is Σ_m A_m cos mφ + B_m sin mφ; amplitudes are formed once per ring, and a quarter of the
 * azimuths serves all four quadrants. Holds its own work arrays: one thread at a time.
 */
final class SurfaceGrid {
  /** Steps per π of the profile parameter and per half turn, for each degree. */
  static final int STEPS_PER_DEGREE = 4;

  private final int degree;
  private final int azimuths;
  private final double[] rho;
  private final double[] z;
  private final double[] basis; // by ring, then m, then n ≥ m: harmonics at azimuth 0
  private final double[] cos; // by m, then azimuths of the first quadrant
  private final double[] sin;
  private final double[] values; // by ring, then azimuth
  private final double[] cosByOrder; // the field's coefficients, by m, then n
  private final double[] sinByOrder;
  private final double[][] quarter; // even and odd cosines, even and odd sines

  /**
   * @param volume a sphere or a cylinder
   * @param degree of the fields that will be evaluated, at least 1
   * @param referenceRadius of their coefficients, m
   */
  SurfaceGrid(Volume volume, int degree, double referenceRadius) {
    this.degree = degree;
    azimuths = 2 * STEPS_PER_DEGREE * degree;
    if (volume instanceof Volume.Sphere s) {
      int steps = STEPS_PER_DEGREE * degree;
      rho = new double[steps + 1];
      z = new double[steps + 1];
      fillSphere(s.radius());
    } else if (volume instanceof Volume.Cylinder c) {
      rho = new double[2 * STEPS_PER_DEGREE * degree + 1];
      z = new double[rho.length];
      fillCylinder(c);
    } else {
      throw new IllegalArgumentException("no ring grid for " + volume);
    }
    int perRing = (degree + 1) * (degree + 2) / 2;
    basis = new double[rho.length * perRing];
    fillBasis(new SolidHarmonics(degree, referenceRadius), perRing);
    int q = azimuths / 4;
    cos = new double[(degree + 1) * q];
    sin = new double[(degree + 1) * q];
    for (int m = 0; m <= degree; m++) {
      for (int j = 0; j < q; j++) {
        cos[m * q + j] = Math.cos(m * azimuth(j));
        sin[m * q + j] = Math.sin(m * azimuth(j));
      }
    }
    values = new double[rho.length * azimuths];
    cosByOrder = new double[perRing];
    sinByOrder = new double[perRing];
    quarter = new double[4][q];
  }

  private void fillSphere(double radius) {
    int last = rho.length - 1;
    for (int i = 0; i <= last; i++) {
      double polar = Math.PI * i / last;
      rho[i] = i == 0 || i == last ? 0 : radius * Math.sin(polar);
      z[i] = radius * Math.cos(polar);
    }
  }

  private void fillCylinder(Volume.Cylinder c) {
    int last = rho.length - 1;
    int cap = last / 4;
    for (int i = 0; i <= last; i++) {
      int fromEnd = Math.min(i, last - i);
      if (fromEnd <= cap) {
        rho[i] = fromEnd == cap ? c.radius() : c.radius() * Math.sin(Math.PI / 2 * fromEnd / cap);
        z[i] = i <= cap ? c.halfLength() : -c.halfLength();
      } else {
        rho[i] = c.radius();
        z[i] = c.halfLength() * Math.cos(Math.PI * (i - cap) / (last - 2.0 * cap));
      }
    }
  }

  private void fillBasis(SolidHarmonics harmonics, int perRing) {
    double[] h = new double[harmonics.count()];
    for (int i = 0; i < rho.length; i++) {
      harmonics.evaluate(rho[i], 0, z[i], h, 0);
      int k = i * perRing;
      for (int m = 0; m <= degree; m++) {
        for (int n = m; n <= degree; n++) {
          basis[k++] = h[Term.index(n, m, Term.Part.COS)];
        }
      }
    }
  }

  /** Evaluates a field everywhere on the grid. Coefficients above the grid's degree are ignored. */
  void evaluate(double[] coefficients) {
    int k = 0;
    for (int m = 0; m <= degree; m++) {
      for (int n = m; n <= degree; n++, k++) {
        int index = Term.index(n, m, Term.Part.COS);
        boolean held = n * n < coefficients.length;
        cosByOrder[k] = held ? coefficients[index] : 0;
        sinByOrder[k] = held && m > 0 ? coefficients[index + 1] : 0;
      }
    }
    for (int ring = 0; ring < rho.length; ring++) {
      evaluateRing(ring);
    }
  }

  private void evaluateRing(int ring) {
    for (double[] part : quarter) {
      Arrays.fill(part, 0);
    }
    int q = azimuths / 4;
    int row = ring * cosByOrder.length;
    int k = 0;
    for (int m = 0; m <= degree; m++) {
      double a = 0;
      double b = 0;
      for (int n = m; n <= degree; n++, k++) {
        a += cosByOrder[k] * basis[row + k];
        b += sinByOrder[k] * basis[row + k];
      }
      double[] even = quarter[m & 1];
      double[] odd = quarter[2 + (m & 1)];
      int table = m * q;
      for (int j = 0; j < q; j++) {
        even[j] += a * cos[table + j];
        odd[j] += b * sin[table + j];
      }
    }
    mirror(ring * azimuths);
  }

  /** cos and sin of m(π − φ), m(π + φ) and −mφ differ from those of mφ by signs alone. */
  private void mirror(int start) {
    int q = azimuths / 4;
    double[] evenCos = quarter[0];
    double[] oddCos = quarter[1];
    double[] evenSin = quarter[2];
    double[] oddSin = quarter[3];
    for (int j = 0; j < q; j++) {
      values[start + j] = evenCos[j] + oddCos[j] + evenSin[j] + oddSin[j];
      values[start + 2 * q - 1 - j] = evenCos[j] - oddCos[j] - evenSin[j] + oddSin[j];
      values[start + 2 * q + j] = evenCos[j] - oddCos[j] + evenSin[j] - oddSin[j];
      values[start + 4 * q - 1 - j] = evenCos[j] + oddCos[j] - evenSin[j] - oddSin[j];
    }
  }

  int degree() {
    return degree;
  }

  /** Largest step of the profile parameter and of the azimuth, rad. */
  double step() {
    return Math.PI / (STEPS_PER_DEGREE * degree);
  }

  int points() {
    return values.length;
  }

  double value(int point) {
    return values[point];
  }

  double rho(int point) {
    return rho[point / azimuths];
  }

  double z(int point) {
    return z[point / azimuths];
  }

  /** Azimuth of point j of a ring, rad; none lies on a plane of symmetry. */
  double azimuth(int point) {
    return (point % azimuths + 0.5) * 2 * Math.PI / azimuths;
  }

  /**
   * Whether no neighbour is higher (sign +1) or lower (−1); of equal neighbours the first counts,
   * so that a plateau has one summit and not many.
   */
  boolean isSummit(int point, int sign) {
    int ring = point / azimuths;
    int j = point % azimuths;
    if (rho[ring] == 0) {
      return j == 0 && isAboveRing(point, ring == 0 ? 1 : ring - 1, sign);
    }
    for (int other = ring - 1; other <= ring + 1; other++) {
      for (int step = -1; step <= 1; step++) {
        int neighbour = other * azimuths + (j + step + azimuths) % azimuths;
        if (neighbour != point && isHigher(neighbour, point, sign)) {
          return false;
        }
      }
    }
    return true;
  }

  private boolean isAboveRing(int point, int ring, int sign) {
    for (int j = 0; j < azimuths; j++) {
      if (isHigher(ring * azimuths + j, point, sign)) {
        return false;
      }
    }
    return true;
  }

  private boolean isHigher(int a, int b, int sign) {
    double difference = sign * (values[a] - values[b]);
    return difference > 0 || (difference == 0 && a < b);
  }
}
