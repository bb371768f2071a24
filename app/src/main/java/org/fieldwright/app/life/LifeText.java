package org.fieldwright.app.life;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.app.assess.AssessmentText;
import org.fieldwright.core.history.Judgement;
import org.fieldwright.core.history.MagnetLife;
import org.fieldwright.core.history.Year;

/** The life for a person at a terminal. */
public final class LifeText {
  private static final Numerals NUMERALS = Numerals.ENGLISH;
  private static final LifeWords WORDS = new LifeWords(NUMERALS);

  private LifeText() {}

  /** The whole text. */
  public static String of(Life life) {
    List<String> lines = new ArrayList<>();
    lines.add(
        "%s: visits %d, surveys %d"
            .formatted(life.magnet().name(), life.visits().size(), life.surveys().size()));
    MagnetLife judged = life.judged();
    if (judged == null) {
      lines.add("No survey here carries a time: there is no life to tell.");
    } else {
      surveys(life, judged, lines);
      lines.add("");
      double hertzPerPpm = judged.referenceField() * life.magnet().array().gammaMHzPerT();
      judged.decays().forEach(d -> lines.add(WORDS.decay(d, hertzPerPpm)));
      judged.drifts().forEach(d -> lines.add(WORDS.drift(d)));
      lines.add(WORDS.repeatability(judged.repeatability()));
    }
    lines.add("");
    years(life, lines);
    life.warnings().forEach(w -> lines.add("! " + w));
    return String.join("\n", lines) + "\n";
  }

  private static void surveys(Life life, MagnetLife judged, List<String> lines) {
    String first = first(judged);
    for (Life.Survey s : life.surveys()) {
      if (s.found() == null || s.measured().at() == null) {
        continue;
      }
      lines.add("");
      String day = LifeWords.day(s.measured().at());
      Judgement j = life.judgement(s);
      if (j == null) {
        lines.add(
            s.measured().file().equals(first)
                ? "%s  %s: what the others are held against".formatted(day, s.measured().file())
                : "%s  %s: repeated in the same visit".formatted(day, s.measured().file()));
      } else {
        lines.add(
            j.changed()
                ? "%s  %s: CHANGED since %s".formatted(day, s.measured().file(), j.since().file())
                : "%s  %s: no change seen since %s"
                    .formatted(day, s.measured().file(), j.since().file()));
        WORDS.of(j).forEach(w -> lines.add("  " + w));
      }
      s.found().limits().stream()
          .filter(r -> r.valuePpm() != null)
          .forEach(r -> lines.add("  " + AssessmentText.verdict(r)));
    }
  }

  /** The survey that stands for the first visit: of surveys repeated in it, the last. */
  private static String first(MagnetLife judged) {
    return judged.judgements().isEmpty()
        ? judged.snapshots().get(judged.snapshots().size() - 1).file()
        : judged.judgements().get(0).since().file();
  }

  private static void years(Life life, List<String> lines) {
    for (Year y : life.years()) {
      lines.add("%d: visits %d, surveys %d".formatted(y.year(), y.visits(), y.surveys()));
      for (Year.OfLimit l : y.limits()) {
        lines.add(
            "  %s: at best %s ppm, last %s ppm"
                .formatted(
                    l.last().limit().id(),
                    NUMERALS.value(l.leastPpm(), l.last().uncertaintyPpm()),
                    NUMERALS.withUncertainty(
                        l.last().valuePpm() == null ? Double.NaN : l.last().valuePpm(),
                        l.last().uncertaintyPpm())));
      }
      if (y.fieldT() != null && y.frequencyMHz() != null) {
        lines.add(
            "  centre field %s T, %s MHz"
                .formatted(
                    NUMERALS.decimals(y.fieldT(), 8), NUMERALS.decimals(y.frequencyMHz(), 6)));
      }
      if (y.drift() != null) {
        lines.add(
            "  drift %s ppm/h"
                .formatted(
                    NUMERALS.withUncertainty(
                        y.drift().ppmPerHour().value(), y.drift().ppmPerHour().uncertainty())));
      }
      if (y.piecesIn() + y.piecesOut() > 0) {
        lines.add(
            "  iron: pieces in %d (%s g), out %d (%s g)"
                .formatted(
                    y.piecesIn(),
                    NUMERALS.decimals(y.ironInG(), 0),
                    y.piecesOut(),
                    NUMERALS.decimals(y.ironOutG(), 0)));
      }
      y.events().forEach(e -> lines.add("  " + LifeWords.event(e)));
      if (!y.changed().isEmpty()) {
        lines.add(
            "  changes found at %s"
                .formatted(
                    y.changed().stream()
                        .map(j -> j.snapshot().file())
                        .collect(Collectors.joining(", "))));
      }
    }
  }
}
