package org.fieldwright.app.outside;

import java.util.List;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.core.outside.OutsideFinding;
import org.fieldwright.core.outside.SurveyReadings;
import org.jspecify.annotations.Nullable;

/**
 * What a survey, or the change since another, tells of iron outside.
 *
 * @param survey looked at
 * @param since the earlier survey it is held against; null where it stands alone
 * @param basis what the search rested on
 * @param finding what it found
 * @param stopped whether the search was stopped before it ended: richer explanations went untried
 * @param warnings in whole sentences
 */
public record OutsideAnswer(
    Assessment survey,
    @Nullable Assessment since,
    SurveyReadings.Basis basis,
    OutsideFinding finding,
    boolean stopped,
    List<String> warnings) {

  public OutsideAnswer {
    warnings = List.copyOf(warnings);
  }
}
