package org.fieldwright.core.correction;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.fieldwright.core.geometry.Vec3;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.ojalgo.optimisation.ExpressionsBasedModel;
import org.ojalgo.optimisation.Optimisation;
import org.ojalgo.optimisation.Variable;

class BoundedSimplexTest {

  /** ojAlgo, a general solver of other hands, has to find the same optimum. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20})
  void agreesWithAGeneralSolver(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    int columns = 3 + random.nextInt(15);
    int rows = 3 + random.nextInt(20);
    double[] cost = new double[columns];
    double[] lower = new double[columns];
    double[] upper = new double[columns];
    ExpressionsBasedModel model = new ExpressionsBasedModel();
    for (int j = 0; j < columns; j++) {
      cost[j] = random.nextDouble(-1, 2);
      lower[j] = random.nextInt(-5, 1);
      upper[j] = lower[j] + random.nextInt(0, 12);
      model.addVariable("x" + j).lower(lower[j]).upper(upper[j]).weight(cost[j]);
    }
    BoundedSimplex simplex = new BoundedSimplex(cost, new double[columns], lower, upper);
    for (int i = 0; i < rows; i++) {
      double[] row = new double[columns];
      double rhs = random.nextDouble(-4, 12);
      var expression = model.addExpression("r" + i).upper(rhs);
      List<Variable> variables = model.getVariables();
      for (int j = 0; j < columns; j++) {
        row[j] = random.nextInt(3) == 0 ? 0 : random.nextDouble(-3, 3);
        expression.set(variables.get(j), row[j]);
      }
      simplex.addRow(row, rhs);
      simplex.resolve(1000); // rows arrive while it is being solved
    }
    Optimisation.Result reference = model.minimise();
    BoundedSimplex.Status status = simplex.solve(1000);
    assertThat(status == BoundedSimplex.Status.OPTIMAL)
        .as("feasible, seed %d", seed)
        .isEqualTo(reference.getState().isFeasible());
    if (status == BoundedSimplex.Status.OPTIMAL) {
      assertThat(simplex.objective())
          .as("optimum, seed %d", seed)
          .isCloseTo(reference.getValue(), org.assertj.core.data.Offset.offset(1e-6));
    }
  }

  @Test
  void saysThatNothingSatisfiesContradictoryRows() {
    BoundedSimplex simplex =
        new BoundedSimplex(new double[] {1}, new double[] {0}, new double[] {0}, new double[] {10});
    simplex.addRow(new double[] {1}, 3);
    simplex.addRow(new double[] {-1}, -4);
    assertThat(simplex.solve(100)).isEqualTo(BoundedSimplex.Status.INFEASIBLE);
  }

  /** Fixing a variable and going on, as a dive does, is solving the smaller problem. */
  @Test
  void goesOnAfterAVariableIsFixed() {
    BoundedSimplex simplex =
        new BoundedSimplex(
            new double[] {-1, -2}, new double[2], new double[2], new double[] {4, 4});
    simplex.addRow(new double[] {1, 1}, 5.5);
    assertThat(simplex.solve(100)).isEqualTo(BoundedSimplex.Status.OPTIMAL);
    assertThat(simplex.objective()).isEqualTo(-9.5);
    simplex.setBounds(1, 3, 3);
    assertThat(simplex.solve(100)).isEqualTo(BoundedSimplex.Status.OPTIMAL);
    assertThat(simplex.solution()).containsExactly(2.5, 3);
  }

  /**
   * Certificates by other solvers on the 576 reading points: HiGHS (scipy's linprog, dual simplex
   * and interior point, tolerances 1e-10) and for the first GLOP agree on 5.22238675 ppm for the
   * 1.5 T magnet and 1.87444880 ppm for the 0.5 T one.
   */
  @Test
  void findsTheOptimaOnReadingPoints() {
    assertThat(2 * onPoints(BodyMagnet.P1, 0)).isCloseTo(5.22238675, within(1e-6));
    assertThat(2 * onPoints(BodyMagnet.P2, 0)).isCloseTo(1.87444880, within(1e-6));
  }

  /**
   * Least iron on the same points, by HiGHS likewise: 7.2189699 kg for 20 ppm, 11.6595547 for 10.
   */
  @Test
  void findsTheLeastIronOnReadingPoints() {
    assertThat(onPoints(BodyMagnet.P1, 20)).isCloseTo(7.21896989, within(1e-6));
    assertThat(onPoints(BodyMagnet.P1, 10)).isCloseTo(11.65955468, within(1e-6));
  }

  /** Half width, or kg where a target is given; rows are added until none is violated. */
  private static double onPoints(BodyMagnet magnet, double target) {
    int n = BodyMagnet.TRAYS * BodyMagnet.POCKETS;
    double[] cost = new double[n + 2];
    double[] perturbation = new double[n + 2];
    double[] lower = new double[n + 2];
    double[] upper = new double[n + 2];
    for (int j = 0; j < n; j++) {
      cost[j] = target > 0 ? BodyMagnet.PIECE : 0;
      perturbation[j] = 1e-8 * (1 + (j * 0.618034) % 1);
      upper[j] = 60;
    }
    lower[n] = Double.NEGATIVE_INFINITY;
    upper[n] = Double.POSITIVE_INFINITY;
    cost[n + 1] = target > 0 ? 0 : 1;
    upper[n + 1] = target > 0 ? target / 2 : 1e6;
    BoundedSimplex simplex = new BoundedSimplex(cost, perturbation, lower, upper);
    List<double[]> above = new ArrayList<>();
    List<Double> field = new ArrayList<>();
    for (Vec3 p : magnet.readingPoints()) {
      double[] row = new double[n + 2];
      for (int j = 0; j < n; j++) {
        Vec3 pocket = BodyMagnet.place(j / 15 + 1, j % 15 + 1);
        row[j] = magnet.ppmPerPiece(pocket, p);
      }
      row[n] = -1;
      above.add(row);
      field.add(magnet.bare().ppm().at(p));
    }
    boolean cut = true;
    while (cut) {
      cut = false;
      double[] x = simplex.solution();
      for (int i = 0; i < above.size(); i++) {
        double off = field.get(i);
        for (int j = 0; j <= n; j++) {
          off += above.get(i)[j] * x[j];
        }
        if (Math.abs(off) > x[n + 1] + 1e-8) {
          double[] row = above.get(i).clone();
          double side = Math.signum(off);
          for (int j = 0; j <= n; j++) {
            row[j] *= side;
          }
          row[n + 1] = -1;
          simplex.addRow(row, -side * field.get(i));
          cut = true;
        }
      }
      assertThat(simplex.resolve(100_000)).isEqualTo(BoundedSimplex.Status.OPTIMAL);
    }
    assertThat(simplex.solve(100_000)).isEqualTo(BoundedSimplex.Status.OPTIMAL);
    return simplex.objective();
  }
}
