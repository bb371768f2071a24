package org.fieldwright.adapters.store;

import java.time.Instant;
import java.util.List;
import java.util.Optional;

/** The accounts of a store, and who is signed in. {@link Store} says what may be refused. */
public interface Accounts {

  /** Sorted by name. */
  List<Account> all();

  Optional<Account> find(String name);

  /** Keeps an account, and ends every sign-in of it. */
  Account save(Account account) throws Changed;

  /**
   * Removes an account with its sign-ins.
   *
   * @return false where there is none of that name
   */
  boolean remove(String name);

  /**
   * Remembers a sign-in, and forgets those that have run out.
   *
   * @param token SHA-256 of what its owner shows
   * @param ends as of when it is worth nothing
   */
  void begin(String token, String account, Instant ends);

  /** Whose sign-in that is, where it has not run out. */
  Optional<Account> signedIn(String token);

  void end(String token);
}
