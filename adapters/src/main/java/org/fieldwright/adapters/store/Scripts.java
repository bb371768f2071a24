package org.fieldwright.adapters.store;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import java.util.zip.CRC32;
import javax.sql.DataSource;

/**
 * The scripts that make the tables, and whether a database has seen exactly these. Flyway finds out
 * the same, but what it takes to wake it is a third of the start of the server; so it is woken only
 * where something differs, and then it decides.
 */
final class Scripts {
  /** Where they lie among the resources. */
  static final String PLACE = "org/fieldwright/adapters/store/common";

  /** By name, in order of their versions. */
  static final List<String> NAMES =
      List.of("V1__magnets.sql", "V2__changes.sql", "V3__accounts.sql");

  private Scripts() {}

  /** Whether the history of the database names these scripts, unchanged, and no others. */
  static boolean allRun(DataSource source) {
    try (Connection connection = source.getConnection();
        Statement statement = connection.createStatement();
        ResultSet history =
            statement.executeQuery(
                "select script, checksum, success from flyway_schema_history"
                    + " order by installed_rank")) {
      List<String> run = new ArrayList<>();
      while (history.next()) {
        run.add(history.getString(1) + " " + history.getInt(2) + " " + history.getBoolean(3));
      }
      return run.equals(NAMES.stream().map(n -> n + " " + checksum(n) + " true").toList());
    } catch (SQLException e) {
      return false; // a new one, or none of ours
    }
  }

  /** CRC-32 of the lines without their ends, as Flyway keeps it. */
  private static int checksum(String name) {
    CRC32 crc = new CRC32();
    try (InputStream in = Scripts.class.getResourceAsStream("/" + PLACE + "/" + name)) {
      if (in == null) {
        throw new IllegalStateException(name + " is missing from the program");
      }
      new String(in.readAllBytes(), StandardCharsets.UTF_8)
          .lines()
          .forEach(line -> crc.update(line.getBytes(StandardCharsets.UTF_8)));
    } catch (IOException e) {
      throw new IllegalStateException(e);
    }
    return (int) crc.getValue();
  }
}
