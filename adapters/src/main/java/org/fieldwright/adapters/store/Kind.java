package org.fieldwright.adapters.store;

/** What a file of a magnet is. */
public enum Kind {
  /** What the magnet should be, what measures it, what may correct it. */
  MAGNET,
  SURVEY,
  /** Changes proposed: tray, pocket, piece, count, from, to. */
  PLAN,
  /** What was loaded or lies installed. */
  LOADING,
  FIELD_LOG,
  /** A report, or a bundle that proves a verdict. */
  EVIDENCE,
  /** Kept as it came. */
  OTHER
}
