package org.fieldwright.adapters.store;

import com.zaxxer.hikari.HikariDataSource;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import java.util.Map;
import javax.sql.DataSource;
import org.fieldwright.core.BadInput;
import org.flywaydb.core.Flyway;
import org.flywaydb.core.api.CoreErrorCode;
import org.flywaydb.core.api.FlywayException;
import org.flywaydb.core.api.exception.FlywayValidateException;

/**
 * Transactions on one engine. One writes at a time, everybody reads meanwhile, and a reader sees
 * the store as it was at one moment.
 */
final class Database implements AutoCloseable {
  private final HikariDataSource readers;
  private final HikariDataSource writers;
  private final List<String> beginReading;
  private final List<String> beginWriting;

  /**
   * @param beginReading the statements that begin a transaction, since no two engines lock alike
   */
  Database(
      HikariDataSource readers,
      List<String> beginReading,
      HikariDataSource writers,
      List<String> beginWriting) {
    this.readers = readers;
    this.beginReading = List.copyOf(beginReading);
    this.writers = writers;
    this.beginWriting = List.copyOf(beginWriting);
  }

  /** What is done within a transaction. */
  interface Work<T, E extends Exception> {
    T on(Connection connection) throws SQLException, E;
  }

  /**
   * Brings the tables to this program's version.
   *
   * @param source gives as many connections as it is asked for
   * @param words what the engine calls what the scripts need
   */
  static void migrate(DataSource source, String name, Map<String, String> words) {
    if (Scripts.allRun(source)) {
      return;
    }
    try {
      Flyway.configure(Database.class.getClassLoader())
          .dataSource(source)
          .loggers("slf4j") // as the other libraries do, and it says nothing there
          .locations("classpath:" + Scripts.PLACE)
          .placeholders(words)
          .ignoreMigrationPatterns(new String[0]) // a later program's tables are not ours to write
          .load()
          .migrate();
    } catch (FlywayValidateException e) {
      throw new BadInput(
          name + ": made or changed by another version of Fieldwright; open it with that one", e);
    } catch (FlywayException e) {
      if (e.getErrorCode() == CoreErrorCode.NON_EMPTY_SCHEMA_WITHOUT_SCHEMA_HISTORY_TABLE) {
        throw new BadInput(name + ": holds something that is no store; give an empty database", e);
      }
      throw new StoreFault(name + " cannot be brought up to date", e);
    }
  }

  <T, E extends Exception> T read(Work<T, E> work) throws E {
    return within(readers, beginReading, work);
  }

  <T, E extends Exception> T write(Work<T, E> work) throws E {
    return within(writers, beginWriting, work);
  }

  private static <T, E extends Exception> T within(
      HikariDataSource source, List<String> begin, Work<T, E> work) throws E {
    try (Connection connection = source.getConnection()) {
      boolean done = false;
      try {
        for (String statement : begin) {
          Sql.execute(connection, statement);
        }
        T result = work.on(connection);
        Sql.execute(connection, "commit");
        done = true;
        return result;
      } finally {
        if (!done) {
          undo(source, connection);
        }
      }
    } catch (SQLException e) {
      throw StoreFault.of(e);
    }
  }

  /** After some faults the engine has rolled back by itself and refuses to do it again. */
  private static void undo(HikariDataSource source, Connection connection) {
    try {
      Sql.execute(connection, "rollback");
    } catch (SQLException e) {
      source.evictConnection(connection);
    }
  }

  @Override
  public void close() {
    readers.close();
    writers.close();
  }
}
