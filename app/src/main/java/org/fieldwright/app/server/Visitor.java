package org.fieldwright.app.server;

import org.fieldwright.app.team.Member;
import org.fieldwright.app.team.Role;
import org.jspecify.annotations.Nullable;

/**
 * Who asks.
 *
 * @param role null = nobody knows who it is
 * @param member null where nobody is signed in
 * @param token of the sign-in
 */
record Visitor(@Nullable Role role, @Nullable Member member, @Nullable String token) {
  /** The only one there is, at a server that listens to its own machine alone. */
  static final Visitor ALONE = new Visitor(Role.SIGN, null, null);

  static final Visitor UNKNOWN = new Visitor(null, null, null);

  boolean isAlone() {
    return role != null && member == null;
  }

  boolean may(Role needed) {
    return role != null && role.covers(needed);
  }

  /** The name of whoever is signed in. */
  @Nullable String person() {
    return member == null ? null : member.person();
  }

  /** The name for records: that of whoever is signed in, else the one given. */
  String nameOr(String given) {
    return member == null ? given : member.person();
  }
}
