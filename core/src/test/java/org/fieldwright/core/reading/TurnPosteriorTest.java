package org.fieldwright.core.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.CommonOps_DDRM;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.SolidHarmonics;
import org.fieldwright.core.harmonic.Term;
import org.junit.jupiter.api.Test;

/**
 * The posterior against the textbook's: x = P HᵀR⁻¹y, P = (Λ⁻¹ + HᵀR⁻¹H)⁻¹ with every matrix
 * written out (Rasmussen and Williams 2006, eq. 2.8), by a library.
 */
class TurnPosteriorTest {
  private static final double R = TestSurveys.RADIUS;
  private static final int PROBES = 9;
  private static final int SETTINGS = 5;
  private static final TurnPosterior.Noise NOISE = new TurnPosterior.Noise(0.02, 0, 5e-4, 0.02);

  private final ProbeArray array = TestSurveys.array(PROBES);
  private final TurnReadings readings = new TurnReadings(array);
  private final TurnFaults faults = new TurnFaults(PROBES);
  private final FieldSpectrum spectrum = new FieldSpectrum(5);
  private final TurnPosterior posterior = new TurnPosterior(new TurnColumns(array.probes(), 5, R));

  /** With a missing lock, a reading left out and a freed angle. */
  private void take() {
    Survey survey = TestSurveys.take(TestSurveys.magnet(2), array, 12, 2);
    for (int k = 0; k < SETTINGS; k++) {
      List<Reading> setting = new ArrayList<>(survey.readings().subList(9 * k, 9 * k + 9));
      if (k == 1) {
        setting.remove(3);
      }
      readings.add(setting);
    }
    faults.grow(SETTINGS);
    faults.exclude(2, 6, true);
    faults.free(3, 0.02);
    spectrum.begin(20);
    for (int pass = 0; pass < 2; pass++) { // the second one knows the slopes
      posterior.update(readings, faults, spectrum, NOISE, 1, posterior);
    }
  }

  private double[] row(int k, int p) {
    int terms = posterior.size() - PROBES - 1;
    int degree = (int) Math.sqrt(terms) - 1;
    double[] row = new double[PROBES + 1 + terms];
    Probe probe = array.probes().get(p);
    double phi = Math.toRadians(readings.angleDeg(k)) + faults.shift(k);
    Vec3 at = Vec3.spherical(probe.radius(), probe.polar(), phi);
    row[p] = 1;
    row[PROBES] = readings.hours(k, p);
    System.arraycopy(new SolidHarmonics(degree, R).evaluate(at), 0, row, 10, terms);
    return row;
  }

  private static DMatrixRMaj times(DMatrixRMaj a, DMatrixRMaj b) {
    DMatrixRMaj out = new DMatrixRMaj(a.numRows, b.numCols);
    CommonOps_DDRM.mult(a, b, out);
    return out;
  }

  private static DMatrixRMaj turned(DMatrixRMaj a) {
    return CommonOps_DDRM.transpose(a, null);
  }

  private static DMatrixRMaj inverse(DMatrixRMaj a) {
    DMatrixRMaj out = new DMatrixRMaj(a.numRows, a.numCols);
    CommonOps_DDRM.invert(a, out);
    return out;
  }

  /** Covariance of the errors of the readings in use. */
  private DMatrixRMaj errors(List<int[]> used) {
    DMatrixRMaj errors = new DMatrixRMaj(used.size(), used.size());
    for (int i = 0; i < used.size(); i++) {
      for (int j = 0; j < used.size(); j++) {
        int k = used.get(i)[0];
        int p = used.get(i)[1];
        double angle = faults.frees(k) ? 100 : NOISE.angle(); // 100 rad: nothing believed
        double common = posterior.slope(k, p) * posterior.slope(k, used.get(j)[1]);
        double shared = used.get(j)[0] == k ? angle * angle * common : 0;
        errors.set(i, j, shared + (i == j ? posterior.variance(p) : 0));
      }
    }
    return errors;
  }

  private DMatrixRMaj inAdvance() {
    int size = posterior.size();
    DMatrixRMaj before = new DMatrixRMaj(size, size);
    for (int j = 0; j < size; j++) {
      double sd = j == PROBES ? 5 : 1000; // drift, mean field
      if (j < PROBES) {
        sd = posterior.offsetStated(j);
      } else if (j > PROBES + 1) {
        sd = Math.sqrt(spectrum.variance(Term.at(j - PROBES - 1).n()));
      }
      before.set(j, j, 1 / (sd * sd));
    }
    return before;
  }

  @Test
  void residualsAndVariancesAreThoseOfTheTextbook() {
    take();
    List<double[]> rows = new ArrayList<>();
    List<int[]> used = new ArrayList<>();
    for (int k = 0; k < SETTINGS; k++) {
      for (int p = 0; p < PROBES; p++) {
        if (readings.has(k, p) && !faults.excludes(k, p)) {
          rows.add(row(k, p));
          used.add(new int[] {k, p});
        }
      }
    }
    DMatrixRMaj h = new DMatrixRMaj(rows.toArray(new double[0][]));
    DMatrixRMaj y = new DMatrixRMaj(used.size(), 1);
    for (int i = 0; i < used.size(); i++) {
      y.set(i, 0, readings.ppm(used.get(i)[0], used.get(i)[1]));
    }
    DMatrixRMaj weighted = times(turned(h), inverse(errors(used)));
    DMatrixRMaj information = times(weighted, h);
    CommonOps_DDRM.addEquals(information, inAdvance());
    DMatrixRMaj covariance = inverse(information);
    DMatrixRMaj x = times(covariance, times(weighted, y));
    double[] row = new double[posterior.stride()];
    for (int k = 0; k < SETTINGS; k++) {
      for (int p = 0; p < PROBES; p++) {
        if (readings.has(k, p)) {
          DMatrixRMaj r = new DMatrixRMaj(new double[][] {row(k, p)});
          assertThat(posterior.residual(k, p))
              .as("setting %d, probe %d", k, p)
              .isCloseTo(readings.ppm(k, p) - times(r, x).get(0), within(1e-5));
          posterior.row(readings, k, p, row);
          posterior.whiten(row);
          double variance = times(times(r, covariance), turned(r)).get(0);
          assertThat(posterior.square(row)).isCloseTo(variance, within(1e-4 * variance));
        }
      }
    }
    assertThat(posterior.drift()).isCloseTo(x.get(PROBES), within(1e-4));
    double drift = Math.sqrt(covariance.get(PROBES, PROBES));
    assertThat(posterior.driftUncertainty(row)).isCloseTo(drift, within(1e-4 * drift));
  }

  @Test
  void theFactorSolvesAndInverts() {
    int n = 23;
    SplittableRandom random = new SplittableRandom(4);
    DMatrixRMaj a = new DMatrixRMaj(n, n, true, random.doubles((long) n * n, -1, 1).toArray());
    DMatrixRMaj m = times(a, turned(a));
    CommonOps_DDRM.addEquals(m, CommonOps_DDRM.identity(n));
    LowerFactor factor = new LowerFactor();
    double[] l = factor.clear(n);
    int stride = LowerFactor.stride(n);
    for (int i = 0; i < n; i++) {
      System.arraycopy(m.data, i * n, l, i * stride, i + 1);
    }
    factor.factorise();
    DMatrixRMaj inverse = inverse(m);
    double[] diagonal = new double[stride];
    factor.inverseDiagonal(diagonal);
    double[] v = Arrays.copyOf(random.doubles(n, -1, 1).toArray(), stride);
    DMatrixRMaj solved = times(inverse, new DMatrixRMaj(n, 1, true, Arrays.copyOf(v, n)));
    factor.forward(v);
    factor.backward(v);
    for (int i = 0; i < n; i++) {
      assertThat(diagonal[i]).isCloseTo(inverse.get(i, i), within(1e-12));
      assertThat(v[i]).isCloseTo(solved.get(i), within(1e-12));
    }
  }
}
