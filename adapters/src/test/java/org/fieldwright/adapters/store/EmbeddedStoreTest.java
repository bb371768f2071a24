package org.fieldwright.adapters.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.util.Arrays;
import java.util.List;
import org.fieldwright.core.BadInput;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.sqlite.SQLiteDataSource;

class EmbeddedStoreTest extends StoreContract {
  @TempDir Path folder;

  private int stores;

  @Override
  Store fresh() throws IOException {
    stores++;
    return again();
  }

  @Override
  Store again() throws IOException {
    return Stores.embedded(data(), CLOCK);
  }

  private Path data() {
    return folder.resolve("data" + stores);
  }

  /** Bytes 18 and 19 are 2 in a file with a write-ahead log: SQLite database file format, 1.3.3. */
  @Test
  void theFileHasAWriteAheadLogAndIsOneFileAtRest() throws IOException {
    store.close();
    byte[] header = Files.readAllBytes(data().resolve(Stores.FILE));
    assertThat(Arrays.copyOfRange(header, 18, 20)).containsExactly(2, 2);
    assertThat(data()).isDirectoryContaining("glob:**fieldwright.db");
    try (var files = Files.list(data())) {
      assertThat(files).hasSize(1);
    }
  }

  @Test
  void aStoreOfALaterProgramIsLeftAlone() throws Exception {
    store.close();
    Path file = data().resolve(Stores.FILE);
    try (Connection c = DriverManager.getConnection("jdbc:sqlite:" + file)) {
      c.createStatement()
          .executeUpdate(
              "insert into flyway_schema_history select 99, '99', 'later', type, 'V99__later.sql',"
                  + " 1, installed_by, installed_on, 1, 1 from flyway_schema_history limit 1");
    }
    assertThatThrownBy(this::again)
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("another version of Fieldwright");
  }

  /** Flyway wrote the history, so it is the referee of our reading of it. */
  @Test
  void thatAllScriptsHaveRunIsKnownWithoutFlywayAndOnlyThen() throws Exception {
    store.close();
    try (var scripts =
        Files.list(Path.of(Database.class.getResource("/" + Scripts.PLACE).toURI()))) {
      assertThat(scripts.map(p -> String.valueOf(p.getFileName())).sorted())
          .containsExactlyElementsOf(Scripts.NAMES);
    }
    SQLiteDataSource source = new SQLiteDataSource();
    source.setUrl("jdbc:sqlite:" + data().resolve(Stores.FILE));
    assertThat(Scripts.allRun(source)).isTrue();
    for (String change :
        List.of(
            "set success = 0",
            "set checksum = checksum + 1 where installed_rank = 1",
            "set script = 'V2__other.sql' where installed_rank = 2")) {
      try (Connection c = source.getConnection()) {
        c.setAutoCommit(false);
        c.createStatement().executeUpdate("update flyway_schema_history " + change);
        c.commit();
      }
      assertThat(Scripts.allRun(source)).as(change).isFalse();
      Files.delete(data().resolve(Stores.FILE));
      again().close();
    }
    assertThat(Scripts.allRun(source)).isTrue();
  }

  @Test
  void aFileThatIsNoStoreIsAFaultThatNamesIt() throws IOException {
    Path other = Files.createDirectory(folder.resolve("other"));
    Files.writeString(
        other.resolve(Stores.FILE), "not a database, and long enough to be read\n".repeat(50));
    assertThatThrownBy(() -> Stores.embedded(other, CLOCK))
        .isInstanceOf(StoreFault.class)
        .hasMessageContaining(Stores.FILE);
  }
}
