package org.fieldwright.app.capture;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import org.fieldwright.core.BadInput;

/**
 * What is to be captured.
 *
 * @param magnetFile describes the array
 * @param instrumentFile the reader's profile
 * @param survey file to be written at the end; the journal lies beside it until then
 * @param anglesDeg where the array is to be read
 * @param expectedPpm inhomogeneity from peak to peak that the window must hold
 */
public record CaptureRequest(
    Path magnetFile,
    Path instrumentFile,
    Path survey,
    List<Double> anglesDeg,
    CapturePlan.Order order,
    double expectedPpm) {
  public CaptureRequest {
    anglesDeg = List.copyOf(anglesDeg);
    if (!(expectedPpm > 0)) {
      throw new BadInput("expected ppm: found " + expectedPpm + ", expected a number above 0");
    }
  }

  /** Inhomogeneity that is expected if nothing else is said. */
  public static final double USUAL_PPM = 300;

  /** What the name of a survey is followed by while it is not complete. */
  public static final String UNFINISHED = ".journal";

  /** The request that a journal belongs to; of the reader's profile it knows the name alone. */
  public static CaptureRequest unfinished(Path magnetFile, Path survey) throws IOException {
    CaptureEvent.Begun begun;
    try (CaptureJournal journal = CaptureJournal.open(journal(survey))) {
      begun = journal.state().begun();
    }
    if (begun == null) {
      throw new BadInput(survey + UNFINISHED + ": found no survey, expected one begun");
    }
    return new CaptureRequest(
        magnetFile,
        Path.of(begun.instrument()),
        survey,
        begun.anglesDeg(),
        CapturePlan.Order.NATURAL, // of the angles as they were ordered then
        begun.expectedPpm());
  }

  /** The same through another profile. */
  public CaptureRequest readBy(Path profile) {
    return new CaptureRequest(magnetFile, profile, survey, anglesDeg, order, expectedPpm);
  }

  /** Where readings are kept until the survey is complete. */
  Path journal() {
    return journal(survey);
  }

  private static Path journal(Path survey) {
    return survey.resolveSibling(survey.getFileName() + UNFINISHED);
  }
}
