package org.fieldwright.app.demo;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.fieldwright.adapters.WholeFolder;
import org.fieldwright.app.NumberWriting;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.correct.CorrectService;
import org.fieldwright.app.evidence.ReportService;
import org.fieldwright.app.evidence.VisitFiles;
import org.fieldwright.app.simulate.SimulateService;
import org.fieldwright.app.simulate.SimulateService.Simulated;
import org.fieldwright.app.watch.WatchService;
import org.fieldwright.app.watch.Watched;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.stability.DriftVerdict;

/**
 * The main job on the magnet of the demonstration: survey, vetted readings, field model, verdicts,
 * a plan in whole pieces, its prediction, the next survey of the magnet as really loaded, and the
 * report.
 */
public final class DemoService {
  private static final String SCENARIO = "scenario.yaml";
  private static final List<String> RESOURCES = List.of(SCENARIO, "magnet.yaml", "installed.csv");

  private final Clock clock;
  private final ZoneId zone;

  /**
   * @param clock says when the report was made
   * @param zone in which the report's times are printed
   */
  public DemoService(Clock clock, ZoneId zone) {
    this.clock = clock;
    this.zone = zone;
  }

  /**
   * What came of it.
   *
   * @param before the first survey, assessed
   * @param plan what was loaded
   * @param after the survey after loading, assessed
   * @param report the PDF
   */
  public record Outcome(Assessment before, Plan plan, Assessment after, Path report) {}

  /** Runs the demonstration; every file it makes is in the folder. */
  public Outcome run(Path folder, Narrator narrator) throws IOException {
    unpack(folder);
    SimulateService simulate = new SimulateService();
    Path scenario = folder.resolve(SCENARIO);
    Simulated first = simulate.simulate(scenario, folder);
    narrator.say("1  A virtual magnet is surveyed: " + first.surveys().get(0));

    AssessService assess = new AssessService(clock);
    Assessment before = assessed(assess, first);
    narrator.say("2  " + trust(before));
    before.limits().stream()
        .filter(limit -> limit.valuePpm() != null)
        .forEach(limit -> narrator.say("   " + line(limit)));

    Watched watched = new WatchService().watch(first.logs().get(0), first.magnetFile(), null);
    watched.report().limits().forEach(drift -> narrator.say("   " + line(drift)));

    narrator.say("3  Iron is planned");
    Plan plan =
        narrator.watch(
            progress ->
                CorrectService.plan(
                    before.magnet(), before.model(), CorrectService.Options.DEFAULT, progress));
    Path loading = folder.resolve("loading.csv");
    CorrectService.writeChanges(loading, plan);
    narrator.say("   " + planned(plan) + ": " + loading);

    Simulated second = simulate.next(scenario, plan.planned(), folder);
    narrator.say("4  The magnet is loaded and surveyed again: " + second.surveys().get(0));
    Assessment after = assessed(assess, second);
    comparison(plan, after).forEach(text -> narrator.say("   " + text));

    Path report = folder.resolve("report.pdf");
    VisitFiles visit =
        new VisitFiles(
            first.magnetFile(),
            taken(first),
            List.of(new VisitFiles.Round(loading, taken(second))),
            first.logs(),
            VisitFiles.Stated.NOTHING,
            Map.of());
    new ReportService(clock, zone, NumberWriting.ENGLISH).write(report, visit, null);
    narrator.say("5  The report is written: " + report.toAbsolutePath());
    return new Outcome(before, plan, after, report);
  }

  private static void unpack(Path folder) throws IOException {
    Map<String, byte[]> files = new LinkedHashMap<>();
    for (String name : RESOURCES) {
      try (InputStream in =
          Objects.requireNonNull(DemoService.class.getResourceAsStream("/demo/" + name), name)) {
        files.put(name, in.readAllBytes());
      }
    }
    WholeFolder.write(folder, files);
  }

  private static VisitFiles.Taken taken(Simulated simulated) {
    return new VisitFiles.Taken(simulated.surveys().get(0), null, Set.of(), Set.of());
  }

  private static Assessment assessed(AssessService assess, Simulated simulated) {
    return assess.assess(
        simulated.surveys().get(0), simulated.magnetFile(), AssessService.Options.DEFAULT);
  }

  private static String trust(Assessment a) {
    return String.format(
        Locale.ROOT,
        "%d readings: %d used, %d revisits, %d set aside; %d suspect probe(s)",
        a.vetted().survey().readings().size(),
        a.vetted().used().size(),
        a.vetted().revisits().size(),
        a.vetted().setAside().size(),
        a.vetted().suspectProbes().size());
  }

  private static String planned(Plan plan) {
    Double bound = plan.relaxedBoundPpm();
    return String.format(
        Locale.ROOT,
        "limit %s: %.1f ppm → %.2f ppm (no plan can do better than %.2f) with %d pieces, %.0f g in %d pockets",
        plan.limitId(),
        plan.beforePpm(),
        plan.plannedPpm(),
        bound == null ? 0 : bound,
        plan.piecesAdded(),
        1e3 * plan.massAdded(),
        plan.pocketsTouched());
  }

  /** Predicted against found, limit by limit. */
  private static List<String> comparison(Plan plan, Assessment after) {
    List<String> lines = new ArrayList<>();
    for (int i = 0; i < after.limits().size(); i++) {
      LimitResult found = after.limits().get(i);
      Double predicted = plan.predictedLimits().get(i).valuePpm();
      if (predicted != null) {
        lines.add(String.format(Locale.ROOT, "%s; predicted %.2f", line(found), predicted));
      }
    }
    return lines;
  }

  private static String line(DriftVerdict drift) {
    return String.format(
        Locale.ROOT,
        "%-10s %-12s from the field log, limit %s ppm per hour",
        drift.limit().id(),
        words(drift.verdict()),
        plain(drift.limit().limit()));
  }

  private static String line(LimitResult r) {
    String name = String.format(Locale.ROOT, "%-10s %-12s", r.limit().id(), words(r.verdict()));
    return r.valuePpm() == null || r.uncertaintyPpm() == null
        ? name
        : name
            + String.format(
                Locale.ROOT,
                "%8.2f ± %.2f ppm, limit %s",
                r.valuePpm(),
                r.uncertaintyPpm(),
                plain(r.limit().limit()));
  }

  private static String words(LimitResult.Verdict verdict) {
    return verdict.id().replace('_', ' ');
  }

  private static String plain(double value) {
    return value == Math.rint(value)
        ? String.valueOf((long) value)
        : String.format(Locale.ROOT, "%.3g", value);
  }
}
