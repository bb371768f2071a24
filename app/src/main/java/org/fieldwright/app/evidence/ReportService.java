package org.fieldwright.app.evidence;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneId;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.fieldwright.adapters.AtomicFile;
import org.fieldwright.adapters.report.PdfReport;
import org.fieldwright.adapters.report.VisitReport;
import org.fieldwright.adapters.report.VisitReport.Option;
import org.fieldwright.adapters.report.VisitReport.Provenance;
import org.fieldwright.adapters.report.VisitReport.Surveyed;
import org.fieldwright.adapters.report.VisitReport.Title;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.app.NumberWriting;
import org.fieldwright.app.Version;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.magnet.Magnet;
import org.jspecify.annotations.Nullable;

/** Puts a visit's results on paper. */
public final class ReportService {
  private final Clock clock;
  private final ZoneId zone;
  private final Numerals numerals;

  /**
   * @param clock says when the report was made
   * @param zone in which its times are printed
   * @param writing how its numbers are written
   */
  public ReportService(Clock clock, ZoneId zone, NumberWriting writing) {
    this.clock = clock;
    this.zone = zone;
    numerals = writing.numerals();
  }

  /** Plans what to load into a magnet as it was found last. */
  @FunctionalInterface
  public interface Planner {
    Plan plan(Magnet magnet, FieldModel model);
  }

  /**
   * Refuses a target that cannot be meant, before anything is computed: a report never replaces a
   * file that is none.
   */
  private static void check(Path target) {
    String name = String.valueOf(target.getFileName());
    if (!name.toLowerCase(Locale.ROOT).endsWith(".pdf")) {
      throw new BadInput(
          "--out: found '%s'; a report is written to a file that ends in .pdf".formatted(target));
    }
    Path folder = target.toAbsolutePath().getParent();
    if (folder == null || !Files.isDirectory(folder)) {
      throw new BadInput("--out: found '%s'; its folder does not exist".formatted(target));
    }
    if (Files.isDirectory(target)) {
      throw new BadInput("--out: found '%s', which is a folder; name a file".formatted(target));
    }
  }

  /**
   * Writes the PDF, whole or not at all.
   *
   * @param planner makes a further plan now; null = none
   * @return the report's number, the same for the same inputs and options
   */
  public String write(Path target, VisitFiles visit, @Nullable Planner planner) throws IOException {
    check(target);
    VisitResults results = results(visit);
    VisitReport report = compose(visit, planner == null ? results : results.planning(planner));
    AtomicFile.write(target, PdfReport.render(report));
    return PdfReport.number(report.provenance());
  }

  /** The PDF itself. */
  public byte[] render(VisitFiles visit) {
    return render(visit, results(visit));
  }

  /** The PDF of results already computed. */
  byte[] render(VisitFiles visit, VisitResults results) {
    return PdfReport.render(compose(visit, results));
  }

  private VisitResults results(VisitFiles visit) {
    Instant now = clock.instant().truncatedTo(ChronoUnit.SECONDS);
    return VisitResults.of(visit, now);
  }

  private VisitReport compose(VisitFiles visit, VisitResults results) {
    return new VisitReport(
        results.found().magnet(),
        surveyed(results.found()),
        results.rounds().stream().map(ReportService::round).toList(),
        results.logs().stream().map(VisitResults.Logged::paper).toList(),
        results.judged(),
        title(visit.stated(), results),
        visit.priors(),
        new Provenance(
            results.inputs(),
            "Fieldwright " + Version.current(),
            options(visit),
            clock.instant(),
            zone,
            numerals));
  }

  private static Surveyed surveyed(Assessment a) {
    return new Surveyed(a.vetted(), a.model(), a.fitted().readingsPeakToPeakPpm(), a.limits());
  }

  private static VisitReport.Round round(VisitResults.Round round) {
    Assessment after = round.after();
    return new VisitReport.Round(
        round.before().magnet().iron(),
        round.plan(),
        after == null ? null : surveyed(after),
        round.comparison() == null || round.comparison().round() == null
            ? null
            : round.comparison().round().review());
  }

  /** What is stated, else what the remarks at the head of the surveys say. */
  private static Title title(VisitFiles.Stated stated, VisitResults results) {
    return new Title(
        stated(stated.site(), results, "site"),
        stated(stated.measuredBy(), results, "measured_by", "measured by", "operator"),
        stated(stated.instrument(), results, "instrument"),
        stated.number());
  }

  private static @Nullable String stated(
      @Nullable String given, VisitResults results, String... remarks) {
    if (given != null) {
      return given;
    }
    Set<String> found =
        Stream.concat(
                Stream.of(results.found()),
                results.rounds().stream().map(VisitResults.Round::after).filter(a -> a != null))
            .flatMap(a -> a.vetted().survey().remarks().entrySet().stream())
            .filter(e -> List.of(remarks).contains(e.getKey().strip().toLowerCase(Locale.ROOT)))
            .map(e -> e.getValue().strip())
            .filter(text -> !text.isEmpty())
            .collect(Collectors.toCollection(LinkedHashSet::new));
    return found.isEmpty() ? null : String.join(", ", found);
  }

  private List<Option> options(VisitFiles visit) {
    List<Option> options = new ArrayList<>();
    choices(options, visit.survey());
    for (VisitFiles.Round round : visit.rounds()) {
      if (round.after() != null) {
        choices(options, round.after());
      }
    }
    visit
        .priors()
        .forEach(
            (limit, p) ->
                options.add(new Option("prior", limit + "=" + p.mean() + "±" + p.deviation())));
    if (numerals != Numerals.ENGLISH) {
      options.add(new Option("numbers", numerals.id()));
    }
    return options;
  }

  private static void choices(List<Option> options, VisitFiles.Taken taken) {
    List<String> said = new ArrayList<>();
    if (taken.degree() != null) {
      said.add("degree " + taken.degree());
    }
    rows(said, "left out rows", taken.leaveOut());
    rows(said, "kept rows", taken.keep());
    if (!said.isEmpty()) {
      options.add(new Option(String.valueOf(taken.file().getFileName()), String.join(", ", said)));
    }
  }

  private static void rows(List<String> said, String what, Set<Integer> rows) {
    if (!rows.isEmpty()) {
      said.add(
          what
              + " "
              + new TreeSet<>(rows).stream().map(String::valueOf).collect(Collectors.joining(" ")));
    }
  }
}
