package org.fieldwright.app.team;

import java.nio.charset.StandardCharsets;
import java.security.SecureRandom;
import java.time.Clock;
import java.time.Duration;
import java.util.Base64;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import org.fieldwright.adapters.Sha256;
import org.fieldwright.adapters.store.Account;
import org.fieldwright.adapters.store.Accounts;
import org.fieldwright.adapters.store.Changed;
import org.fieldwright.app.notebook.NotebookService;
import org.fieldwright.core.BadInput;

/**
 * Who is signed in. A sign-in is a random token of 256 bits that its owner shows; the store keeps
 * only its SHA-256, which is enough for a value that cannot be guessed. It holds for a working day,
 * since a survey with its rounds takes one.
 */
public final class SignIns {
  public static final Duration HOLDS = Duration.ofHours(12);
  private static final int TOKEN_BYTES = 32;

  /** Deriving costs a processor a good part of a second; the rest of the server must go on. */
  private static final int AT_ONCE = 2;

  private static final int PATIENCE_SECONDS = 5;
  private static final SecureRandom RANDOM = new SecureRandom();

  private final Accounts accounts;
  private final Clock clock;
  private final Patience patience;
  private final Semaphore deriving = new Semaphore(AT_ONCE);

  public SignIns(NotebookService notebook, Clock clock) {
    this.accounts = notebook.accounts();
    this.clock = clock;
    this.patience = new Patience(clock);
  }

  /**
   * Somebody who has just signed in.
   *
   * @param token to be shown from now on
   */
  public record Begun(Member member, String token) {}

  /** Name and password do not belong together, or it is too early to try again. */
  public static final class Refused extends Exception {
    private static final long serialVersionUID = 1L;
    private final long seconds;

    Refused(long seconds) {
      super(
          seconds == 0
              ? "Name and password do not belong together."
              : "Too many attempts at this name; the next is looked at in %d s."
                  .formatted(seconds));
      this.seconds = seconds;
    }

    /** To wait until the next attempt is looked at; 0 = none. */
    public long seconds() {
      return seconds;
    }
  }

  /** False where no account is kept, and nobody could sign in. */
  public boolean hasSomebody() {
    return !accounts.all().isEmpty();
  }

  /** Signs in; whether the name or the password is wrong, neither answer nor its time tell. */
  public Begun signIn(String name, String password) throws Refused {
    Account account = proved(name, password);
    byte[] token = new byte[TOKEN_BYTES];
    RANDOM.nextBytes(token);
    String shown = Base64.getUrlEncoder().withoutPadding().encodeToString(token);
    accounts.begin(digest(shown), account.name(), clock.instant().plus(HOLDS));
    return new Begun(Member.of(account), shown);
  }

  private Account proved(String name, String password) throws Refused {
    String plain = name.strip().toLowerCase(Locale.ROOT);
    String own = plain.substring(0, Math.min(plain.length(), 64));
    long wait = patience.attempt(own);
    if (wait > 0) {
      throw new Refused(wait);
    }
    Optional<Account> account = accounts.find(own);
    String kept = account.map(Account::password).orElse(Passwords.OF_NOBODY);
    boolean agrees = password.length() <= 4 * Passwords.LONGEST && agrees(password, kept);
    if (!agrees || account.isEmpty()) {
      throw new Refused(0);
    }
    patience.right(own);
    return account.get();
  }

  private boolean agrees(String password, String kept) throws Refused {
    try {
      if (!deriving.tryAcquire(PATIENCE_SECONDS, TimeUnit.SECONDS)) {
        throw new Refused(PATIENCE_SECONDS);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new Refused(PATIENCE_SECONDS);
    }
    try {
      return Passwords.agrees(password, kept);
    } finally {
      deriving.release();
    }
  }

  /** Whose token that is; empty where it is nobody's, ended or run out. */
  public Optional<Member> member(String token) {
    return accounts.signedIn(digest(token)).map(Member::of);
  }

  public void end(String token) {
    accounts.end(digest(token));
  }

  /** Replaces somebody's own password, and ends every sign-in with the old one. */
  public void changePassword(Member member, String old, String password) throws Refused {
    Account account = proved(member.name(), old);
    Passwords.requireGood(account.name(), password);
    try {
      Account unused =
          accounts.save(
              new Account(
                  account.name(),
                  account.person(),
                  account.role(),
                  Passwords.derive(password),
                  account.revision()));
    } catch (Changed e) {
      throw new BadInput("account: " + e.getMessage(), e);
    }
  }

  private static String digest(String token) {
    return Sha256.of(token.getBytes(StandardCharsets.UTF_8));
  }
}
