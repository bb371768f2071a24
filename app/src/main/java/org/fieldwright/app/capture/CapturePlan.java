package org.fieldwright.app.capture;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.simulation.SurveyConditions;

/**
 * The angles in the order in which they are asked for; the first comes once more at the end, for
 * the drift.
 *
 * @param anglesDeg each once
 */
public record CapturePlan(List<Double> anglesDeg) {
  /** How many angles are read if nothing else is said. */
  public static final int USUAL_ANGLES = 24;

  private static final double SAME_DEG = 0.01;
  private static final int FEWEST_ANGLES = 3;
  private static final int MOST_ANGLES = 3600;

  public CapturePlan {
    anglesDeg = List.copyOf(anglesDeg);
  }

  /** How the array goes round. */
  public enum Order {
    /** As given. */
    NATURAL,
    /** Every second angle on the way there, the others on the way back: the cable unwinds. */
    THERE_AND_BACK,
    /**
     * The same to half a turn on one side of the first angle, back through it, and the same on the
     * other side: the cable is never twisted by more than half a turn.
     */
    LEAST_TWIST;

    /** As people spell it. */
    public String word() {
      return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    /** The order of this word. */
    public static Order named(String word) {
      return Arrays.stream(values())
          .filter(o -> o.word().equals(word))
          .findFirst()
          .orElseThrow(
              () ->
                  new BadInput(
                      "order: found '%s', expected natural, there-and-back or least-twist"
                          .formatted(word)));
    }
  }

  /** So many equal angles over the full turn, the first at 0°. */
  public static List<Double> equalAngles(double count) {
    if (count != Math.rint(count) || count < FEWEST_ANGLES || count > MOST_ANGLES) {
      throw new BadInput(
          "angles: found %s, expected how many, from %d to %d, or a list of angles"
              .formatted(count, FEWEST_ANGLES, MOST_ANGLES));
    }
    return SurveyConditions.equalAngles((int) count);
  }

  /** Refuses a list that holds a setting of the array twice, or hardly any. */
  public static void requireDistinct(List<Double> anglesDeg) {
    if (anglesDeg.size() < FEWEST_ANGLES || anglesDeg.size() > MOST_ANGLES) {
      throw new BadInput(
          "angles: found %d, expected %d to %d"
              .formatted(anglesDeg.size(), FEWEST_ANGLES, MOST_ANGLES));
    }
    for (int i = 0; i < anglesDeg.size(); i++) {
      for (int k = 0; k < i; k++) {
        if (same(anglesDeg.get(i), anglesDeg.get(k))) {
          throw new BadInput(
              "angles: found %s and %s, expected each setting once; the first is read again by itself"
                  .formatted(anglesDeg.get(k), anglesDeg.get(i)));
        }
      }
    }
  }

  /** The angles in an order. */
  public static CapturePlan of(List<Double> anglesDeg, Order order) {
    return new CapturePlan(
        switch (order) {
          case NATURAL -> anglesDeg;
          case THERE_AND_BACK -> thereAndBack(anglesDeg);
          case LEAST_TWIST -> {
            double first = anglesDeg.get(0);
            List<Double> above = new ArrayList<>();
            List<Double> below = new ArrayList<>();
            for (double angle : anglesDeg) {
              (turn(angle - first) <= 180 ? above : below).add(angle);
            }
            above.sort((a, b) -> Double.compare(turn(a - first), turn(b - first)));
            below.sort((a, b) -> Double.compare(turn(b - first), turn(a - first)));
            List<Double> all = thereAndBack(above);
            all.addAll(thereAndBack(below));
            yield all;
          }
        });
  }

  /** Within one turn, from 0 to below 360. */
  static double turn(double angleDeg) {
    double within = angleDeg % 360;
    return within < 0 ? within + 360 : within;
  }

  private static List<Double> thereAndBack(List<Double> anglesDeg) {
    List<Double> all = new ArrayList<>();
    List<Double> back = new ArrayList<>();
    for (int i = 0; i < anglesDeg.size(); i++) {
      if (i % 2 == 0) {
        all.add(anglesDeg.get(i));
      } else {
        back.add(0, anglesDeg.get(i));
      }
    }
    all.addAll(back);
    return all;
  }

  /** How many times the array is read: every angle, and the first again. */
  public int steps() {
    return anglesDeg.size() + 1;
  }

  /** The angle of a step, degrees. */
  public double angleDeg(int step) {
    return anglesDeg.get(step < anglesDeg.size() ? step : 0);
  }

  /** Whether a step reads an angle again. */
  public boolean isRevisit(int step) {
    return step == anglesDeg.size();
  }

  /** Whether two angles are the same setting of the array, as survey files have it. */
  static boolean same(double aDeg, double bDeg) {
    double difference = turn(aDeg - bDeg);
    return Math.min(difference, 360 - difference) < SAME_DEG;
  }
}
