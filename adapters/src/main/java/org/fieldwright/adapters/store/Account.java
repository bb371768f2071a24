package org.fieldwright.adapters.store;

/**
 * Somebody who may use a store that a team shares.
 *
 * @param name to sign in with; small letters, digits, and . _ - between them
 * @param person as records name whoever did something
 * @param role what the account may do, as whoever reads it calls it
 * @param password what was derived from it, never itself
 * @param revision 0 = not kept yet; counts up by one with each change of this row
 */
public record Account(String name, String person, String role, String password, long revision) {

  /** Leaves the password out: what is printed ends in a log sooner or later. */
  @Override
  public String toString() {
    return "%s (%s, %s)".formatted(name, person, role);
  }
}
