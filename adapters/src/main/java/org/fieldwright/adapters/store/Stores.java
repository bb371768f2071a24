package org.fieldwright.adapters.store;

import com.zaxxer.hikari.HikariConfig;
import com.zaxxer.hikari.HikariDataSource;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.SQLException;
import java.time.Clock;
import java.util.List;
import java.util.Map;
import javax.sql.DataSource;
import org.fieldwright.adapters.Sha256;
import org.fieldwright.adapters.text.Found;
import org.fieldwright.core.BadInput;
import org.postgresql.ds.PGSimpleDataSource;
import org.sqlite.SQLiteConfig;
import org.sqlite.SQLiteDataSource;

/** Opens a store. */
public final class Stores {
  /** The name of the embedded database within the user's data directory. */
  public static final String FILE = "fieldwright.db";

  private static final int READERS = 4;

  /** The number all programs on one server agree on for the lock of whoever writes. */
  private static final int WRITER = 55;

  /** How long one process waits for another that is writing, milliseconds. */
  private static final int PATIENCE_MS = 10_000;

  private Stores() {}

  /**
   * The embedded one. Several processes may have it open. It must lie on a disk of this machine:
   * what SQLite shares between processes does not work over a network.
   *
   * @param folder the user's data directory; made if it is not there
   */
  public static Store embedded(Path folder, Clock clock) throws IOException {
    Files.createDirectories(folder);
    Path file = folder.resolve(FILE);
    SQLiteDataSource source = sqlite(file);
    Database.migrate(
        source, file.toString(), Map.of("whole", "integer", "bytes", "blob", "strict", "strict"));
    return new SqlStore(
        new Database(
            pool(source, READERS),
            List.of("begin"),
            pool(source, 1),
            List.of("begin immediate")), // one that began as a reader could not become a writer
        clock);
  }

  /**
   * One on a PostgreSQL server, for a team. The database must be empty at first, and is one store.
   *
   * @param address as JDBC writes it, {@code jdbc:postgresql://HOST/DATABASE?user=NAME}; a password
   *     may come from the user's {@code .pgpass} instead
   */
  public static Store server(String address, Clock clock) {
    String name = nameOf(address);
    PGSimpleDataSource source = postgres(name, address);
    Database.migrate(source, name, Map.of("whole", "bigint", "bytes", "bytea", "strict", ""));
    return new SqlStore(
        new Database(
            pool(source, READERS),
            List.of("begin isolation level repeatable read read only"),
            pool(source, 1),
            List.of("begin", "select pg_advisory_xact_lock(" + WRITER + ")")),
        clock);
  }

  private static String nameOf(String address) {
    return address.replaceFirst("\\?.*", ""); // what follows may hold a password
  }

  /** Tells one server's database from another's, and tells nothing else. */
  public static String fingerprint(String address) {
    return Sha256.of(nameOf(address).getBytes(StandardCharsets.UTF_8)).substring(0, 12);
  }

  private static PGSimpleDataSource postgres(String name, String address) {
    PGSimpleDataSource source = new PGSimpleDataSource();
    try {
      source.setUrl(address);
    } catch (IllegalArgumentException e) { // its message repeats the address
      throw Found.instead("store", "address", name, "jdbc:postgresql://HOST/DATABASE?user=NAME");
    }
    source.setOptions("-c synchronous_commit=on -c lock_timeout=" + PATIENCE_MS);
    try {
      source.getConnection().close();
      return source;
    } catch (SQLException e) {
      throw new BadInput(
          "store: address: found %s, which does not open: %s".formatted(name, e.getMessage()), e);
    }
  }

  private static SQLiteDataSource sqlite(Path file) {
    SQLiteConfig sqlite = new SQLiteConfig();
    sqlite.setJournalMode(SQLiteConfig.JournalMode.WAL);
    sqlite.setSynchronous(SQLiteConfig.SynchronousMode.FULL);
    sqlite.enforceForeignKeys(true);
    sqlite.setBusyTimeout(PATIENCE_MS);
    SQLiteDataSource source = new SQLiteDataSource(sqlite);
    source.setUrl("jdbc:sqlite:" + file);
    return source;
  }

  private static HikariDataSource pool(DataSource source, int connections) {
    HikariConfig pool = new HikariConfig();
    pool.setDataSource(source);
    pool.setMaximumPoolSize(connections);
    pool.setMinimumIdle(1);
    pool.setConnectionTimeout(3L * PATIENCE_MS);
    return new HikariDataSource(pool);
  }
}
