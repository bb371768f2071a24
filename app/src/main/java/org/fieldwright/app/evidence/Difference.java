package org.fieldwright.app.evidence;

import org.jspecify.annotations.Nullable;

/**
 * A statement of a bundle that its readings do not give.
 *
 * @param file path in the bundle
 * @param pointer to the value in a JSON document (RFC 6901); null in tables
 * @param row of a table, counted from 1 with remarks and header; null in documents
 * @param column of a table; null in documents and where a whole row is meant
 * @param stated as it stands there
 * @param recomputed what the readings give
 */
public record Difference(
    String file,
    @Nullable String pointer,
    @Nullable Integer row,
    @Nullable String column,
    String stated,
    String recomputed) {

  /** In one line. */
  public String line() {
    String place =
        row == null
            ? (pointer == null || pointer.isEmpty() ? "" : "#" + pointer)
            : " row " + row + (column == null ? "" : ", column " + column);
    return "%s%s: stated %s, recomputed %s".formatted(file, place, stated, recomputed);
  }
}
