package org.fieldwright.adapters.store;

import java.time.LocalDate;

/**
 * One time at a magnet.
 *
 * @param id letters, digits, - and _; unique within its magnet
 * @param day when it began, where the magnet stands
 * @param revision 0 = not kept yet; counts up by one with each change of this row
 */
public record Visit(String magnet, String id, LocalDate day, String note, long revision) {}
