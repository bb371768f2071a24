package org.fieldwright.core.stability;

/** The deviations of NIST SP 1065 (W. J. Riley, 2008, chapter 5), in its order. */
public enum DeviationKind {
  ALLAN("allan", 2),
  OVERLAPPING_ALLAN("overlapping_allan", 2),
  MODIFIED_ALLAN("modified_allan", 2),
  TIME("time", 2),
  HADAMARD("hadamard", 3),
  OVERLAPPING_HADAMARD("overlapping_hadamard", 3),
  TOTAL("total", 2),
  MODIFIED_TOTAL("modified_total", 2),
  TIME_TOTAL("time_total", 2),
  HADAMARD_TOTAL("hadamard_total", 3);

  private final String id;
  private final int differences;

  DeviationKind(String id, int differences) {
    this.id = id;
    this.differences = differences;
  }

  /** The name used in files. */
  public String id() {
    return id;
  }

  /** How often the integral of the record is differenced: 2 cancels an offset, 3 a drift too. */
  public int differences() {
    return differences;
  }
}
