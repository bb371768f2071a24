package org.fieldwright.adapters.report;

import java.util.List;
import org.fieldwright.core.history.Year;
import org.fieldwright.core.magnet.Magnet;

/**
 * A magnet's years, computed elsewhere.
 *
 * @param years in order
 * @param happened what was written down or found to have changed, by year, in whole sentences
 * @param run how centre field and drift go over the years, in whole sentences
 * @param warnings in whole sentences
 * @param provenance what the numbers came from
 */
public record YearReport(
    Magnet magnet,
    List<Year> years,
    List<Happened> happened,
    List<String> run,
    List<String> warnings,
    VisitReport.Provenance provenance) {

  public YearReport {
    years = List.copyOf(years);
    happened = List.copyOf(happened);
    run = List.copyOf(run);
    warnings = List.copyOf(warnings);
  }

  /** Something of a year. */
  public record Happened(int year, String what) {}
}
