package org.fieldwright.adapters.store;

import java.sql.Connection;
import java.sql.SQLException;
import java.time.Instant;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.fieldwright.adapters.Sha256;
import org.fieldwright.adapters.text.Found;
import org.jspecify.annotations.Nullable;

/** The tables of files and their contents. */
final class DocumentRows {
  private static final String SELECT =
      "select path, kind, visit, document.sha256, length(bytes), saved, revision"
          + " from document join content on content.sha256 = document.sha256 where magnet = ?";

  private DocumentRows() {}

  static List<Document> documents(Connection connection, String magnet) throws SQLException {
    return Sql.rows(connection, SELECT, row(magnet), magnet).stream()
        .sorted(Comparator.comparing(d -> d.label().path()))
        .toList();
  }

  static Optional<Document> document(Connection connection, String magnet, String path)
      throws SQLException {
    return Sql.row(connection, SELECT + " and path = ?", row(magnet), magnet, path);
  }

  private static Sql.Row<Document> row(String magnet) {
    return r ->
        new Document(
            new Label(magnet, r.getString(1), Kind.valueOf(r.getString(2)), r.getString(3)),
            r.getString(4),
            r.getLong(5),
            Instant.parse(r.getString(6)),
            r.getLong(7));
  }

  static Optional<byte[]> content(Connection connection, String sha256) throws SQLException {
    return Sql.row(
        connection, "select bytes from content where sha256 = ?", r -> r.getBytes(1), sha256);
  }

  /** Keeps a content under its digest, once. */
  static String keep(Connection connection, byte[] content) throws SQLException {
    String sha256 = Sha256.of(content);
    Sql.update(
        connection,
        "insert into content (sha256, bytes) values (?, ?) on conflict do nothing",
        sha256,
        content);
    return sha256;
  }

  static void require(Connection connection, String magnet, @Nullable String path)
      throws SQLException {
    if (path != null && document(connection, magnet, path).isEmpty()) {
      throw Found.instead("store", "file", path, "one that " + magnet + " has");
    }
  }

  static Document save(
      Connection connection, Label label, byte[] content, long revision, Instant now)
      throws SQLException, Changed {
    check(connection, label);
    Allowed.content(label.path(), content.length);
    String before =
        document(connection, label.magnet(), label.path()).map(Document::sha256).orElse("");
    String sha256 = keep(connection, content);
    VisitRows.save(
        connection,
        label.path(),
        revision,
        "insert into document (kind, visit, sha256, saved, magnet, path, revision)"
            + " values (?, ?, ?, ?, ?, ?, ? + 1) on conflict do nothing",
        "update document set kind = ?, visit = ?, sha256 = ?, saved = ?, revision = revision + 1"
            + " where magnet = ? and path = ? and revision = ?",
        label.kind().name(),
        label.visit(),
        sha256,
        now.toString(),
        label.magnet(),
        label.path(),
        revision);
    forgetUnlessNeeded(connection, before);
    return new Document(label, sha256, content.length, now, revision + 1);
  }

  static Document relabel(Connection connection, Label label, long revision)
      throws SQLException, Changed {
    check(connection, label);
    int changed =
        Sql.update(
            connection,
            "update document set kind = ?, visit = ?, revision = revision + 1"
                + " where magnet = ? and path = ? and revision = ?",
            label.kind().name(),
            label.visit(),
            label.magnet(),
            label.path(),
            revision);
    Optional<Document> now = document(connection, label.magnet(), label.path());
    if (changed != 1 || now.isEmpty()) {
      throw new Changed(label.path());
    }
    return now.get();
  }

  private static void check(Connection connection, Label label) throws SQLException {
    Allowed.path(label.path());
    VisitRows.requireVisit(connection, label.magnet(), label.visit());
  }

  /** Drops a content that no file has any more and no result rests on. */
  static void forgetUnlessNeeded(Connection connection, String sha256) throws SQLException {
    Sql.update(
        connection,
        "delete from content where sha256 = ?"
            + " and not exists (select 1 from document d where d.sha256 = content.sha256)"
            + " and not exists (select 1 from result_input i where i.sha256 = content.sha256)"
            + " and not exists (select 1 from result r where r.answer = content.sha256)",
        sha256);
  }
}
