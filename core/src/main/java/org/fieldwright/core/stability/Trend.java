package org.fieldwright.core.stability;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.Vectors;

/**
 * How the field runs with time, apart from noise, steps and surroundings; with the covariance of
 * its parameters, so that value and rate at any time have an uncertainty. Times are seconds since
 * the start of the log, fields ppm of the reference, rates ppm per hour.
 */
public final class Trend {
  static final double SECONDS_PER_HOUR = 3600;

  private final Kind kind;
  private final SeparableModel model;
  private final double[] coefficients;
  private final double[] shapes;
  private final double[] covariance;

  Trend(
      Kind kind,
      SeparableModel model,
      double[] coefficients,
      double[] shapes,
      double[] covariance) {
    this.kind = kind;
    this.model = model;
    this.coefficients = coefficients;
    this.shapes = shapes;
    this.covariance = covariance;
  }

  /** Forms of trend. */
  public enum Kind {
    LINEAR("linear"),
    EXPONENTIAL("exponential"),
    TWO_EXPONENTIALS("two_exponentials"),
    LOGARITHMIC("logarithmic");

    private final String id;

    Kind(String id) {
      this.id = id;
    }

    /** The name used in files. */
    public String id() {
      return id;
    }
  }

  /**
   * A parameter as a person knows it.
   *
   * @param name with its unit as suffix
   */
  public record Parameter(String name, double value, double uncertainty) {}

  public Kind kind() {
    return kind;
  }

  /**
   * The parameters: amplitudes in ppm, slope in ppm per hour, time constants in hours. Levels are
   * those before any step.
   */
  public List<Parameter> parameters() {
    List<Parameter> list = new ArrayList<>();
    switch (kind) {
      case LINEAR -> {
        list.add(linear("offset_ppm", 0));
        list.add(linear("slope_ppm_per_hour", 1));
      }
      case EXPONENTIAL -> {
        list.add(linear("final_ppm", 0));
        list.add(linear("amplitude_ppm", 1));
        list.add(timeConstant("time_constant_hours", 0, -1));
      }
      case TWO_EXPONENTIALS -> {
        list.add(linear("final_ppm", 0));
        list.add(linear("amplitude_1_ppm", 1));
        list.add(timeConstant("time_constant_1_hours", 0, -1));
        list.add(linear("amplitude_2_ppm", 2));
        list.add(timeConstant("time_constant_2_hours", 1, -1));
      }
      case LOGARITHMIC -> {
        list.add(linear("start_ppm", 0));
        list.add(linear("per_e_fold_ppm", 1));
        list.add(timeConstant("onset_hours", 0, 1));
      }
    }
    return list;
  }

  private Parameter linear(String name, int k) {
    return new Parameter(name, coefficients[k], deviation(k));
  }

  /** From the logarithm of a time (sign 1) or of a rate (sign −1). */
  private Parameter timeConstant(String name, int q, int sign) {
    double hours = Math.exp(sign * shapes[q]) / SECONDS_PER_HOUR;
    return new Parameter(name, hours, hours * deviation(coefficients.length + q));
  }

  private double deviation(int i) {
    int p = coefficients.length + shapes.length;
    return Math.sqrt(Math.max(0, covariance[i * p + i]));
  }

  /** Field at a time, ppm; the uncertainty is that of the trend, without the field's own wander. */
  public Estimate fieldPpm(double t) {
    double[] phi = new double[model.functions()];
    double[] slopes = new double[phi.length * shapes.length];
    model.at(t, shapes, phi, slopes);
    return new Estimate(Vectors.dot(coefficients, phi), Math.sqrt(varianceOf(gradient(t))));
  }

  /** Rate of change at a time, ppm per hour. */
  public Estimate ratePpmPerHour(double t) {
    double h = spacing();
    double[] before = gradient(t - h);
    double[] after = gradient(t + h);
    double rate = 0;
    for (int i = 0; i < after.length; i++) {
      after[i] = (after[i] - before[i]) / (2 * h) * SECONDS_PER_HOUR;
      rate += i < coefficients.length ? coefficients[i] * after[i] : 0;
    }
    return new Estimate(rate, Math.sqrt(varianceOf(after)));
  }

  /** A thousandth of the shortest time constant: central differences then err by 2e-7. */
  private double spacing() {
    double shortest = SECONDS_PER_HOUR;
    for (double s : shapes) {
      shortest = Math.min(shortest, Math.exp(kind == Kind.LOGARITHMIC ? s : -s));
    }
    return 1e-3 * shortest;
  }

  /** Derivatives of the field by the parameters, linear ones first. */
  private double[] gradient(double t) {
    return gradient(model, coefficients, shapes, t);
  }

  static double[] gradient(SeparableModel model, double[] coefficients, double[] shapes, double t) {
    int k = coefficients.length;
    double[] phi = new double[k];
    double[] slopes = new double[k * shapes.length];
    model.at(t, shapes, phi, slopes);
    double[] gradient = new double[k + shapes.length];
    System.arraycopy(phi, 0, gradient, 0, k);
    for (int q = 0; q < shapes.length; q++) {
      for (int f = 0; f < k; f++) {
        gradient[k + q] += coefficients[f] * slopes[f * shapes.length + q];
      }
    }
    return gradient;
  }

  private double varianceOf(double[] g) {
    double sum = 0;
    for (int i = 0; i < g.length; i++) {
      for (int j = 0; j < g.length; j++) {
        sum += g[i] * covariance[i * g.length + j] * g[j];
      }
    }
    return Math.max(0, sum);
  }
}
