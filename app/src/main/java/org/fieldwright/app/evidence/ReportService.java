package org.fieldwright.app.evidence;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.fieldwright.adapters.AtomicFile;
import org.fieldwright.adapters.files.InputDigest;
import org.fieldwright.adapters.report.PdfReport;
import org.fieldwright.adapters.report.VisitReport;
import org.fieldwright.adapters.report.VisitReport.InputFile;
import org.fieldwright.adapters.report.VisitReport.Option;
import org.fieldwright.adapters.report.VisitReport.Provenance;
import org.fieldwright.adapters.report.VisitReport.Round;
import org.fieldwright.app.Version;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.Plan;
import org.jspecify.annotations.Nullable;

/** Puts a visit's results on paper. */
public final class ReportService {
  private final Clock clock;
  private final ZoneId zone;

  /**
   * @param clock says when the report was made
   * @param zone in which its times are printed
   */
  public ReportService(Clock clock, ZoneId zone) {
    this.clock = clock;
    this.zone = zone;
  }

  /**
   * What a report is made of.
   *
   * @param found the field as it was found
   * @param plan what to load; null where nothing is planned
   * @param loading the file that holds the plan; null where none does
   * @param after the field found again after loading; null before the second round
   * @param options that shaped the results, by name, in the order to print
   */
  public record Contents(
      Assessment found,
      @Nullable Plan plan,
      @Nullable Path loading,
      @Nullable Assessment after,
      Map<String, String> options) {}

  /**
   * Refuses a target that cannot be meant, before anything is computed: a report never replaces a
   * file that is none.
   */
  public void check(Path target) {
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
   * @return the report's number, the same for the same inputs and options
   */
  public String write(Path target, Contents contents) throws IOException {
    check(target);
    VisitReport report = compose(contents);
    AtomicFile.write(target, PdfReport.render(report));
    return PdfReport.number(report);
  }

  /** The PDF itself. */
  public byte[] render(Contents contents) {
    return PdfReport.render(compose(contents));
  }

  private VisitReport compose(Contents contents) {
    List<InputFile> inputs = new ArrayList<>();
    addInputs(inputs, "survey", contents.found());
    Path loading = contents.loading();
    if (loading != null) {
      String name = String.valueOf(loading.getFileName());
      inputs.add(new InputFile("loading", name, InputDigest.sha256(loading)));
    }
    Assessment after = contents.after();
    if (after != null) {
      addInputs(inputs, "survey after loading", after);
    }
    List<Option> options =
        contents.options().entrySet().stream()
            .map(e -> new Option(e.getKey(), e.getValue()))
            .toList();
    return new VisitReport(
        contents.found().magnet(),
        round(contents.found()),
        contents.plan(),
        after == null ? null : round(after),
        new Provenance(inputs, "Fieldwright " + Version.current(), options, clock.instant(), zone));
  }

  /** The survey comes first in an assessment's inputs, then the magnet file and what it names. */
  private static void addInputs(List<InputFile> inputs, String role, Assessment assessment) {
    List<String> roles = List.of(role, "magnet file", "named by the magnet file");
    for (int i = 0; i < assessment.inputs().size(); i++) {
      Assessment.Input input = assessment.inputs().get(i);
      InputFile file = new InputFile(roles.get(Math.min(i, 2)), input.file(), input.sha256());
      if (!inputs.contains(file)) {
        inputs.add(file);
      }
    }
  }

  private static Round round(Assessment a) {
    return new Round(a.vetted(), a.model(), a.fitted().readingsPeakToPeakPpm(), a.limits());
  }
}
