package org.fieldwright.app.capture;

import java.nio.file.Path;
import java.util.List;

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
  }

  /** Where readings are kept until the survey is complete. */
  Path journal() {
    return survey.resolveSibling(survey.getFileName() + ".journal");
  }
}
