package org.fieldwright.adapters.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.time.LocalDate;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.fieldwright.adapters.text.Found;
import org.jspecify.annotations.Nullable;

/** The tables of magnets, visits, rounds and column mappings. */
final class VisitRows {
  private VisitRows() {}

  /**
   * Inserts a row of revision 0, updates one of a later revision. Both statements take the same
   * parameters, the last of them the revision.
   */
  static void save(
      Connection connection,
      String what,
      long revision,
      String insert,
      String update,
      @Nullable Object... parameters)
      throws SQLException, Changed {
    if (Sql.update(connection, revision == 0 ? insert : update, parameters) != 1) {
      throw new Changed(what);
    }
  }

  static List<Magnet> magnets(Connection connection) throws SQLException {
    return Sql.rows(
            connection,
            "select id, title, revision from magnet",
            r -> new Magnet(r.getString(1), r.getString(2), r.getLong(3)))
        .stream()
        .sorted(Comparator.comparing(Magnet::id))
        .toList();
  }

  static Optional<Magnet> magnet(Connection connection, String id) throws SQLException {
    return Sql.row(
        connection,
        "select id, title, revision from magnet where id = ?",
        r -> new Magnet(r.getString(1), r.getString(2), r.getLong(3)),
        id);
  }

  /** Says that something of a magnet was written. */
  static void count(Connection connection, String magnet) throws SQLException {
    Sql.update(connection, "update magnet set changes = changes + 1 where id = ?", magnet);
  }

  static Map<String, Long> changes(Connection connection) throws SQLException {
    return Sql.rows(
            connection,
            "select id, changes from magnet",
            r -> Map.entry(r.getString(1), r.getLong(2)))
        .stream()
        .collect(Collectors.toMap(Map.Entry::getKey, Map.Entry::getValue));
  }

  static Magnet save(Connection connection, Magnet magnet) throws SQLException, Changed {
    Allowed.id("magnet", magnet.id());
    Allowed.text("title", magnet.title());
    save(
        connection,
        "magnet " + magnet.id(),
        magnet.revision(),
        "insert into magnet (title, id, revision) values (?, ?, ? + 1) on conflict do nothing",
        "update magnet set title = ?, revision = revision + 1 where id = ? and revision = ?",
        magnet.title(),
        magnet.id(),
        magnet.revision());
    return new Magnet(magnet.id(), magnet.title(), magnet.revision() + 1);
  }

  static void requireMagnet(Connection connection, String id) throws SQLException {
    if (magnet(connection, id).isEmpty()) {
      throw Found.instead("store", "magnet", id, "one that is there");
    }
  }

  static List<Visit> visits(Connection connection, String magnet) throws SQLException {
    return Sql.rows(
            connection,
            "select id, day, note, revision from visit where magnet = ?",
            r ->
                new Visit(
                    magnet,
                    r.getString(1),
                    LocalDate.parse(r.getString(2)),
                    r.getString(3),
                    r.getLong(4)),
            magnet)
        .stream()
        .sorted(Comparator.comparing(Visit::day).thenComparing(Visit::id))
        .toList();
  }

  static Visit save(Connection connection, Visit visit) throws SQLException, Changed {
    Allowed.id("visit", visit.id());
    Allowed.text("note", visit.note());
    requireMagnet(connection, visit.magnet());
    save(
        connection,
        "visit " + visit.id(),
        visit.revision(),
        "insert into visit (day, note, magnet, id, revision) values (?, ?, ?, ?, ? + 1)"
            + " on conflict do nothing",
        "update visit set day = ?, note = ?, revision = revision + 1"
            + " where magnet = ? and id = ? and revision = ?",
        visit.day().toString(),
        visit.note(),
        visit.magnet(),
        visit.id(),
        visit.revision());
    return new Visit(visit.magnet(), visit.id(), visit.day(), visit.note(), visit.revision() + 1);
  }

  static void requireVisit(Connection connection, String magnet, @Nullable String id)
      throws SQLException {
    requireMagnet(connection, magnet);
    if (id != null && visits(connection, magnet).stream().noneMatch(v -> v.id().equals(id))) {
      throw Found.instead("store", "visit", id, "one that " + magnet + " has");
    }
  }

  static List<Round> rounds(Connection connection, String magnet) throws SQLException {
    return Sql.rows(
            connection,
            "select visit, number, before_survey, plan, loaded, after_survey, note, revision"
                + " from round where magnet = ?",
            r ->
                new Round(
                    magnet,
                    r.getString(1),
                    r.getInt(2),
                    r.getString(3),
                    r.getString(4),
                    r.getString(5),
                    r.getString(6),
                    r.getString(7),
                    r.getLong(8)),
            magnet)
        .stream()
        .sorted(Comparator.comparing(Round::visit).thenComparing(Round::number))
        .toList();
  }

  static Round save(Connection connection, Round round) throws SQLException, Changed {
    if (round.number() < 1) {
      throw Found.instead("store", "round", String.valueOf(round.number()), "1 or more");
    }
    Allowed.text("note", round.note());
    requireVisit(connection, round.magnet(), round.visit());
    for (String path : new String[] {round.before(), round.plan(), round.loaded(), round.after()}) {
      DocumentRows.require(connection, round.magnet(), path);
    }
    save(
        connection,
        "round " + round.number(),
        round.revision(),
        "insert into round (before_survey, plan, loaded, after_survey, note,"
            + " magnet, visit, number, revision) values (?, ?, ?, ?, ?, ?, ?, ?, ? + 1)"
            + " on conflict do nothing",
        "update round set before_survey = ?, plan = ?, loaded = ?, after_survey = ?, note = ?,"
            + " revision = revision + 1"
            + " where magnet = ? and visit = ? and number = ? and revision = ?",
        round.before(),
        round.plan(),
        round.loaded(),
        round.after(),
        round.note(),
        round.magnet(),
        round.visit(),
        round.number(),
        round.revision());
    return new Round(
        round.magnet(),
        round.visit(),
        round.number(),
        round.before(),
        round.plan(),
        round.loaded(),
        round.after(),
        round.note(),
        round.revision() + 1);
  }

  static List<ColumnMapping> columnMappings(Connection connection, String magnet)
      throws SQLException {
    return Sql.rows(
            connection,
            "select header, mapping, revision from column_mapping where magnet = ?",
            r -> new ColumnMapping(magnet, r.getString(1), r.getString(2), r.getLong(3)),
            magnet)
        .stream()
        .sorted(Comparator.comparing(ColumnMapping::header))
        .toList();
  }

  static ColumnMapping save(Connection connection, ColumnMapping given)
      throws SQLException, Changed {
    Allowed.text("header", given.header());
    String mapping = Allowed.object("mapping", given.mapping());
    requireMagnet(connection, given.magnet());
    save(
        connection,
        "the mapping of " + given.header(),
        given.revision(),
        "insert into column_mapping (mapping, magnet, header, revision) values (?, ?, ?, ? + 1)"
            + " on conflict do nothing",
        "update column_mapping set mapping = ?, revision = revision + 1"
            + " where magnet = ? and header = ? and revision = ?",
        mapping,
        given.magnet(),
        given.header(),
        given.revision());
    return new ColumnMapping(given.magnet(), given.header(), mapping, given.revision() + 1);
  }
}
