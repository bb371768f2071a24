package org.fieldwright.adapters.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import io.zonky.test.db.postgres.embedded.EmbeddedPostgres;
import java.io.IOException;
import java.sql.Connection;
import java.sql.SQLException;
import org.fieldwright.core.BadInput;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

/** A PostgreSQL server of its own, started by the test; each store has a schema there. */
class ServerStoreTest extends StoreContract {
  private static EmbeddedPostgres server;
  private static int schemas;
  private String schema;

  @BeforeAll
  static void start() throws IOException {
    server = EmbeddedPostgres.builder().start();
  }

  @AfterAll
  static void stop() throws IOException {
    server.close();
  }

  @Override
  Store fresh() {
    schema = "s" + ++schemas;
    execute("create schema " + schema);
    return again();
  }

  @Override
  Store again() {
    return Stores.server(url(schema), CLOCK);
  }

  private static String url(String schema) {
    return server.getJdbcUrl("postgres", "postgres") + "&currentSchema=" + schema;
  }

  private static void execute(String sql) {
    try (Connection c = server.getPostgresDatabase().getConnection()) {
      c.createStatement().execute(sql);
    } catch (SQLException e) {
      throw new IllegalStateException(e);
    }
  }

  @Test
  void aServerThatCannotBeReachedIsNamedWithoutItsPassword() {
    String url = "jdbc:postgresql://localhost:1/magnets?user=me&password=geheim";
    assertThatThrownBy(() -> Stores.server(url, CLOCK))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("jdbc:postgresql://localhost:1/magnets")
        .hasMessageNotContaining("geheim");
  }

  @Test
  void anAddressOfAnotherKindIsRefused() {
    for (String url :
        new String[] {"jdbc:mysql://x/y?password=geheim", "jdbc:postgresql:///?a=%"}) {
      assertThatThrownBy(() -> Stores.server(url, CLOCK))
          .isInstanceOf(BadInput.class)
          .hasMessageContaining("jdbc:postgresql://HOST/DATABASE")
          .hasMessageNotContaining("geheim");
    }
  }

  @Test
  void aDatabaseThatHoldsSomethingElseIsLeftAlone() throws SQLException {
    execute("create schema foreign_one");
    execute("create table foreign_one.magnet (id int)");
    assertThatThrownBy(() -> Stores.server(url("foreign_one"), CLOCK))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("empty database");
    try (Connection c = server.getPostgresDatabase().getConnection()) {
      var tables = c.getMetaData().getTables(null, "foreign_one", null, null);
      assertThat(tables.next()).isTrue();
      assertThat(tables.getString("TABLE_NAME")).isEqualTo("magnet");
    }
  }

  /** A session of the administrator's may commit to memory only; ours must not. */
  @Test
  void whatIsAcknowledgedIsOnTheDiskWhateverTheServersDefault() throws Exception {
    execute("alter database postgres set synchronous_commit = off");
    execute(
        "create function %1$s.on_disk() returns trigger language plpgsql as $$ begin"
                .formatted(schema)
            + " if current_setting('synchronous_commit') <> 'on' then raise 'in memory only'; end if;"
            + " return new; end $$");
    execute(
        "create trigger t before insert on %1$s.magnet for each row execute function %1$s.on_disk()"
            .formatted(schema));
    try (Store other = again()) {
      other.save(new Magnet("second", "", 0));
    } finally {
      execute("alter database postgres reset synchronous_commit");
    }
  }
}
