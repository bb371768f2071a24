package org.fieldwright.app.capture;

import java.nio.file.Path;
import org.fieldwright.core.BadInput;

/**
 * Where the array is to be seated.
 *
 * @param magnetFile describes the array
 * @param instrumentFile the reader's profile
 * @param earlier survey of the same magnet in the same state
 * @param asBefore to where the array's centre was in that survey; otherwise to the magnetic centre
 * @param tolerance in each direction, m
 * @param expectedPpm inhomogeneity from peak to peak that the search window must hold
 */
public record SeatRequest(
    Path magnetFile,
    Path instrumentFile,
    Path earlier,
    boolean asBefore,
    double tolerance,
    double expectedPpm) {
  /** Tolerance that is taken if nothing else is said, mm. */
  public static final double USUAL_MM = 0.5;

  /** The ways to name where it is to go. */
  public static final String AS_BEFORE = "as-before";

  public static final String CENTRE = "magnetic-centre";

  public SeatRequest {
    if (!(tolerance > 0) || !(expectedPpm > 0)) {
      throw new BadInput(
          "tolerance, expected ppm: found %s m and %s, expected numbers above 0"
              .formatted(tolerance, expectedPpm));
    }
  }

  /**
   * Whether a word names the place before; otherwise it names the magnetic centre.
   *
   * @param where the word was found, for the message
   */
  public static boolean asBefore(String where, String to) {
    if (!to.equals(CENTRE) && !to.equals(AS_BEFORE)) {
      throw new BadInput(
          "%s: found '%s', expected %s or %s".formatted(where, to, CENTRE, AS_BEFORE));
    }
    return to.equals(AS_BEFORE);
  }
}
