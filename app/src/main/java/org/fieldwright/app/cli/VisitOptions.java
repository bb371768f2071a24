package org.fieldwright.app.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.fieldwright.app.NumberWriting;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.evidence.VisitFiles;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.homogeneity.GlobalRisk;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Model.OptionSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** The files of a visit, as the commands take them that put it on paper or into evidence. */
final class VisitOptions {
  private static final String LOADED = "--loaded";
  private static final String AFTER = "--after";

  @Parameters(paramLabel = "SURVEY", description = "Readings as the magnet was found.")
  private Path survey = Path.of("");

  @Option(names = "--magnet", required = true, paramLabel = "M.yaml", description = "Magnet file.")
  private Path magnet = Path.of("");

  @Option(
      names = {LOADED, "--loading"},
      paramLabel = "CHANGES.csv",
      description =
          "What was or is to be loaded next, as `shim --loading` wrote it; again for every round.")
  private List<Path> loaded = List.of();

  @Option(
      names = AFTER,
      paramLabel = "SURVEY",
      description = "Readings taken after that; the verdicts are those of the last.")
  private List<Path> after = List.of();

  @Option(names = "--log", paramLabel = "LOG", description = "A field log; may come again.")
  private List<Path> logs = List.of();

  @Option(names = "--site", paramLabel = "TEXT", description = "Where the magnet stands.")
  private @Nullable String site;

  @Option(names = "--measured-by", paramLabel = "TEXT", description = "Who took the surveys.")
  private @Nullable String measuredBy;

  @Option(
      names = "--instrument",
      paramLabel = "TEXT",
      description = "What read the field, with its number.")
  private @Nullable String instrument;

  @Option(names = "--number", paramLabel = "TEXT", description = "Number of the report.")
  private @Nullable String number;

  @Option(
      names = "--numbers",
      paramLabel = "LANGUAGE",
      description = "How the report writes numbers: en (default), de or fr.")
  private @Nullable String numbers;

  @Option(
      names = "--prior",
      paramLabel = "LIMIT=MEAN,SD",
      description =
          "What magnets like this one reach, mean and standard deviation: gives the global risks.")
  private List<String> priors = List.of();

  @Mixin private VettingChoices vetting = new VettingChoices();

  @Spec(Spec.Target.MIXEE)
  private @Nullable CommandSpec command;

  /** How the report writes numbers. */
  NumberWriting numbers() {
    return NumberWriting.named(numbers, "--numbers");
  }

  /** The files in the order of the job. */
  VisitFiles files() {
    AssessService.Options first = vetting.options(null);
    AssessService.Options later = vetting.optionsWithoutRows();
    return new VisitFiles(
        magnet,
        new VisitFiles.Taken(
            survey, first.degree(), Set.copyOf(first.leaveOut()), Set.copyOf(first.keep())),
        rounds(later.degree()),
        logs,
        new VisitFiles.Stated(site, measuredBy, instrument, number),
        priors());
  }

  private List<VisitFiles.Round> rounds(@Nullable Integer degree) {
    List<VisitFiles.Round> rounds = new ArrayList<>();
    Path open = null;
    int changes = 0;
    int surveys = 0;
    for (String option : inOrder()) {
      if (option.equals(AFTER)) {
        Path taken = after.get(surveys++);
        rounds.add(
            new VisitFiles.Round(open, new VisitFiles.Taken(taken, degree, Set.of(), Set.of())));
        open = null;
      } else if (open != null) {
        throw new BadInput(
            "%s: found %s and %s without %s between them; each round is surveyed before the next"
                .formatted(LOADED, open, loaded.get(changes), AFTER));
      } else {
        open = loaded.get(changes++);
      }
    }
    if (open != null) {
      rounds.add(new VisitFiles.Round(open, null));
    }
    return rounds;
  }

  /** {@code --loaded} and {@code --after} as they came, which two lists alone do not tell. */
  private List<String> inOrder() {
    if (command == null) {
      throw new IllegalStateException("the command was not parsed");
    }
    List<String> order = new ArrayList<>();
    for (OptionSpec option : command.commandLine().getParseResult().matchedOptions()) {
      List<String> names = List.of(option.names());
      if (names.contains(AFTER) || names.contains(LOADED)) {
        order.add(names.contains(AFTER) ? AFTER : LOADED);
      }
    }
    return order;
  }

  private Map<String, GlobalRisk.Prior> priors() {
    Map<String, GlobalRisk.Prior> read = new LinkedHashMap<>();
    for (String text : priors) {
      int equals = text.lastIndexOf('=');
      String[] numbers = text.substring(equals + 1).split(",", -1);
      double mean = numbers.length == 2 ? number(numbers[0]) : Double.NaN;
      double deviation = numbers.length == 2 ? number(numbers[1]) : Double.NaN;
      if (equals < 1 || !Double.isFinite(mean) || !(deviation > 0)) {
        throw new BadInput(
            "--prior: found '%s'; right is LIMIT=MEAN,SD in the unit of the limit, e.g. imaging=14,3"
                .formatted(text));
      }
      read.put(text.substring(0, equals), new GlobalRisk.Prior(mean, deviation));
    }
    return read;
  }

  private static double number(String text) {
    try {
      return Double.parseDouble(text.strip());
    } catch (NumberFormatException e) {
      return Double.NaN; // answered by the caller, with the whole text
    }
  }
}
