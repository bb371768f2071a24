package org.fieldwright.adapters.store;

import com.zaxxer.hikari.HikariConfig;
import com.zaxxer.hikari.HikariDataSource;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import java.util.Map;
import javax.sql.DataSource;
import org.sqlite.SQLiteConfig;
import org.sqlite.SQLiteDataSource;

/** Opens a store. */
public final class Stores {
  /** The name of the embedded database within the user's data directory. */
  public static final String FILE = "fieldwright.db";

  private static final int READERS = 4;

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
