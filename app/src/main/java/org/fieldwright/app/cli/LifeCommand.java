package org.fieldwright.app.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import java.util.Locale;
import java.util.concurrent.Callable;
import org.fieldwright.app.NumberWriting;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.life.Life;
import org.fieldwright.app.life.LifeJson;
import org.fieldwright.app.life.LifeService;
import org.fieldwright.app.life.LifeText;
import org.fieldwright.app.life.YearPaper;
import org.fieldwright.app.life.YearTable;
import org.fieldwright.app.notebook.SurveyChoices;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** {@code life --magnet M.yaml}. */
@picocli.CommandLine.Command
final class LifeCommand implements Callable<Integer> {
  private final Output output;

  @Option(
      names = "--magnet",
      required = true,
      paramLabel = "M.yaml",
      description = "Magnet file; the surveys, logs, rounds and events lie beside it.")
  private Path magnet = Path.of("");

  @Option(
      names = "--years",
      paramLabel = "OUT",
      description = "Write the yearly summary: OUT.csv as a table, OUT.pdf to print.")
  private @Nullable Path years;

  @Option(
      names = "--numbers",
      paramLabel = "LANGUAGE",
      description = "How the printed summary writes numbers: en (default), de or fr.")
  private @Nullable String numbers;

  @Option(names = "--json", description = "Answer with one JSON document.")
  private boolean json;

  LifeCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws IOException {
    NumberWriting writing = NumberWriting.named(numbers, "--numbers");
    AssessService assess = new AssessService(Clock.systemUTC());
    Life life =
        new LifeService()
            .of(magnet, survey -> assess.assess(survey, magnet, SurveyChoices.beside(survey)));
    if (years != null && years.toString().toLowerCase(Locale.ROOT).endsWith(".pdf")) {
      new YearPaper(Clock.systemUTC(), ZoneId.systemDefault(), writing).write(years, life);
    } else if (years != null) {
      YearTable.write(years, life);
    }
    if (json) {
      life.warnings().forEach(output::note);
      output.answer(LifeJson.of(life));
    } else {
      output.answer(LifeText.of(life));
    }
    return ExitStatus.DONE;
  }
}
