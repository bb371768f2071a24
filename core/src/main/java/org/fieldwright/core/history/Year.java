package org.fieldwright.core.history;

import java.util.List;
import org.fieldwright.core.homogeneity.LimitResult;
import org.jspecify.annotations.Nullable;

/**
 * One calendar year (UTC) of a magnet.
 *
 * @param visits with a survey or a log
 * @param surveys assessed
 * @param limits over a volume: the least value of the year and the last
 * @param fieldT of the last survey; null without one
 * @param frequencyMHz likewise
 * @param drift of the last log; null without one
 * @param piecesIn put in by recorded rounds
 * @param piecesOut taken out by them
 * @param ironInG mass of the pieces put in, g
 * @param ironOutG of those taken out, g
 * @param events as written down
 * @param changed surveys that found a change
 */
public record Year(
    int year,
    int visits,
    int surveys,
    List<OfLimit> limits,
    @Nullable Double fieldT,
    @Nullable Double frequencyMHz,
    @Nullable DriftReading drift,
    int piecesIn,
    int piecesOut,
    double ironInG,
    double ironOutG,
    List<MagnetEvent> events,
    List<Judgement> changed) {
  public Year {
    limits = List.copyOf(limits);
    events = List.copyOf(events);
    changed = List.copyOf(changed);
  }

  /**
   * What a limit gave in the year.
   *
   * @param leastPpm of all surveys
   * @param last of them
   */
  public record OfLimit(double leastPpm, LimitResult last) {}
}
