package org.fieldwright.app.evidence;

import java.nio.file.Path;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import org.fieldwright.core.homogeneity.GlobalRisk;
import org.jspecify.annotations.Nullable;

/**
 * The files of a visit that go on paper and into evidence, in the order of the job.
 *
 * @param magnet magnet file; the tables it names come along
 * @param survey the magnet as it was found
 * @param rounds what was done after it and what was found then
 * @param logs field logs
 * @param stated what the title says beside what the files say
 * @param priors what was known of such magnets beforehand, by limit; empty = nothing
 */
public record VisitFiles(
    Path magnet,
    Taken survey,
    List<Round> rounds,
    List<Path> logs,
    Stated stated,
    Map<String, GlobalRisk.Prior> priors) {

  public VisitFiles {
    rounds = List.copyOf(rounds);
    logs = List.copyOf(logs);
    priors = Collections.unmodifiableMap(new TreeMap<>(priors));
  }

  /**
   * A survey with what a person decided about it.
   *
   * @param degree of the field model; null = by leave-one-out error
   * @param leaveOut rows not used
   * @param keep rows used even if they look bad
   */
  public record Taken(
      Path file, @Nullable Integer degree, Set<Integer> leaveOut, Set<Integer> keep) {
    public Taken {
      leaveOut = Set.copyOf(leaveOut);
      keep = Set.copyOf(keep);
    }
  }

  /**
   * A round.
   *
   * @param loaded list of the changes made or planned; null where the magnet was only surveyed
   *     again
   * @param after the survey after it; null where there is none yet
   */
  public record Round(@Nullable Path loaded, @Nullable Taken after) {}

  /**
   * What a person states for the title; null is taken from the remarks of the surveys.
   *
   * @param site where the magnet stands
   * @param measuredBy who took the surveys
   * @param instrument what read the field, with its number
   * @param number of the report in the books of whoever issues it
   */
  public record Stated(
      @Nullable String site,
      @Nullable String measuredBy,
      @Nullable String instrument,
      @Nullable String number) {
    public static final Stated NOTHING = new Stated(null, null, null, null);
  }
}
