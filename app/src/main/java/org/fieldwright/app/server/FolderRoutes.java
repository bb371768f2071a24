package org.fieldwright.app.server;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import org.fieldwright.app.notebook.AssessedSurveys;
import org.fieldwright.app.notebook.Findings;
import org.fieldwright.app.notebook.NotebookService;
import org.fieldwright.app.notebook.SurveyChoices;
import org.fieldwright.app.team.Role;
import org.jspecify.annotations.Nullable;

/** Magnets, their files, and what was decided about their surveys. */
final class FolderRoutes {
  private static final String MAGNET = "/api/v1/magnets/{magnet}";

  private final Desk desk;

  FolderRoutes(Desk desk) {
    this.desk = desk;
  }

  List<Route> all() {
    return List.of(
        new Route("GET", "/api/v1/magnets", Role.SEE, call -> Answer.json(desk.overview().all())),
        new Route("POST", "/api/v1/sample", Role.MEASURE, call -> sample()),
        new Route(
            "GET", MAGNET, Role.SEE, call -> Answer.json(desk.overview().of(call.name("magnet")))),
        new Route(
            "GET",
            MAGNET + "/history",
            Role.SEE,
            call -> Answer.json(desk.overview().history(call.name("magnet")))),
        new Route(
            "GET",
            MAGNET + "/life",
            Role.SEE,
            call -> Answer.json(desk.overview().life(call.name("magnet")))),
        new Route(
            "GET",
            MAGNET + "/bore",
            Role.SEE,
            call -> Answer.json(desk.overview().bore(call.name("magnet")))),
        new Route("GET", MAGNET + "/files/{file}", Role.SEE, this::file),
        new Route("PUT", MAGNET + "/files/{file}", Role.MEASURE, this::save),
        new Route("GET", MAGNET + "/tables/{file}/columns", Role.SEE, this::columns),
        new Route("POST", MAGNET + "/tables/{file}/columns", Role.MEASURE, this::confirm),
        new Route("GET", MAGNET + "/surveys/{file}/choices", Role.SEE, this::choices),
        new Route("PUT", MAGNET + "/surveys/{file}/choices", Role.MEASURE, this::choose),
        new Route(
            "GET",
            MAGNET + "/results",
            Role.SEE,
            call -> Answer.json(desk.findings().all(call.name("magnet")))),
        new Route("GET", MAGNET + "/results/{result}", Role.SEE, this::result));
  }

  private Answer sample() throws IOException, NotebookService.Changed {
    return Answer.json(JsonNodeFactory.instance.objectNode().put("id", desk.sample().add()));
  }

  private Answer file(Call call) throws IOException {
    NotebookService.Kept kept = desk.notebook().read(call.name("magnet"), call.name("file"));
    return new Answer(
        200,
        "application/octet-stream",
        kept.content(),
        kept.sha256(),
        null,
        java.util.Map.of(
            "Content-Disposition", "attachment; filename=\"" + call.name("file") + "\""));
  }

  private Answer save(Call call) throws IOException, NotebookService.Changed {
    String file = call.name("file");
    String tag = desk.notebook().save(call.name("magnet"), file, call.body(), call.expected());
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    return Answer.json(200, node.put("file", file).put("sha256", tag), tag);
  }

  private Answer choices(Call call) throws IOException {
    AssessedSurveys.Chosen chosen = desk.surveys().choices(call.name("magnet"), call.name("file"));
    return Answer.json(200, chosen.choices().json(), chosen.sha256());
  }

  private Answer choose(Call call) throws IOException, NotebookService.Changed {
    SurveyChoices choices = SurveyChoices.read(call.body()).withBy(call.who().person());
    String tag =
        desk.surveys().choose(call.name("magnet"), call.name("file"), choices, call.expected());
    return Answer.json(200, choices.json(), tag);
  }

  private Answer result(Call call) throws IOException {
    Findings.Answered answer = desk.findings().answer(call.name("magnet"), call.name("result"));
    return Answer.download("application/octet-stream", answer.content(), answer.name());
  }

  private Answer columns(Call call) throws IOException {
    return Answer.json(desk.columns().preview(call.name("magnet"), call.name("file")));
  }

  private Answer confirm(Call call) throws IOException, NotebookService.Changed {
    Asked asked = Asked.of(call, "columns");
    List<@Nullable String> meanings = new ArrayList<>();
    asked.path("columns").forEach(c -> meanings.add(c.isNull() ? null : c.asText()));
    String file = desk.columns().confirm(call.name("magnet"), call.name("file"), meanings);
    return Answer.json(JsonNodeFactory.instance.objectNode().put("file", file));
  }
}
