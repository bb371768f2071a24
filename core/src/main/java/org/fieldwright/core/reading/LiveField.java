package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.RecursiveFit;
import org.fieldwright.core.harmonic.SolidHarmonics;
import org.fieldwright.core.harmonic.Term;
import org.jspecify.annotations.Nullable;

/**
 * The field of a survey that is still growing, with the readings left out of it and the shared
 * faults freed beside it.
 *
 * <p>Part of a turn does not determine every term. What the readings leave open, a prior holds: a
 * term of degree n at the array's radius is of the order of {@value #WIDE} × the spread of the
 * first setting × {@value #DECAY}^(n − 1), as of a field whose sources stand beyond 1.6 times that
 * radius. It is so wide that a complete turn forgets it.
 */
final class LiveField {
  private static final double WIDE = 10;
  private static final double DECAY = 0.6;

  /** A larger error of an angle is not told from other faults, rad. */
  private static final double MOST_TURN = 0.1;

  /** Over so small a turn the field is straight, rad. */
  private static final double SMALL_TURN = 0.002;

  private final SolidHarmonics basis;
  private final RecursiveFit fit;
  private final double unit; // ppm: the values of the fit are multiples of it
  private final double least; // scatter, in units
  private final List<Row> rows = new ArrayList<>();
  private final List<Group> freed = new ArrayList<>(); // by their number in the fit
  private final Map<Integer, Double> turns = new HashMap<>(); // of angles' readings, rad
  private @Nullable Double givenSlope;

  /** A row of the fit: probe and angle by the caller's index, angle −1 on the axis. */
  record Row(Vec3 position, int probe, int angle, double ppm, double clock) {}

  /** A fault that rows share; exactly one of the two is ≥ 0. */
  record Group(int probe, int angle) {
    boolean holds(Row row) {
      return probe >= 0 ? row.probe() == probe : row.angle() == angle;
    }
  }

  /**
   * @param degree of the field
   * @param radius at which the prior holds, m
   * @param spread of the field, ppm
   * @param reading stated scatter of a reading, ppm; null if not stated
   */
  LiveField(int degree, double radius, double spread, @Nullable Double reading) {
    basis = new SolidHarmonics(degree, radius);
    unit = reading != null && reading > 0 ? reading : 0.01;
    least = reading != null && reading > 0 ? 1 : 0.1;
    double[] prior = new double[basis.count()];
    for (int k = 0; k < prior.length; k++) {
      double size = WIDE * spread / unit * Math.pow(DECAY, Math.max(0, Term.at(k).n() - 1));
      prior[k] = size * size;
    }
    fit = new RecursiveFit(prior, 2);
  }

  /** Takes rows in; their numbers follow those before. */
  void add(List<Row> fresh) {
    double[][] x = new double[fresh.size()][];
    double[][] y = new double[2][fresh.size()];
    for (int b = 0; b < x.length; b++) {
      Row row = fresh.get(b);
      x[b] = effects(row, row.position());
      y[0][b] = row.ppm() / unit;
      y[1][b] = row.clock();
    }
    fit.add(x, y);
    rows.addAll(fresh);
  }

  /** What the terms and the probes' freed offsets do to a row. */
  private double[] effects(Row row, Vec3 place) {
    double[] x = Arrays.copyOf(basis.evaluate(place), basis.count() + freed.size());
    for (int k = 0; k < freed.size(); k++) {
      Group g = freed.get(k);
      x[basis.count() + k] = g.probe() >= 0 && g.holds(row) ? 1 : 0;
    }
    return x;
  }

  /** Puts another reading of the same place in a row's stead, with no suspicion on it. */
  void replace(int at, double ppm, double clock) {
    Row row = rows.get(at);
    fit.replace(at, new double[] {ppm / unit, clock});
    fit.setLeftOut(at, false);
    rows.set(at, new Row(row.position(), row.probe(), row.angle(), ppm, clock));
  }

  /** Drops the suspicion that an angle was wrong. */
  void clearAngle(int angle) {
    if (isAngleWrong(angle)) {
      drop(new Group(-1, angle));
    }
  }

  boolean isAngleWrong(int angle) {
    return freed.contains(new Group(-1, angle));
  }

  boolean isSuspicious(int row) {
    return fit.isLeftOut(row);
  }

  /** Tells the drift, ppm per unit of the clock, where it is known without the fit. */
  void giveSlope(@Nullable Double ppmPerClock) {
    givenSlope = ppmPerClock;
  }

  /** Readings in use less what the field and the freed faults take of them. */
  double freedom() {
    double freedom = -freed.size();
    for (int i = 0; i < rows.size(); i++) {
      freedom += fit.isLeftOut(i) ? 0 : fit.residualVariance(i);
    }
    return freedom;
  }

  /**
   * Moves the readings of a freed angle to where the array seems to have stood, until what is left
   * of the error is small enough for the field's slope to speak for it.
   *
   * @return whether the error stays within what can be told from another fault
   */
  boolean sharpen(Group g) {
    for (int pass = 0; pass < 4; pass++) {
      int number = freed.indexOf(g);
      double step = sizeOf(number);
      double whole = turned(g.angle()) + step;
      if (!(Math.abs(whole) < MOST_TURN)) {
        return false;
      }
      if (Math.abs(step) < SMALL_TURN) {
        return true;
      }
      bind(number);
      turn(g.angle(), whole);
      free(g, pattern(g, alongTurn(slope())));
    }
    return true;
  }

  private double turned(int angle) {
    return turns.getOrDefault(angle, 0.0);
  }

  /** Moves the readings of a setting to this far from where they are said to be, rad. */
  private void turn(int angle, double by) {
    if (by == turned(angle)) {
      return;
    }
    turns.put(angle, by);
    for (int i = 0; i < rows.size(); i++) {
      if (rows.get(i).angle() == angle) {
        boolean out = fit.isLeftOut(i);
        fit.setLeftOut(i, true);
        Vec3 p = rows.get(i).position();
        Vec3 place = Vec3.cylindrical(Math.hypot(p.x(), p.y()), p.azimuth() + by, p.z());
        fit.redesign(i, effects(rows.get(i), place));
        fit.setLeftOut(i, out);
      }
    }
  }

  /** Drops a shared fault; an angle's readings go back to where they are said to be. */
  void drop(Group g) {
    bind(freed.indexOf(g));
    if (g.angle() >= 0) {
      turn(g.angle(), 0);
    }
  }

  double[] pattern(Group g, double[] alongTurn) {
    double[] pattern = new double[rows.size()];
    for (int i = 0; i < pattern.length; i++) {
      pattern[i] = !g.holds(rows.get(i)) ? 0 : g.probe() >= 0 ? 1 : alongTurn[i];
    }
    return pattern;
  }

  /** ∂B/∂φ at every row, units of the fit per rad. */
  double[] alongTurn(double slope) {
    double[] values = fit.estimate(0);
    double[] clock = fit.estimate(1);
    double[] c = new double[values.length];
    for (int k = 0; k < c.length; k++) {
      c[k] = values[k] - slope * clock[k];
    }
    double[] derivative = new double[c.length];
    for (int n = 1; n <= basis.degree(); n++) {
      for (int m = 1; m <= n; m++) {
        int cos = Term.index(n, m, Term.Part.COS);
        int sin = Term.index(n, m, Term.Part.SIN);
        derivative[cos] = m * c[sin];
        derivative[sin] = -m * c[cos];
      }
    }
    return fit.predicted(derivative);
  }

  void free(Group g, double[] pattern) {
    fit.free(pattern);
    freed.add(g);
  }

  private void bind(int number) {
    fit.bind(number);
    Group last = freed.remove(freed.size() - 1);
    if (number < freed.size()) {
      freed.set(number, last);
    }
  }

  double residual(int row, double slope) {
    return fit.residual(row, 0) - slope * fit.residual(row, 1);
  }

  double score(int row) {
    return Math.abs(residual(row, slope())) / Math.sqrt(fit.residualVariance(row));
  }

  /** A probe's offset in units of the fit, or an angle's whole error. */
  double wholeOf(int number) {
    return sizeOf(number) + turned(freed.get(number).angle());
  }

  double sizeOf(int number) {
    return fit.size(number, 0) - slope() * fit.size(number, 1);
  }

  /** In units of the fit per unit of the clock; 0 while nothing tells. */
  double slope() {
    if (givenSlope != null) {
      return givenSlope / unit;
    }
    double[] d = drift();
    return Double.isNaN(d[0]) ? 0 : d[0];
  }

  /** The slope that the fit itself prefers, and its variance; NaN while it does not tell. */
  private double[] drift() {
    double mean = rows.stream().mapToDouble(Row::clock).average().orElse(0);
    double along = 0;
    double square = 0;
    double whole = 0;
    for (int i = 0; i < rows.size(); i++) {
      if (!fit.isLeftOut(i)) {
        double t = rows.get(i).clock();
        along += t * fit.residual(i, 0);
        square += t * fit.residual(i, 1);
        whole += (t - mean) * (t - mean);
      }
    }
    boolean tells = square > FaultSearch.TESTABLE * whole;
    return tells
        ? new double[] {along / square, 1 / square}
        : new double[] {Double.NaN, Double.NaN};
  }

  /** Scatter of a reading, in units of the fit: the normalised median absolute deviation. */
  double scatter() {
    double slope = slope();
    double[] scores = new double[rows.size()];
    int count = 0;
    for (int i = 0; i < scores.length; i++) {
      if (!fit.isLeftOut(i) && fit.residualVariance(i) > FaultSearch.TESTABLE) {
        scores[count++] = Math.abs(residual(i, slope)) / Math.sqrt(fit.residualVariance(i));
      }
    }
    double mad = 1.4826 * DriftFit.median(Arrays.copyOf(scores, count));
    return count == 0 ? least : Math.max(least, mad);
  }

  double scatterPpm() {
    return scatter() * unit;
  }

  /** Slope and its standard uncertainty, ppm per unit of the clock; NaN while the fit is mute. */
  double[] driftPpm() {
    double[] d = drift();
    return new double[] {d[0] * unit, Math.sqrt(d[1]) * scatterPpm()};
  }

  /** A left-out row's difference from what the others say, and its standard uncertainty, ppm. */
  double[] difference(int row) {
    double variance = fit.residualVariance(row) + slopeShare(fit.residual(row, 1));
    return new double[] {residual(row, slope()) * unit, Math.sqrt(variance) * scatterPpm()};
  }

  RecursiveFit fit() {
    return fit;
  }

  List<Row> rows() {
    return rows;
  }

  /** The unit of the fit's values, ppm. */
  double unit() {
    return unit;
  }

  List<Group> freed() {
    return freed;
  }

  /** Size and standard uncertainty of a freed fault: ppm for a probe, rad for an angle. */
  double[] size(int number) {
    double factor = freed.get(number).probe() >= 0 ? unit : 1;
    double variance = fit.sizeVariance(number) + slopeShare(fit.size(number, 1));
    return new double[] {wholeOf(number) * factor, Math.sqrt(variance) * scatter() * factor};
  }

  /** Variance that the fitted slope brings where the clock shows to this extent. */
  private double slopeShare(double extent) {
    double variance = drift()[1];
    return givenSlope != null || Double.isNaN(variance) ? 0 : extent * extent * variance;
  }
}
