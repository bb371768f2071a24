package org.fieldwright.app.life;

import java.util.List;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.core.correction.LoadedRound;
import org.fieldwright.core.history.Judgement;
import org.fieldwright.core.history.MagnetEvent;
import org.fieldwright.core.history.MagnetLife;
import org.fieldwright.core.history.Year;
import org.fieldwright.core.magnet.Magnet;
import org.jspecify.annotations.Nullable;

/**
 * A magnet folder over the years.
 *
 * @param visits in the order of time, undated last
 * @param surveys all of them, in the order of the visits
 * @param judged the dated surveys held against each other; null where there is none
 * @param events as written down
 * @param rounds as recorded
 * @param years in order
 * @param warnings in whole sentences
 * @param inputs every file read
 */
public record Life(
    Magnet magnet,
    List<Visits.Visit> visits,
    List<Survey> surveys,
    @Nullable MagnetLife judged,
    List<MagnetEvent> events,
    List<LoadedRound> rounds,
    List<Year> years,
    List<String> warnings,
    List<Assessment.Input> inputs) {

  public Life {
    visits = List.copyOf(visits);
    surveys = List.copyOf(surveys);
    events = List.copyOf(events);
    rounds = List.copyOf(rounds);
    years = List.copyOf(years);
    warnings = List.copyOf(warnings);
    inputs = List.copyOf(inputs);
  }

  /** A survey held against those before it; null where it was not. */
  @Nullable Judgement judgement(Survey survey) {
    return judged == null
        ? null
        : judged.judgements().stream()
            .filter(j -> j.snapshot().file().equals(survey.measured().file()))
            .findFirst()
            .orElse(null);
  }

  /**
   * A survey of the folder.
   *
   * @param found null where it cannot be assessed
   * @param complaint why not; null where it can
   */
  public record Survey(
      String visit,
      Visits.Measured measured,
      @Nullable Assessment found,
      @Nullable String complaint) {}
}
