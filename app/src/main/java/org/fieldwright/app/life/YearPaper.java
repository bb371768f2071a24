package org.fieldwright.app.life;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import org.fieldwright.adapters.AtomicFile;
import org.fieldwright.adapters.report.PdfReport;
import org.fieldwright.adapters.report.VisitReport.InputFile;
import org.fieldwright.adapters.report.VisitReport.Provenance;
import org.fieldwright.adapters.report.YearReport;
import org.fieldwright.adapters.report.YearReport.Happened;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.app.NumberWriting;
import org.fieldwright.app.Version;
import org.fieldwright.core.history.MagnetLife;
import org.fieldwright.core.history.Year;

/** The yearly summary on paper. */
public final class YearPaper {
  private final Clock clock;
  private final ZoneId zone;
  private final Numerals numerals;
  private final LifeWords words;

  /**
   * @param clock says when it was made
   * @param zone in which its times are printed
   * @param writing how its numbers are written
   */
  public YearPaper(Clock clock, ZoneId zone, NumberWriting writing) {
    this.clock = clock;
    this.zone = zone;
    numerals = writing.numerals();
    this.words = new LifeWords(numerals);
  }

  /** Writes the PDF, whole or not at all. */
  public void write(Path target, Life life) throws IOException {
    AtomicFile.write(target, render(life));
  }

  /** The PDF itself. */
  public byte[] render(Life life) {
    List<InputFile> inputs =
        life.inputs().stream().map(i -> new InputFile("read", i.file(), i.sha256())).toList();
    return PdfReport.render(
        new YearReport(
            life.magnet(),
            life.years(),
            happened(life),
            run(life),
            life.warnings(),
            new Provenance(
                inputs,
                "Fieldwright " + Version.current(),
                List.of(),
                clock.instant(),
                zone,
                numerals)));
  }

  private static List<Happened> happened(Life life) {
    List<Happened> happened = new ArrayList<>();
    for (Year y : life.years()) {
      y.events().forEach(e -> happened.add(new Happened(y.year(), LifeWords.event(e))));
      y.changed()
          .forEach(
              j ->
                  happened.add(
                      new Happened(
                          y.year(),
                          "Change found by %s against %s."
                              .formatted(j.snapshot().file(), j.since().file()))));
    }
    return happened;
  }

  private List<String> run(Life life) {
    MagnetLife judged = life.judged();
    if (judged == null) {
      return List.of();
    }
    double hertzPerPpm = judged.referenceField() * life.magnet().array().gammaMHzPerT();
    List<String> run = new ArrayList<>();
    judged.decays().forEach(d -> run.add(words.decay(d, hertzPerPpm)));
    judged.drifts().forEach(d -> run.add(words.drift(d)));
    run.add(words.repeatability(judged.repeatability()));
    return run;
  }
}
