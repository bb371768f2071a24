package org.fieldwright.app.notebook;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.Set;
import java.util.TreeSet;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/**
 * What a person decided about one survey.
 *
 * @param degree of the field model; null = by leave-one-out error
 * @param leaveOut rows not to use
 * @param keep rows to use even if they look bad
 * @param by who decided last; null where nobody signs in
 */
public record SurveyChoices(
    @Nullable Integer degree, Set<Integer> leaveOut, Set<Integer> keep, @Nullable String by) {
  public static final SurveyChoices NONE = new SurveyChoices(null, Set.of(), Set.of(), null);

  /** Ends the name of the file beside a survey that keeps them. */
  static final String ENDING = ".choices.json";

  private static final String BY = "by";
  private static final int MOST_ROWS = 100_000;

  public SurveyChoices {
    leaveOut = Set.copyOf(leaveOut);
    keep = Set.copyOf(keep);
  }

  /** The same with another degree, where one is given. */
  SurveyChoices withDegree(@Nullable Integer other) {
    return other == null ? this : new SurveyChoices(other, leaveOut, keep, by);
  }

  /** The same, decided by somebody else. */
  public SurveyChoices withBy(@Nullable String person) {
    return new SurveyChoices(degree, leaveOut, keep, person);
  }

  AssessService.Options options() {
    return new AssessService.Options(degree, leaveOut, keep, null);
  }

  /** How to assess a survey of a magnet folder: as was decided in the notebook, if it was. */
  public static AssessService.Options beside(Path survey) throws IOException {
    Path file = survey.resolveSibling(survey.getFileName() + ENDING);
    return (Files.exists(file) ? read(Files.readAllBytes(file)) : NONE).options();
  }

  /** As it is written. */
  public ObjectNode json() {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    node.put("degree", degree);
    ArrayNode out = node.putArray("leave_out");
    new TreeSet<>(leaveOut).forEach(out::add);
    ArrayNode in = node.putArray("keep");
    new TreeSet<>(keep).forEach(in::add);
    if (by != null) {
      node.put(BY, by);
    }
    return node;
  }

  byte[] bytes() {
    return (json().toPrettyString() + "\n").getBytes(StandardCharsets.UTF_8);
  }

  /** From what a page sends or a file holds. */
  public static SurveyChoices read(byte[] text) {
    try {
      JsonNode node = new ObjectMapper().readTree(text);
      if (node == null || !node.isObject()) {
        throw new BadInput("choices: found no JSON object; right is {degree, leave_out, keep}");
      }
      node.fieldNames()
          .forEachRemaining(
              name -> {
                if (!Set.of("degree", "leave_out", "keep", BY).contains(name)) {
                  throw new BadInput(
                      "choices: found '%s'; known are degree, leave_out, keep, by".formatted(name));
                }
              });
      SurveyChoices choices =
          new SurveyChoices(
              degree(node.path("degree")),
              rows(node, "leave_out"),
              rows(node, "keep"),
              node.path(BY).asText(null));
      for (Integer row : choices.keep()) {
        if (choices.leaveOut().contains(row)) {
          throw new BadInput("choices: row " + row + " is both left out and kept");
        }
      }
      return choices;
    } catch (JsonProcessingException e) {
      throw new BadInput("choices: not JSON: " + e.getOriginalMessage(), e);
    } catch (IOException e) {
      throw new IllegalStateException("reading from memory failed", e);
    }
  }

  private static @Nullable Integer degree(JsonNode node) {
    if (node.isMissingNode() || node.isNull()) {
      return null;
    }
    if (!node.isInt() || node.asInt() < 1 || node.asInt() > AssessService.HIGHEST_DEGREE) {
      throw new BadInput(
          "choices: degree: found %s; a degree is 1 to %d, or null"
              .formatted(node, AssessService.HIGHEST_DEGREE));
    }
    return node.asInt();
  }

  private static Set<Integer> rows(JsonNode node, String field) {
    JsonNode list = node.path(field);
    Set<Integer> rows = new HashSet<>();
    if (list.isMissingNode()) {
      return rows;
    }
    if (!list.isArray() || list.size() > MOST_ROWS) {
      throw new BadInput("choices: %s: expected a list of row numbers".formatted(field));
    }
    for (JsonNode row : list) {
      if (!row.isInt() || row.asInt() < 1) {
        throw new BadInput("choices: %s: found %s; rows count from 1".formatted(field, row));
      }
      rows.add(row.asInt());
    }
    return rows;
  }
}
