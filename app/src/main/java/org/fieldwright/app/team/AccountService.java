package org.fieldwright.app.team;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import org.fieldwright.adapters.store.Account;
import org.fieldwright.adapters.store.Accounts;
import org.fieldwright.adapters.store.Changed;
import org.fieldwright.app.notebook.NotebookService;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/** The accounts of a team, as whoever runs the server keeps them. */
public final class AccountService implements AutoCloseable {
  private final NotebookService notebook;
  private final Accounts accounts;

  private AccountService(NotebookService notebook) {
    this.notebook = notebook;
    this.accounts = notebook.accounts();
  }

  /** Over a store as {@link NotebookService#open} opens it. */
  public static AccountService open(Path data, @Nullable String store, Clock clock)
      throws IOException {
    return new AccountService(NotebookService.open(data, store, clock));
  }

  /** Sorted by name. */
  public List<Member> all() {
    return accounts.all().stream().map(Member::of).toList();
  }

  public Member add(String name, String person, Role role, String password) {
    if (person.isBlank()) {
      throw new BadInput("person: found nothing; records need a name to write down");
    }
    Passwords.requireGood(name, password);
    return save(new Account(name, person.strip(), role.word(), Passwords.derive(password), 0));
  }

  /** Whoever is signed in has the new role from the next sign-in on, and is signed out at once. */
  public Member give(String name, Role role) {
    Account a = existing(name);
    return save(new Account(name, a.person(), role.word(), a.password(), a.revision()));
  }

  /** Ends every sign-in of the account too. */
  public Member setPassword(String name, String password) {
    Account a = existing(name);
    Passwords.requireGood(name, password);
    return save(new Account(name, a.person(), a.role(), Passwords.derive(password), a.revision()));
  }

  /** What the person did stays under the person's name. */
  public void remove(String name) {
    if (!accounts.remove(name)) {
      throw unknown(name);
    }
  }

  private Account existing(String name) {
    return accounts.find(name).orElseThrow(() -> unknown(name));
  }

  private static BadInput unknown(String name) {
    return new BadInput("account: found '%s', and there is none of that name".formatted(name));
  }

  private Member save(Account account) {
    try {
      return Member.of(accounts.save(account));
    } catch (Changed e) {
      throw new BadInput("account: " + e.getMessage(), e);
    }
  }

  @Override
  public void close() {
    notebook.close();
  }
}
