package org.fieldwright.core.stability;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * NIST Statistical Reference Datasets, nonlinear regression (files as published, in
 * src/test/resources/strd): certified parameters, standard deviations and residual sum of squares
 * have eleven digits. Both published starting points are tried; linear parameters need none.
 */
class SeparableFitTest {

  @ParameterizedTest
  @CsvSource({"MGH17", "Lanczos3", "Misra1a", "Eckerle4"})
  void certifiedDigitsFromBothStarts(String name) throws IOException {
    Reference set = new Reference(name);
    Problem problem = Problem.of(name);
    for (int start = 0; start < 2; start++) {
      SeparableFit fit = problem.fit(set, start);
      double[] found = problem.parameters(fit);
      double[] uncertainty = problem.uncertainties(fit);
      for (int k = 0; k < found.length; k++) {
        String what = name + " start " + (start + 1) + " b" + (k + 1);
        assertThat(found[k]).as(what).isCloseTo(set.value[k], within(digits(set.value[k], 1e-9)));
        assertThat(uncertainty[k])
            .as(what + " standard deviation")
            .isCloseTo(set.deviation[k], within(digits(set.deviation[k], 1e-7)));
      }
      assertThat(fit.squares()).isCloseTo(set.squares, within(digits(set.squares, 1e-8)));
    }
  }

  private static double digits(double value, double relative) {
    return Math.abs(value) * relative;
  }

  /** How a data set's parameters map to those of a separable fit. */
  private static final class Problem {
    private final SeparableModel model;
    private final int[] shapes;
    private final int[] linear;
    private final boolean logarithms;

    private Problem(SeparableModel model, int[] shapes, int[] linear, boolean logarithms) {
      this.model = model;
      this.shapes = shapes;
      this.linear = linear;
      this.logarithms = logarithms;
    }

    static Problem of(String name) {
      return switch (name) {
        case "MGH17" ->
            new Problem(new ExponentialSum(2, true), new int[] {3, 4}, new int[] {0, 1, 2}, true);
        case "Lanczos3" ->
            new Problem(
                new ExponentialSum(3, false), new int[] {1, 3, 5}, new int[] {0, 2, 4}, true);
        case "Misra1a" -> new Problem(new Saturation(), new int[] {1}, new int[] {0}, true);
        case "Eckerle4" -> new Problem(new Peak(), new int[] {1, 2}, new int[] {0}, false);
        default -> throw new IllegalArgumentException(name);
      };
    }

    SeparableFit fit(Reference set, int start) {
      double[] alpha = new double[shapes.length];
      for (int q = 0; q < alpha.length; q++) {
        double given = set.start[start][shapes[q]];
        alpha[q] = logarithms ? Math.log(given) : given;
      }
      double[] weight = new double[set.x.length];
      Arrays.fill(weight, 1);
      return new SeparableFit(model, set.x, set.y, weight, alpha, logarithms ? 1 : 20);
    }

    double[] parameters(SeparableFit fit) {
      double[] result = new double[shapes.length + linear.length];
      for (int k = 0; k < linear.length; k++) {
        result[linear[k]] = fit.coefficients()[k];
      }
      for (int q = 0; q < shapes.length; q++) {
        double shape = fit.shapes()[q];
        result[shapes[q]] = logarithms ? Math.exp(shape) : shape;
      }
      return result;
    }

    double[] uncertainties(SeparableFit fit) {
      double[] result = new double[shapes.length + linear.length];
      for (int k = 0; k < linear.length; k++) {
        result[linear[k]] = fit.uncertainty(k);
      }
      for (int q = 0; q < shapes.length; q++) {
        double factor = logarithms ? Math.exp(fit.shapes()[q]) : 1;
        result[shapes[q]] = factor * fit.uncertainty(linear.length + q);
      }
      return result;
    }
  }

  /** 1 − e^(−λx), λ = e^α. */
  private static final class Saturation implements SeparableModel {
    @Override
    public int functions() {
      return 1;
    }

    @Override
    public int shapes() {
      return 1;
    }

    @Override
    public void at(double t, double[] alpha, double[] phi, double[] slopes) {
      double rate = Math.exp(alpha[0]);
      phi[0] = -Math.expm1(-rate * t);
      slopes[0] = rate * t * Math.exp(-rate * t);
    }
  }

  /** b1 b2⁻¹ e^(−(x−b3)²/(2 b2²)) with b1 linear. */
  private static final class Peak implements SeparableModel {
    @Override
    public int functions() {
      return 1;
    }

    @Override
    public int shapes() {
      return 2;
    }

    @Override
    public void at(double t, double[] alpha, double[] phi, double[] slopes) {
      double width = alpha[0];
      double u = (t - alpha[1]) / width;
      phi[0] = Math.exp(-u * u / 2) / width;
      slopes[0] = phi[0] * (u * u - 1) / width;
      slopes[1] = phi[0] * u / width;
    }
  }

  /** A data set as NIST publishes it. */
  private static final class Reference {
    final double[] x;
    final double[] y;
    final double[][] start;
    final double[] value;
    final double[] deviation;
    final double squares;

    Reference(String name) throws IOException {
      List<String> lines;
      try (InputStream in =
          requireNonNull(Reference.class.getResourceAsStream("/strd/" + name + ".dat"))) {
        lines = new String(in.readAllBytes(), StandardCharsets.US_ASCII).lines().toList();
      }
      double[][] parameters =
          lines.stream()
              .filter(l -> l.matches("\\s+b\\d =.*"))
              .map(l -> numbers(l, 2))
              .toArray(double[][]::new);
      start = new double[][] {column(parameters, 0), column(parameters, 1)};
      value = column(parameters, 2);
      deviation = column(parameters, 3);
      squares =
          numbers(
              lines.stream().filter(l -> l.startsWith("Residual Sum")).findFirst().orElseThrow(),
              4)[0];
      int data = 0;
      for (int i = 0; i < lines.size(); i++) {
        data = lines.get(i).startsWith("Data:") ? i + 1 : data;
      }
      double[][] rows =
          lines.subList(data, lines.size()).stream()
              .filter(l -> !l.isBlank())
              .map(l -> numbers(l, 0))
              .toArray(double[][]::new);
      y = column(rows, 0);
      x = column(rows, 1);
    }

    private static double[] numbers(String line, int skip) {
      return Arrays.stream(line.strip().split("\\s+"))
          .skip(skip)
          .mapToDouble(Double::parseDouble)
          .toArray();
    }

    private static double[] column(double[][] rows, int k) {
      return Arrays.stream(rows).mapToDouble(r -> r[k]).toArray();
    }
  }
}
