package org.fieldwright.adapters.store;

/**
 * A magnet.
 *
 * @param id letters, digits, - and _; names it in addresses and as a folder
 * @param title as a person calls it
 * @param revision 0 = not kept yet; counts up by one with each change of this row
 */
public record Magnet(String id, String title, long revision) {}
