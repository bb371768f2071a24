package org.fieldwright.core.harmonic;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.fieldwright.core.geometry.Vec3;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * The fit by moments against that by orthonormal columns. Its equations carry the square of the
 * condition number κ: coefficients, once corrected, and residuals are held to 1e-10 of their size
 * where κ is below 1e3, leverages to 1e-16 κ² with two digits to spare.
 */
class FreePointsTest {
  private static final double R = 0.2;

  /** Clouds of good and middling shape; κ up to 500. */
  private enum Form {
    BALL(9),
    SPHERE(12),
    CYLINDER(8),
    CAP(5);

    private final int degree;

    Form(int degree) {
      this.degree = degree;
    }
  }

  private static Sampling cloud(Form form, int count, SplittableRandom random) {
    Vec3[] points = new Vec3[count];
    double[] weight = new double[count];
    int[] none = new int[count];
    Arrays.fill(none, -1);
    for (int i = 0; i < count; i++) {
      double turn = random.nextDouble(2 * Math.PI);
      double cosine = random.nextDouble(form == Form.CAP ? 0 : -1, 1);
      double r = form == Form.SPHERE ? R : R * Math.cbrt(random.nextDouble());
      points[i] =
          form == Form.CYLINDER
              ? Vec3.cylindrical(0.7 * R * Math.sqrt(random.nextDouble()), turn, 0.7 * R * cosine)
              : Vec3.spherical(r, Math.acos(cosine), turn);
      weight[i] = random.nextDouble(0.5, 2);
    }
    return new Sampling(points, weight, none, none);
  }

  private static double[] values(Sampling s, SplittableRandom random) {
    double[] c = new double[Term.count(14)];
    for (int k = 0; k < c.length; k++) {
      c[k] = 300 * Math.pow(0.5, Term.at(k).n()) * random.nextDouble(-1, 1);
    }
    Expansion field = new Expansion(R, c);
    double[] y = new double[s.size()];
    for (int i = 0; i < y.length; i++) {
      y[i] = field.at(s.point(i)) + 0.02 * random.nextGaussian();
    }
    return y;
  }

  private static void assertClose(double[] found, double[] expected, double tolerance, String of) {
    assertThat(found).hasSameSizeAs(expected);
    for (int k = 0; k < found.length; k++) {
      assertThat(Math.abs(found[k] - expected[k])).as("%s %d", of, k).isLessThan(tolerance);
    }
  }

  private static double largest(double[] v) {
    return Arrays.stream(v).map(Math::abs).max().orElse(0);
  }

  @ParameterizedTest
  @EnumSource
  void isTheFitByColumns(Form form) {
    SplittableRandom random = new SplittableRandom(form.degree);
    Sampling cloud = cloud(form, 700, random);
    double[] y = values(cloud, random);
    HarmonicDesign design = HarmonicDesign.of(cloud, form.degree, R, null);
    WorkingFit columns = new WorkingFit(design, form.degree, y);
    FreePoints points = new FreePoints(cloud, y, form.degree + 1, R);
    for (int row : new int[] {3, 77, 690}) {
      points.setAside(row);
      columns.setAside(row);
    }
    PointFit fit = points.fit(form.degree);
    assertThat(fit.isSound()).isTrue();
    assertSame(fit, columns.solve());
    ErrorSources errors = new ErrorSources(0.02, 1e-4, null, null, Vec3.UNIT_Z, List.of());
    FieldModel ours = FieldModels.of(fit, 0.55, errors, "");
    FieldModel theirs = FieldModels.of(columns.solve(), 0.55, errors, "");
    for (int k = 0; k < ours.shares().size(); k++) {
      double[] c = theirs.shares().get(k).covariance().values();
      assertThat(ours.shares().get(k).source()).isEqualTo(theirs.shares().get(k).source());
      assertClose(
          ours.shares().get(k).covariance().values(),
          c,
          1e-9 * largest(c),
          ours.shares().get(k).source().words());
    }
    assertThat(ours.condition()).isCloseTo(theirs.condition(), within(1e-8 * theirs.condition()));
    assertThat(ours.residualRmsPpm()).isCloseTo(theirs.residualRmsPpm(), within(1e-10));
    assertThat(ours.measuredRadius()).isEqualTo(theirs.measuredRadius());
  }

  private static void assertSame(FieldFit fit, FieldFit columns) {
    double[] c = columns.expansion().coefficients();
    assertThat(fit.terms()).isEqualTo(columns.terms());
    assertThat(fit.unseen()).isEqualTo(columns.unseen());
    assertThat(fit.degreesOfFreedom()).isEqualTo(columns.degreesOfFreedom());
    assertClose(fit.expansion().coefficients(), c, 1e-10 * largest(c), "coefficient");
    for (int i = 0; i < fit.rows(); i++) {
      assertThat(fit.residual(i)).isCloseTo(columns.residual(i), within(1e-8));
      assertThat(fit.redundancy(i)).isCloseTo(columns.redundancy(i), within(1e-9));
    }
  }

  /**
   * Gross values leave their rounding behind in the moments: 1e-16 of 1e6, mended from residuals.
   */
  @Test
  void aPointTakenAwayWasNeverRead() {
    SplittableRandom random = new SplittableRandom(5);
    Sampling cloud = cloud(Form.BALL, 500, random);
    double[] y = values(cloud, random);
    int[] gone = {0, 17, 18, 400, 499};
    Arrays.stream(gone).forEach(row -> y[row] = 1e6);
    FreePoints points = new FreePoints(cloud, y, 8, R);
    Arrays.stream(gone).forEach(points::setAside);
    points.setAside(17); // once is enough
    points.setAside(200);
    points.restore(200);
    PointFit fit = points.fit(8);
    int[] left = IntStream.range(0, 500).filter(i -> Arrays.binarySearch(gone, i) < 0).toArray();
    Sampling rest =
        new Sampling(
            Arrays.stream(left).mapToObj(cloud::point).toArray(Vec3[]::new),
            Arrays.stream(left).mapToDouble(cloud::rootWeight).toArray(),
            Arrays.stream(left).map(i -> -1).toArray(),
            Arrays.stream(left).map(i -> -1).toArray());
    double[] values = Arrays.stream(left).mapToDouble(i -> y[i]).toArray();
    PointFit without = new FreePoints(rest, values, 8, R).fit(8);
    assertThat(fit.expansion().coefficients())
        .containsExactly(without.expansion().coefficients(), within(1e-10));
    for (int i = 0; i < left.length; i++) {
      assertThat(fit.residual(left[i])).isCloseTo(without.residual(i), within(1e-10));
      assertThat(fit.deviation(left[i])).isCloseTo(without.deviation(i), within(1e-10));
    }
    // A row set aside deviates by its whole error over √(1 + h), h from the others.
    HarmonicDesign design = HarmonicDesign.of(cloud, 8, R, null);
    WorkingFit columns = new WorkingFit(design, 8, y);
    Arrays.stream(gone).forEach(columns::setAside);
    WorkingFit.Solution solution = columns.solve();
    for (int k = 0; k < gone.length; k++) {
      double deviation = Math.abs(solution.extra(k)) / solution.extraUncertainty(k);
      assertThat(fit.deviation(gone[k])).isCloseTo(deviation, within(1e-9 * deviation));
    }
  }

  @Test
  void everyDegreePredictsAsTheLadderOfColumnsSays() {
    SplittableRandom random = new SplittableRandom(11);
    Sampling cloud = cloud(Form.CYLINDER, 600, random);
    double[] y = values(cloud, random);
    FreePoints points = new FreePoints(cloud, y, 10, R);
    DegreeLadder ladder = new DegreeLadder(HarmonicDesign.of(cloud, 9, R, null), y);
    for (int row : new int[] {1, 2, 300}) {
      points.setAside(row);
      ladder.setAside(row);
    }
    List<DegreeLadder.Rung> expected = ladder.climb();
    List<DegreeLadder.Rung> found = points.ladder(9);
    assertThat(found).hasSize(10);
    for (int n = 0; n <= 9; n++) {
      assertThat(found.get(n).readings()).isEqualTo(expected.get(n).readings());
      assertThat(found.get(n).press())
          .as("degree %d", n)
          .isCloseTo(expected.get(n).press(), within(1e-9 * expected.get(n).press()));
    }
  }

  /** Seven angles cannot tell orders m and 7 − m apart at nine heights of one radius. */
  @Test
  void leavesEmptyWhatTheColumnsLeaveEmpty() {
    Vec3[] rings = new Vec3[7 * 9];
    for (int i = 0; i < rings.length; i++) {
      double height = 0.1 * R * (i / 7 - 4);
      rings[i] = Vec3.cylindrical(0.9 * R, 0.3 + 2 * Math.PI * (i % 7) / 7, height);
    }
    Sampling sampling = Sampling.ofFreePoints(rings);
    double[] y = values(sampling, new SplittableRandom(3));
    HarmonicDesign design = HarmonicDesign.of(sampling, 6, R, null);
    assertThat(design.unseen()).isNotEmpty();
    PointFit fit = new FreePoints(sampling, y, 6, R).fit(6);
    assertThat(fit.isSound()).isTrue();
    assertSame(fit, new WorkingFit(design, 6, y).solve());
  }

  /** In a plane half the columns are nothing but rounding; on a helix pivots reach 1e-6 twice. */
  @Test
  void saysWhereTheDigitsDoNotSuffice() {
    SplittableRandom random = new SplittableRandom(4);
    Vec3[] plane = new Vec3[400];
    Vec3[] helix = new Vec3[2000];
    for (int i = 0; i < plane.length; i++) {
      plane[i] = Vec3.cylindrical(R * Math.sqrt(random.nextDouble()), random.nextDouble(6.28), 0);
    }
    for (int i = 0; i < helix.length; i++) {
      double along = 2.0 * i / helix.length - 1;
      helix[i] = Vec3.cylindrical(0.6 * R, 90 * along, 0.8 * R * along);
    }
    assertThat(new FreePoints(Sampling.ofFreePoints(plane), new double[400], 6, R).fit(6).isSound())
        .isFalse();
    assertThat(
            new FreePoints(Sampling.ofFreePoints(helix), new double[2000], 20, R).fit(20).isSound())
        .isFalse();
  }
}
