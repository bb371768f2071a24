package org.fieldwright.adapters.store;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.charset.StandardCharsets;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.adapters.Sha256;
import org.fieldwright.adapters.text.Found;
import org.jspecify.annotations.Nullable;

/** The tables of results and the contents they were computed from. */
final class ResultRows {
  private ResultRows() {}

  static List<KeptResult> results(Connection connection, String magnet) throws SQLException {
    Map<String, List<Result.Input>> inputs = inputs(connection, magnet);
    return Sql.rows(
            connection,
            "select id, visit, service, program_version, options, seed, iterations, computed, answer"
                + " from result where magnet = ?",
            r -> kept(magnet, inputs.getOrDefault(r.getString(1), List.of()), r),
            magnet)
        .stream()
        .sorted(
            Comparator.comparing((KeptResult k) -> k.result().computed())
                .reversed()
                .thenComparing(KeptResult::id))
        .toList();
  }

  private static KeptResult kept(String magnet, List<Result.Input> inputs, ResultSet r)
      throws SQLException {
    return new KeptResult(
        r.getString(1),
        new Result(
            magnet,
            r.getString(2),
            r.getString(3),
            inputs,
            r.getString(4),
            r.getString(5),
            whole(r, 6),
            whole(r, 7),
            Instant.parse(r.getString(8))),
        r.getString(9));
  }

  private static @Nullable Long whole(ResultSet row, int column) throws SQLException {
    long value = row.getLong(column);
    return row.wasNull() ? null : Long.valueOf(value);
  }

  /** By result, in their order. */
  private static Map<String, List<Result.Input>> inputs(Connection connection, String magnet)
      throws SQLException {
    Map<String, List<Result.Input>> inputs = new HashMap<>();
    Sql.rows(
        connection,
        "select result, path, sha256 from result_input where magnet = ? order by position",
        r ->
            inputs
                .computeIfAbsent(r.getString(1), id -> new ArrayList<>())
                .add(new Result.Input(r.getString(2), r.getString(3))),
        magnet);
    return inputs;
  }

  static KeptResult keep(Connection connection, Result given, byte[] answer) throws SQLException {
    Result result = checked(connection, given);
    Allowed.content("the answer", answer.length);
    String sha256 = DocumentRows.keep(connection, answer);
    String id = id(result, sha256);
    int added =
        Sql.update(
            connection,
            "insert into result (magnet, id, visit, service, program_version, options, seed,"
                + " iterations, computed, answer) values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
                + " on conflict do nothing",
            result.magnet(),
            id,
            result.visit(),
            result.service(),
            result.version(),
            result.options(),
            result.seed(),
            result.iterations(),
            result.computed().toString(),
            sha256);
    for (int i = 0; added == 1 && i < result.inputs().size(); i++) {
      Sql.update(
          connection,
          "insert into result_input (magnet, result, position, path, sha256)"
              + " values (?, ?, ?, ?, ?)",
          result.magnet(),
          id,
          i,
          result.inputs().get(i).path(),
          result.inputs().get(i).sha256());
    }
    return new KeptResult(id, result, sha256);
  }

  private static Result checked(Connection connection, Result given) throws SQLException {
    Allowed.text("service", given.service());
    Allowed.text("version", given.version());
    VisitRows.requireVisit(connection, given.magnet(), given.visit());
    for (Result.Input input : given.inputs()) {
      Allowed.text("input", input.path());
      if (DocumentRows.content(connection, input.sha256()).isEmpty()) {
        throw Found.instead(
            "store", "input " + input.path(), input.sha256(), "a content that was saved before");
      }
    }
    return new Result(
        given.magnet(),
        given.visit(),
        given.service(),
        given.inputs(),
        given.version(),
        Allowed.object("options", given.options()),
        given.seed(),
        given.iterations(),
        given.computed());
  }

  /** Everything but where it is filed: the same result keeps its name in another store. */
  private static String id(Result result, String answer) {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    node.put("service", result.service()).put("version", result.version());
    node.put("options", result.options()).put("seed", result.seed());
    node.put("iterations", result.iterations()).put("computed", result.computed().toString());
    ArrayNode inputs = node.putArray("inputs");
    result.inputs().forEach(i -> inputs.add(i.path()).add(i.sha256()));
    return Sha256.of(node.put("answer", answer).toString().getBytes(StandardCharsets.UTF_8));
  }
}
