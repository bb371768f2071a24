package org.fieldwright.adapters.store;

/**
 * What the columns of a survey with foreign names are, as a person confirmed it.
 *
 * @param header the header line that is recognised by, as the caller writes it
 * @param mapping a JSON object; its meaning is the caller's
 * @param revision 0 = not kept yet; counts up by one with each change of this row
 */
public record ColumnMapping(String magnet, String header, String mapping, long revision) {}
