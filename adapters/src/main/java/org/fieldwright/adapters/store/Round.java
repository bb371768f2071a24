package org.fieldwright.adapters.store;

import org.jspecify.annotations.Nullable;

/**
 * Load, survey again, compare. Files are named by their path and must be kept already.
 *
 * @param number counts within the visit, from 1
 * @param before the survey the plan was made for
 * @param plan the changes that were asked for
 * @param loaded the record of what was really loaded
 * @param after the survey taken afterwards
 * @param revision 0 = not kept yet; counts up by one with each change of this row
 */
public record Round(
    String magnet,
    String visit,
    int number,
    @Nullable String before,
    @Nullable String plan,
    @Nullable String loaded,
    @Nullable String after,
    String note,
    long revision) {}
