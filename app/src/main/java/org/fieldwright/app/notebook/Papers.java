package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.stream.Stream;
import org.fieldwright.app.NumberWriting;
import org.fieldwright.app.TemporaryFolder;
import org.fieldwright.app.correct.CorrectService;
import org.fieldwright.app.evidence.EvidenceService;
import org.fieldwright.app.evidence.ReportService;
import org.fieldwright.app.evidence.VisitFiles;
import org.fieldwright.app.life.YearPaper;
import org.jspecify.annotations.Nullable;

/** What leaves the notebook on paper or as evidence. */
public final class Papers {
  private static final String KEY = "signing-key.pem";

  private final NotebookService notebook;
  private final AssessedSurveys surveys;
  private final MagnetOverview overview;
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
      MagnetOverview overview,
      Findings findings,
      Path data,
      Clock clock,
      ZoneId zone) {
    this.notebook = notebook;
    this.surveys = surveys;
    this.overview = overview;
    this.findings = findings;
    this.key = data.resolve(KEY);
    this.clock = clock;
    this.zone = zone;
  }

  /**
   * The part of a visit that goes on paper and into evidence.
   *
   * @param survey as the magnet was found
   * @param rounds what was done after it
   * @param logs field logs
   * @param stated for the title
   * @param writing how the report's numbers are written
   */
  public record Chosen(
      String magnet,
      String survey,
      List<Round> rounds,
      List<String> logs,
      VisitFiles.Stated stated,
      NumberWriting writing) {
    public Chosen {
      rounds = List.copyOf(rounds);
      logs = List.copyOf(logs);
    }
  }

  /**
   * A round.
   *
   * @param changes list of what was or is to be changed; null = nothing
   * @param after survey after that; null = none yet
   */
  public record Round(@Nullable String changes, @Nullable String after) {}

  /** The report as a PDF. */
  public byte[] report(Chosen c) throws IOException {
    return new ReportService(clock, zone, c.writing()).render(files(c));
  }

  /** The yearly summary as a PDF. */
  public byte[] years(String magnet, NumberWriting writing) throws IOException {
    return new YearPaper(clock, zone, writing).render(overview.lived(magnet));
  }

  private VisitFiles files(Chosen c) throws IOException {
    List<VisitFiles.Round> rounds = new ArrayList<>();
    for (Round r : c.rounds()) {
      rounds.add(
          new VisitFiles.Round(
              existing(c.magnet(), r.changes()),
              r.after() == null ? null : taken(c.magnet(), r.after())));
    }
    List<Path> logs = new ArrayList<>();
    for (String log : c.logs()) {
      logs.add(notebook.existing(c.magnet(), log));
    }
    return new VisitFiles(
        notebook.magnetFile(c.magnet()),
        taken(c.magnet(), c.survey()),
        rounds,
        logs,
        c.stated(),
        Map.of());
  }

  /** A survey with the choices made about it. */
  private VisitFiles.Taken taken(String magnet, String survey) throws IOException {
    SurveyChoices choices = surveys.choices(magnet, survey).choices();
    return new VisitFiles.Taken(
        notebook.existing(magnet, survey),
        choices.degree(),
        Set.copyOf(choices.leaveOut()),
        Set.copyOf(choices.keep()));
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

  /**
   * A signed bundle of evidence; it is kept.
   *
   * @param by who made it; null where nobody is signed in
   */
  public byte[] evidence(Chosen c, @Nullable String by)
      throws IOException, NotebookService.Changed {
    makeKeyOnce();
    byte[] bundle = bundle(files(c), c.writing());
    List<String> read = new ArrayList<>(List.of(c.survey()));
    ObjectNode options = JsonNodeFactory.instance.objectNode().put("survey", c.survey());
    options.put("by", by);
    options.set("choices", surveys.choices(c.magnet(), c.survey()).choices().json());
    ArrayNode rounds = options.putArray("rounds");
    for (Round r : c.rounds()) {
      Stream.<@Nullable String>of(r.changes(), r.after())
          .filter(Objects::nonNull)
          .forEach(read::add);
      rounds.addObject().put("changes", r.changes()).put("after", r.after());
    }
    ArrayNode logs = options.putArray("logs");
    for (String log : c.logs()) {
      read.add(log);
      logs.add(log);
    }
    Path[] paths = new Path[read.size()];
    for (int i = 0; i < paths.length; i++) {
      paths[i] = notebook.existing(c.magnet(), read.get(i));
    }
    findings.keep(
        findings.result(
            c.magnet(),
            findings.visitOf(c.magnet(), c.survey()),
            Findings.Service.EVIDENCE,
            Findings.digests(notebook.magnetFile(c.magnet()), paths),
            options),
        bundle);
    return bundle;
  }

  private byte[] bundle(VisitFiles files, NumberWriting writing) throws IOException {
    try (TemporaryFolder work = TemporaryFolder.make()) {
      Path bundle = work.path().resolve("evidence.zip");
      new EvidenceService(clock, zone, writing).make(files, key, bundle);
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
