package org.fieldwright.app.evidence;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.fieldwright.adapters.files.InputDigest;
import org.fieldwright.adapters.files.LoadingFile;
import org.fieldwright.adapters.report.VisitReport;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.compare.CompareService;
import org.fieldwright.app.compare.Comparison;
import org.fieldwright.app.correct.CorrectService;
import org.fieldwright.app.watch.WatchJson;
import org.fieldwright.app.watch.WatchService;
import org.fieldwright.app.watch.Watched;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.homogeneity.ConformityRisk;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.homogeneity.LimitResult.Verdict;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.stability.LogTrace;
import org.jspecify.annotations.Nullable;

/**
 * Everything that follows from the files of a visit. The report, the making of a bundle and its
 * verification call this and nothing else.
 *
 * @param found the magnet as it was found
 * @param rounds in the order of the job
 * @param logs in the order given; of several probes that read in turn, each probe by itself
 */
record VisitResults(Assessment found, List<Round> rounds, List<Logged> logs) {
  private static final int STRETCHES = 480; // of a log's picture; as many as a page can show

  /** What speaks most against a limit comes first; a probe that read too little says nothing. */
  private static final Comparator<LimitResult> MOST_AGAINST =
      Comparator.<LimitResult>comparingInt(
              r ->
                  List.of(Verdict.NOT_MET, Verdict.UNDECIDED, Verdict.MET, Verdict.NOT_ASSESSED)
                      .indexOf(r.verdict()))
          .thenComparingDouble(VisitResults::conformity);

  VisitResults {
    rounds = List.copyOf(rounds);
    logs = List.copyOf(logs);
  }

  /**
   * A round.
   *
   * @param before what it started from, with what lay in the pockets then
   * @param loaded list of changes; null with the plan, or where the plan is in no file yet
   * @param plan what the changes should do; null where nothing was loaded
   * @param after what was found then; null where nothing was measured yet
   * @param comparison of before and after; null with it
   */
  record Round(
      Assessment before,
      @Nullable Path loaded,
      @Nullable Plan plan,
      @Nullable Assessment after,
      @Nullable Comparison comparison) {}

  /**
   * A field log, or what one of several probes logged.
   *
   * @param document as {@code watch --json}
   * @param paper what the report shows of it
   * @param sha256 of the log's file
   */
  record Logged(ObjectNode document, VisitReport.Log paper, String sha256) {
    /** Where its results lie in a bundle, below the folders of documents and of tables. */
    String at() {
      String file = "log-" + paper.number() + "/";
      return paper.probe() == null ? file : file + "probe-" + paper.probe() + "/";
    }
  }

  /**
   * Computes.
   *
   * @param made when: it dates surveys that carry no times
   */
  static VisitResults of(VisitFiles files, Instant made) {
    requireOrder(files);
    AssessService assess = new AssessService(Clock.fixed(made, ZoneOffset.UTC));
    Assessment found = assessed(assess, files.survey(), files.magnet());
    List<Round> rounds = new ArrayList<>();
    if (!files.rounds().isEmpty()) {
      Assessment before = found.withMagnet(atFirst(files, found.magnet()));
      for (VisitFiles.Round round : files.rounds()) {
        Round done = round(assess, files, before, round);
        rounds.add(done);
        before = next(done);
      }
    }
    List<Logged> logs = new ArrayList<>();
    for (int k = 0; k < files.logs().size(); k++) {
      addLogged(logs, k + 1, files.logs().get(k), files.magnet());
    }
    return new VisitResults(found, rounds, logs);
  }

  private static Assessment assessed(AssessService assess, VisitFiles.Taken taken, Path magnet) {
    return assess.assess(
        taken.file(),
        magnet,
        new AssessService.Options(taken.degree(), taken.leaveOut(), taken.keep(), null));
  }

  /** What lay in the pockets before the first round, whether or not the file has later rounds. */
  private static Magnet atFirst(VisitFiles files, Magnet magnet) {
    IronSystem iron = magnet.iron();
    if (iron == null) {
      return magnet;
    }
    IronSystem then = iron;
    for (int k = files.rounds().size() - 1; k >= 0; k--) {
      Path loaded = files.rounds().get(k).loaded();
      then = loaded == null ? then : then.withInstalled(LoadingFile.readBefore(loaded, then));
    }
    return magnet.withIron(then);
  }

  private static Round round(
      AssessService assess, VisitFiles files, Assessment before, VisitFiles.Round round) {
    Path loaded = round.loaded();
    VisitFiles.Taken taken = round.after();
    Assessment from = before;
    Plan plan = null;
    if (loaded != null) {
      from = before.withMagnet(withStated(before.magnet(), loaded));
      plan =
          CorrectService.evaluate(
              from.magnet(), from.model(), loaded, CorrectService.Options.DEFAULT, Progress.NONE);
    }
    Assessment after = taken == null ? null : assessed(assess, taken, files.magnet());
    return new Round(
        from,
        loaded,
        plan,
        after,
        after == null ? null : CompareService.compare(from, after, loaded));
  }

  private static Magnet withStated(Magnet magnet, Path loaded) {
    IronSystem iron = magnet.iron();
    if (iron == null) {
      throw new BadInput(
          loaded + ": the magnet file has no section 'iron', whose pockets and pieces it needs");
    }
    return magnet.withIron(iron.withInstalled(LoadingFile.readBefore(loaded, iron)));
  }

  /** What the next round starts from. */
  private static Assessment next(Round round) {
    Assessment latest = round.after() == null ? round.before() : round.after();
    IronSystem iron = round.before().magnet().iron();
    if (iron == null) {
      return latest;
    }
    Loading lies = round.plan() == null ? iron.installed() : round.plan().planned();
    return latest.withMagnet(round.before().magnet().withIron(iron.withInstalled(lies)));
  }

  private static void addLogged(List<Logged> logs, int number, Path file, Path magnet) {
    String sha256 = InputDigest.sha256(file);
    new WatchService()
        .watchEach(
            file, magnet, w -> logs.add(new Logged(WatchJson.of(w), paper(number, w), sha256)));
  }

  private static VisitReport.Log paper(int number, Watched watched) {
    return new VisitReport.Log(
        number,
        watched.file(),
        watched.probe(),
        watched.log().start(),
        watched.log().duration(),
        watched.log().size(),
        LogTrace.of(watched.log(), watched.report().referenceField(), STRETCHES),
        watched.report());
  }

  /** The same with a plan made now for the magnet as it was found last. */
  VisitResults planning(ReportService.Planner planner) {
    Assessment latest = rounds.isEmpty() ? found : next(rounds.get(rounds.size() - 1));
    List<Round> more = new ArrayList<>(rounds);
    more.add(new Round(latest, null, planner.plan(latest.magnet(), latest.model()), null, null));
    return new VisitResults(found, more, logs);
  }

  private static void requireOrder(VisitFiles files) {
    for (int k = 0; k < files.rounds().size(); k++) {
      VisitFiles.Round round = files.rounds().get(k);
      if (round.after() == null && (round.loaded() == null || k < files.rounds().size() - 1)) {
        throw new BadInput(
            "round %d: found no survey after it, expected one in every round but the last"
                .formatted(k + 1));
      }
    }
  }

  /** The field as it was found last. */
  Assessment latest() {
    for (int k = rounds.size() - 1; k >= 0; k--) {
      Assessment after = rounds.get(k).after();
      if (after != null) {
        return after;
      }
    }
    return found;
  }

  /**
   * What the visit says of every limit in the end: of homogeneity the last survey, of drift the log
   * that ends last; where several probes took it, the one that speaks most against the limit.
   */
  List<LimitResult> judged() {
    List<VisitReport.Log> last = lastLog();
    return latest().limits().stream()
        .map(
            r ->
                last.stream()
                    .flatMap(log -> log.judged(r.limit()).stream())
                    .min(MOST_AGAINST)
                    .orElse(r))
        .toList();
  }

  private static double conformity(LimitResult r) {
    ConformityRisk risk = ConformityRisk.of(r);
    return risk == null ? 0 : risk.conformity();
  }

  /** The log that ends last, once for each of its probes. */
  private List<VisitReport.Log> lastLog() {
    List<VisitReport.Log> papers = logs.stream().map(Logged::paper).toList();
    return papers.stream()
        .max(Comparator.comparing(VisitReport.Log::end))
        .map(last -> papers.stream().filter(p -> p.number() == last.number()).toList())
        .orElse(List.of());
  }

  /** The files that the numbers rest on, with what they are to the visit. */
  List<VisitReport.InputFile> inputs() {
    List<VisitReport.InputFile> inputs = new ArrayList<>();
    addInputs(inputs, "survey", found);
    for (int k = 0; k < rounds.size(); k++) {
      Round round = rounds.get(k);
      Path loaded = round.loaded();
      if (loaded != null) {
        inputs.add(
            new VisitReport.InputFile(
                "loaded in round " + (k + 1),
                String.valueOf(loaded.getFileName()),
                InputDigest.sha256(loaded)));
      }
      if (round.after() != null) {
        addInputs(inputs, "survey after round " + (k + 1), round.after());
      }
    }
    logs.stream()
        .map(l -> new VisitReport.InputFile("field log", l.paper().file(), l.sha256()))
        .distinct() // a log of several probes comes once for each
        .forEach(inputs::add);
    return inputs;
  }

  /** The survey comes first in an assessment's inputs, then the magnet file and what it names. */
  private static void addInputs(
      List<VisitReport.InputFile> inputs, String role, Assessment assessment) {
    List<String> roles = List.of(role, "magnet file", "named by the magnet file");
    for (int i = 0; i < assessment.inputs().size(); i++) {
      Assessment.Input input = assessment.inputs().get(i);
      VisitReport.InputFile file =
          new VisitReport.InputFile(roles.get(Math.min(i, 2)), input.file(), input.sha256());
      if (!inputs.contains(file)) {
        inputs.add(file);
      }
    }
  }
}
