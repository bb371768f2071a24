package org.fieldwright.adapters.report;

import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.correction.RoundReview;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.homogeneity.GlobalRisk;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.VettedSurvey;
import org.fieldwright.core.stability.LogTrace;
import org.fieldwright.core.stability.StabilityReport;
import org.jspecify.annotations.Nullable;

/**
 * Everything a report says, computed elsewhere: the report adds words and pictures, no judgement.
 *
 * @param magnet what was measured
 * @param found the field as it was found
 * @param rounds what was loaded after it and found then, in the order of the job
 * @param logs field logs
 * @param judged what the visit says of every limit in the end, in the order of the magnet file
 * @param title what the title says beside the magnet
 * @param priors what was known of such magnets beforehand, by limit
 * @param provenance what the numbers came from
 */
public record VisitReport(
    Magnet magnet,
    Surveyed found,
    List<Round> rounds,
    List<Log> logs,
    List<LimitResult> judged,
    Title title,
    Map<String, GlobalRisk.Prior> priors,
    Provenance provenance) {

  public VisitReport {
    rounds = List.copyOf(rounds);
    logs = List.copyOf(logs);
    judged = List.copyOf(judged);
    priors = java.util.Collections.unmodifiableMap(new TreeMap<>(priors));
  }

  /**
   * A survey and what it says.
   *
   * @param readingsPeakToPeakPpm of the readings used, after offsets and drift
   * @param limits in the order of the magnet file
   */
  public record Surveyed(
      VettedSurvey survey,
      FieldModel model,
      double readingsPeakToPeakPpm,
      List<LimitResult> limits) {
    public Surveyed {
      limits = List.copyOf(limits);
    }
  }

  /**
   * A round of the job.
   *
   * @param iron as it was before it; null where the magnet takes none
   * @param plan what was or is to be loaded; null where nothing was
   * @param after the field found after it; null where it was not measured yet
   * @param review of the loading against its sheet; null without both
   */
  public record Round(
      @Nullable IronSystem iron,
      @Nullable Plan plan,
      @Nullable Surveyed after,
      @Nullable RoundReview review) {}

  /**
   * A field log and what it says.
   *
   * @param number of its file among the visit's logs, from 1
   * @param probe whose samples these are; null where the log follows one
   * @param duration s
   * @param samples all, used or not
   * @param trace for its picture
   */
  public record Log(
      int number,
      String file,
      @Nullable Integer probe,
      Instant start,
      double duration,
      int samples,
      LogTrace trace,
      StabilityReport report) {

    /** The instant of a time of the report. */
    public Instant at(double seconds) {
      return start.plusNanos(Math.round(seconds * 1e9));
    }

    public Instant end() {
      return at(duration);
    }

    /** The log's verdict on a limit on drift, in ppm per hour; empty for others. */
    public Optional<LimitResult> judged(Limit limit) {
      return report.limits().stream()
          .filter(v -> v.limit().id().equals(limit.id()))
          .findFirst()
          .map(
              v ->
                  new LimitResult(
                      limit,
                      v.valuePpmPerHour(),
                      v.uncertaintyPpmPerHour(),
                      null,
                      null,
                      null,
                      v.verdict(),
                      List.of(),
                      false));
    }
  }

  /** What the title says; null where nobody stated it. */
  public record Title(
      @Nullable String site,
      @Nullable String measuredBy,
      @Nullable String instrument,
      @Nullable String number) {}

  /**
   * What the numbers came from; with these, anyone can compute them again.
   *
   * @param inputs files read
   * @param program name and version
   * @param options as given, e.g. "--degree" and "12"
   * @param generated time of the report
   * @param zone in which times are printed
   * @param numerals how numbers are written
   */
  public record Provenance(
      List<InputFile> inputs,
      String program,
      List<Option> options,
      Instant generated,
      ZoneId zone,
      Numerals numerals) {
    public Provenance {
      inputs = List.copyOf(inputs);
      options = List.copyOf(options);
    }
  }

  /**
   * A file read.
   *
   * @param role what it is to the report, e.g. "survey"
   * @param name as people know it
   * @param sha256 lower-case hexadecimal
   */
  public record InputFile(String role, String name, String sha256) {}

  /** An option and its value. */
  public record Option(String name, String value) {}

  /** The logs, those of several probes that read in turn for one file together. */
  List<List<Log>> logsByFile() {
    Map<Integer, List<Log>> files = new LinkedHashMap<>();
    for (Log log : logs) {
      files.computeIfAbsent(log.number(), k -> new ArrayList<>()).add(log);
    }
    return List.copyOf(files.values());
  }

  /** How numbers are written. */
  Numerals numerals() {
    return provenance.numerals();
  }

  /** Its phrases, with numbers so written. */
  Wording words() {
    return new Wording(numerals());
  }

  /** The field as it is now: after the last round that was measured. */
  public Surveyed latest() {
    Surveyed latest = found;
    for (Round round : rounds) {
      latest = round.after() == null ? latest : round.after();
    }
    return latest;
  }

  /** What was loaded last or is to be loaded; null where nothing is. */
  public @Nullable Plan lastPlan() {
    Plan last = null;
    for (Round round : rounds) {
      last = round.plan() == null ? last : round.plan();
    }
    return last;
  }

  /** What is to be loaded and was not found again yet; null where there is none. */
  public @Nullable Plan pending() {
    Round last = rounds.isEmpty() ? null : rounds.get(rounds.size() - 1);
    return last == null || last.after() != null ? null : last.plan();
  }
}
