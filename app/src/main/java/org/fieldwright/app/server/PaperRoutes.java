package org.fieldwright.app.server;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import org.fieldwright.app.NumberWriting;
import org.fieldwright.app.evidence.VisitFiles;
import org.fieldwright.app.notebook.NotebookService;
import org.fieldwright.app.notebook.Papers;
import org.fieldwright.app.team.Role;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/** The report, the yearly summary, the loading sheet and the bundle of evidence. */
final class PaperRoutes {
  private static final String MAGNET = "/api/v1/magnets/{magnet}";

  private final Desk desk;

  PaperRoutes(Desk desk) {
    this.desk = desk;
  }

  List<Route> all() {
    return List.of(
        new Route("GET", MAGNET + "/report", Role.SEE, this::report),
        new Route("GET", MAGNET + "/years", Role.SEE, this::years),
        new Route("GET", MAGNET + "/sheet", Role.SEE, this::sheet),
        new Route("POST", MAGNET + "/evidence", Role.SIGN, this::evidence));
  }

  /** The n-th {@code changes} and the n-th {@code after} are a round; either may be empty. */
  private static Papers.Chosen chosen(Call call) {
    call.knowing(
        "survey",
        "changes",
        "after",
        "log",
        "site",
        "measured_by",
        "instrument",
        "number",
        "numbers");
    List<String> changes = call.all("changes");
    List<String> after = call.all("after");
    List<Papers.Round> rounds = new ArrayList<>();
    for (int k = 0; k < Math.max(changes.size(), after.size()); k++) {
      Papers.Round round = new Papers.Round(named(changes, k), named(after, k));
      if (round.changes() != null || round.after() != null) {
        rounds.add(round);
      }
    }
    return new Papers.Chosen(
        call.name("magnet"),
        call.required("survey"),
        rounds,
        call.all("log").stream().filter(log -> !log.isEmpty()).toList(),
        new VisitFiles.Stated(
            call.text("site"),
            call.text("measured_by"),
            call.text("instrument"),
            call.text("number")),
        writing(call));
  }

  private static NumberWriting writing(Call call) {
    return NumberWriting.named(call.text("numbers"), "query, numbers");
  }

  private Answer years(Call call) throws IOException {
    call.knowing("numbers");
    return Answer.download(
        "application/pdf",
        desk.papers().years(call.name("magnet"), writing(call)),
        call.name("magnet") + "-years.pdf");
  }

  private static @Nullable String named(List<String> files, int k) {
    return k < files.size() && !files.get(k).isEmpty() ? files.get(k) : null;
  }

  private Answer report(Call call) throws IOException {
    return Answer.download(
        "application/pdf", desk.papers().report(chosen(call)), call.name("magnet") + "-report.pdf");
  }

  private Answer sheet(Call call) throws IOException {
    call.knowing("changes", "format");
    String changes = call.required("changes");
    String format = call.text("format");
    String ending = format == null ? "xlsx" : format;
    if (!ending.equals("xlsx") && !ending.equals("csv")) {
      throw new BadInput("query: found format=%s; right is xlsx or csv".formatted(ending));
    }
    byte[] sheet = desk.papers().sheet(call.name("magnet"), changes, "." + ending);
    return Answer.download(
        ending.equals("csv")
            ? "text/csv; charset=utf-8"
            : "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        sheet,
        changes.replace(".csv", "") + "-sheet." + ending);
  }

  private Answer evidence(Call call) throws IOException, NotebookService.Changed {
    return Answer.download(
        "application/zip",
        desk.papers().evidence(chosen(call), call.who().person()),
        call.name("magnet") + "-evidence.zip");
  }
}
