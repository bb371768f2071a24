package org.fieldwright.core.reading;

import org.fieldwright.core.harmonic.FieldModel;

/**
 * A vetted survey with the field model that rests on it.
 *
 * @param readingsPeakToPeakPpm of the readings used, after offsets and drift, ppm of Bc
 */
public record FittedSurvey(VettedSurvey vetted, FieldModel model, double readingsPeakToPeakPpm) {}
