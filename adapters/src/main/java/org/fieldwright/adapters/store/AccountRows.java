package org.fieldwright.adapters.store;

import java.time.Clock;
import java.time.Instant;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;

/** The tables of accounts and sign-ins; one transaction a call. */
final class AccountRows implements Accounts {
  private static final String SELECT = "select name, person, role, password, revision from account";
  private static final Sql.Row<Account> ROW =
      r ->
          new Account(r.getString(1), r.getString(2), r.getString(3), r.getString(4), r.getLong(5));

  private final Database database;
  private final Clock clock;

  AccountRows(Database database, Clock clock) {
    this.database = database;
    this.clock = clock;
  }

  @Override
  public List<Account> all() {
    return database.read(c -> Sql.rows(c, SELECT, ROW)).stream()
        .sorted(Comparator.comparing(Account::name))
        .toList();
  }

  @Override
  public Optional<Account> find(String name) {
    return database.read(c -> Sql.row(c, SELECT + " where name = ?", ROW, name));
  }

  @Override
  public Account save(Account a) throws Changed {
    Allowed.accountName(a.name());
    Allowed.text("person", a.person());
    database.<Boolean, Changed>write(
        c -> {
          VisitRows.save(
              c,
              "account " + a.name(),
              a.revision(),
              "insert into account (person, role, password, name, revision)"
                  + " values (?, ?, ?, ?, ? + 1) on conflict do nothing",
              "update account set person = ?, role = ?, password = ?, revision = revision + 1"
                  + " where name = ? and revision = ?",
              a.person(),
              a.role(),
              a.password(),
              a.name(),
              a.revision());
          return Sql.update(c, "delete from sign_in where account = ?", a.name()) > 0;
        });
    return new Account(a.name(), a.person(), a.role(), a.password(), a.revision() + 1);
  }

  @Override
  public boolean remove(String name) {
    return database.<Boolean, RuntimeException>write(
        c -> {
          Sql.update(c, "delete from sign_in where account = ?", name);
          return Sql.update(c, "delete from account where name = ?", name) == 1;
        });
  }

  @Override
  public void begin(String token, String account, Instant ends) {
    database.<Integer, RuntimeException>write(
        c -> {
          Sql.update(c, "delete from sign_in where ends <= ?", now());
          return Sql.update(
              c,
              "insert into sign_in (token, account, ends) values (?, ?, ?)",
              token,
              account,
              ends.getEpochSecond());
        });
  }

  @Override
  public Optional<Account> signedIn(String token) {
    return database.read(
        c ->
            Sql.row(
                c,
                SELECT + " join sign_in on account = name where token = ? and ends > ?",
                ROW,
                token,
                now()));
  }

  private long now() {
    return clock.instant().getEpochSecond();
  }

  @Override
  public void end(String token) {
    database.<Integer, RuntimeException>write(
        c -> Sql.update(c, "delete from sign_in where token = ?", token));
  }
}
