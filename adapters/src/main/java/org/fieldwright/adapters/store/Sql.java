package org.fieldwright.adapters.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** One statement with its parameters. */
final class Sql {
  private Sql() {}

  /** Makes a value of the row a result stands at. */
  interface Row<T> {
    T read(ResultSet row) throws SQLException;
  }

  static <T> List<T> rows(
      Connection connection, String sql, Row<T> row, @Nullable Object... parameters)
      throws SQLException {
    try (PreparedStatement statement = prepare(connection, sql, parameters);
        ResultSet result = statement.executeQuery()) {
      List<T> rows = new ArrayList<>();
      while (result.next()) {
        rows.add(row.read(result));
      }
      return rows;
    }
  }

  static <T> Optional<T> row(
      Connection connection, String sql, Row<T> row, @Nullable Object... parameters)
      throws SQLException {
    return rows(connection, sql, row, parameters).stream().findFirst();
  }

  /** How many rows it changed. */
  static int update(Connection connection, String sql, @Nullable Object... parameters)
      throws SQLException {
    try (PreparedStatement statement = prepare(connection, sql, parameters)) {
      return statement.executeUpdate();
    }
  }

  /** Whatever it answers is passed over. */
  static void execute(Connection connection, String sql) throws SQLException {
    try (PreparedStatement statement = connection.prepareStatement(sql)) {
      statement.execute();
    }
  }

  private static PreparedStatement prepare(
      Connection connection, String sql, @Nullable Object... parameters) throws SQLException {
    PreparedStatement statement = connection.prepareStatement(sql);
    for (int i = 0; i < parameters.length; i++) {
      statement.setObject(i + 1, parameters[i]);
    }
    return statement;
  }
}
