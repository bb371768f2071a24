package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.fieldwright.adapters.files.InputDigest;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.compare.CompareService;
import org.fieldwright.app.compare.ComparisonJson;
import org.jspecify.annotations.Nullable;

/** Two surveys against each other; each comparison is kept once. */
public final class Comparisons {
  private final NotebookService notebook;
  private final AssessedSurveys surveys;
  private final Findings findings;
  private final Rounds rounds;

  public Comparisons(
      NotebookService notebook, AssessedSurveys surveys, Findings findings, Rounds rounds) {
    this.notebook = notebook;
    this.surveys = surveys;
    this.findings = findings;
    this.rounds = rounds;
  }

  /**
   * Compares.
   *
   * @param changes what was loaded in between; null = nothing is said of it
   * @param isKept false for whoever may only look
   */
  public ObjectNode compare(
      String magnet, String before, String after, @Nullable String changes, boolean isKept)
      throws IOException, NotebookService.Changed {
    Path list = changes == null ? null : notebook.existing(magnet, changes);
    Assessment earlier = surveys.of(magnet, before, null);
    Assessment later = surveys.of(magnet, after, null);
    ObjectNode answer = ComparisonJson.of(CompareService.compare(earlier, later, list));
    if (!isKept) {
      return answer;
    }
    List<Assessment.Input> inputs = new ArrayList<>(earlier.inputs());
    inputs.addAll(later.inputs());
    ObjectNode options = JsonNodeFactory.instance.objectNode().put("before", before);
    options.put("after", after).put("changes", changes);
    options.set("choices_before", surveys.choices(magnet, before).choices().json());
    options.set("choices_after", surveys.choices(magnet, after).choices().json());
    if (list != null) {
      inputs.add(new Assessment.Input(String.valueOf(changes), InputDigest.sha256(list)));
      rounds.surveyed(magnet, String.valueOf(changes), after);
    }
    findings.keepOnce(
        findings.result(
            magnet, findings.visitOf(magnet, after), Findings.Service.COMPARE, inputs, options),
        answer.toString().getBytes(StandardCharsets.UTF_8));
    return answer;
  }
}
