package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.fieldwright.app.TemporaryFolder;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.correct.CorrectService;
import org.fieldwright.app.evidence.EvidenceRequest;
import org.fieldwright.app.evidence.EvidenceService;
import org.fieldwright.app.evidence.ReportService;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.Plan;
import org.jspecify.annotations.Nullable;

/** What leaves the notebook on paper or as evidence. */
public final class Papers {
  private static final String KEY = "signing-key.pem";

  private final NotebookService notebook;
  private final AssessedSurveys surveys;
  private final Findings findings;
  private final Path key;
  private final Clock clock;
  private final ZoneId zone;

  /**
   * @param data the user's data directory; the signing key lies there, made when first needed
   * @param zone in which times are printed
   */
  public Papers(
      NotebookService notebook,
      AssessedSurveys surveys,
      Findings findings,
      Path data,
      Clock clock,
      ZoneId zone) {
    this.notebook = notebook;
    this.surveys = surveys;
    this.findings = findings;
    this.key = data.resolve(KEY);
    this.clock = clock;
    this.zone = zone;
  }

  /**
   * The part of a visit that goes on paper.
   *
   * @param survey as the magnet was found
   * @param changes list of what was or is to be changed; null = nothing
   * @param after survey after that; null = none yet
   * @param log field log; null = none
   */
  public record Chosen(
      String magnet,
      String survey,
      @Nullable String changes,
      @Nullable String after,
      @Nullable String log) {}

  /** The report as a PDF. */
  public byte[] report(Chosen c) throws IOException {
    Assessment found = surveys.of(c.magnet(), c.survey(), null);
    Path changes = existing(c.magnet(), c.changes());
    Plan plan =
        changes == null
            ? null
            : CorrectService.evaluate(
                found.magnet(),
                found.model(),
                changes,
                CorrectService.Options.DEFAULT,
                Progress.NONE);
    Assessment after = c.after() == null ? null : surveys.of(c.magnet(), c.after(), null);
    return new ReportService(clock, zone)
        .render(new ReportService.Contents(found, plan, changes, after, given(c)));
  }

  private Map<String, String> given(Chosen c) throws IOException {
    SurveyChoices choices = surveys.choices(c.magnet(), c.survey()).choices();
    return choices.equals(SurveyChoices.NONE)
        ? Map.of()
        : Map.of("choices about " + c.survey(), choices.json().toString());
  }

  /** The loading sheet for the bench. */
  public byte[] sheet(String magnet, String changes, String ending) throws IOException {
    try (TemporaryFolder work = TemporaryFolder.make()) {
      Path file = work.path().resolve("sheet" + ending);
      CorrectService.writeSheet(
          file, notebook.magnetFile(magnet), notebook.existing(magnet, changes));
      return Files.readAllBytes(file);
    }
  }

  /** A signed bundle of evidence; it is kept. */
  public byte[] evidence(Chosen c) throws IOException, NotebookService.Changed {
    makeKeyOnce();
    SurveyChoices choices = surveys.choices(c.magnet(), c.survey()).choices();
    byte[] bundle = bundle(c, choices);
    List<Assessment.Input> inputs =
        Findings.digests(
            notebook.magnetFile(c.magnet()),
            notebook.existing(c.magnet(), c.survey()),
            existing(c.magnet(), c.changes()),
            existing(c.magnet(), c.after()),
            existing(c.magnet(), c.log()));
    ObjectNode options = JsonNodeFactory.instance.objectNode().put("survey", c.survey());
    options.put("changes", c.changes()).put("after", c.after()).put("log", c.log());
    options.set("choices", choices.json());
    findings.keep(
        findings.result(
            c.magnet(),
            findings.visitOf(c.magnet(), c.survey()),
            Findings.Service.EVIDENCE,
            inputs,
            options),
        bundle);
    return bundle;
  }

  private byte[] bundle(Chosen c, SurveyChoices choices) throws IOException {
    try (TemporaryFolder work = TemporaryFolder.make()) {
      Path bundle = work.path().resolve("evidence.zip");
      new EvidenceService(clock, zone)
          .make(
              new EvidenceRequest(
                  notebook.existing(c.magnet(), c.survey()),
                  notebook.magnetFile(c.magnet()),
                  existing(c.magnet(), c.changes()),
                  existing(c.magnet(), c.after()),
                  existing(c.magnet(), c.log()),
                  choices.degree(),
                  Set.copyOf(choices.leaveOut()),
                  Set.copyOf(choices.keep())),
              key,
              bundle);
      return Files.readAllBytes(bundle);
    }
  }

  private synchronized void makeKeyOnce() {
    if (!Files.exists(key)) {
      EvidenceService.makeKeys(key);
    }
  }

  private @Nullable Path existing(String magnet, @Nullable String file) throws IOException {
    return file == null ? null : notebook.existing(magnet, file);
  }
}
