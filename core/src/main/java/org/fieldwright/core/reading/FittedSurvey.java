package org.fieldwright.core.reading;

import java.util.List;
import org.fieldwright.core.harmonic.FieldModel;

/**
 * A vetted survey with the field model that rests on it.
 *
 * @param readingsPeakToPeakPpm of the readings used, after offsets and drift, ppm of Bc
 * @param degreesTried by their leave-one-out error; empty where the user chose the degree
 */
public record FittedSurvey(
    VettedSurvey vetted,
    FieldModel model,
    double readingsPeakToPeakPpm,
    List<DegreeTried> degreesTried) {

  public FittedSurvey {
    degreesTried = List.copyOf(degreesTried);
  }
}
