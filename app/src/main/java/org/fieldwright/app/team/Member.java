package org.fieldwright.app.team;

import org.fieldwright.adapters.store.Account;

/**
 * Somebody with an account.
 *
 * @param name to sign in with
 * @param person as records name whoever did something
 */
public record Member(String name, String person, Role role) {
  static Member of(Account account) {
    return new Member(account.name(), account.person(), Role.named(account.role()));
  }
}
