package org.fieldwright.app.server;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.assess.AssessmentJson;
import org.fieldwright.app.notebook.FieldPictures;
import org.fieldwright.app.notebook.NotebookService;
import org.fieldwright.app.team.Role;
import org.fieldwright.app.watch.WatchJson;
import org.fieldwright.app.watch.WatchService;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.Normalisation;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.homogeneity.Limit;

/** What a survey says and looks like, two surveys against each other, and field logs. */
final class FieldRoutes {
  private static final String SURVEY = "/api/v1/magnets/{magnet}/surveys/{file}";
  private static final String[] FIELD = {"changes", "without"};
  private static final double MM = 1e-3;
  private static final int USUAL_STRETCHES = 600;
  private static final int MOST_STRETCHES = 10_000;

  private final Desk desk;

  FieldRoutes(Desk desk) {
    this.desk = desk;
  }

  List<Route> all() {
    return List.of(
        new Route("GET", SURVEY + "/assessment", Role.SEE, this::assess),
        new Route("GET", SURVEY + "/readings", Role.SEE, this::readings),
        new Route("GET", SURVEY + "/surface", Role.SEE, this::surface),
        new Route("GET", SURVEY + "/profile", Role.SEE, this::profile),
        new Route("GET", SURVEY + "/by-radius", Role.SEE, this::byRadius),
        new Route("GET", SURVEY + "/limits", Role.SEE, this::limits),
        new Route("GET", "/api/v1/magnets/{magnet}/comparison", Role.SEE, this::compare),
        new Route(
            "GET", "/api/v1/magnets/{magnet}/logs/{file}/stability", Role.SEE, this::stability),
        new Route("GET", "/api/v1/magnets/{magnet}/logs/{file}/series", Role.SEE, this::series));
  }

  private Answer assess(Call call) throws IOException {
    return Answer.json(
        AssessmentJson.of(
            desk.surveys()
                .of(
                    call.name("magnet"),
                    call.name("file"),
                    call.knowing("degree").whole("degree", 1, AssessService.HIGHEST_DEGREE)),
            Normalisation.SCHMIDT));
  }

  private Answer readings(Call call) throws IOException {
    call.knowing();
    return Answer.json(FieldPictures.readings(found(call)));
  }

  private Assessment found(Call call) throws IOException {
    return desk.surveys().of(call.name("magnet"), call.name("file"), null);
  }

  /** The field that the query describes. */
  private FieldModel field(Call call) throws IOException {
    return desk.surveys()
        .field(
            call.name("magnet"), call.name("file"), call.text(FIELD[0]), terms(call.all(FIELD[1])));
  }

  /** Terms as {@code n,m,cos}. */
  private static List<Term> terms(List<String> given) {
    List<Term> terms = new ArrayList<>();
    for (String text : given) {
      if (!text.matches("[0-9]{1,2},[0-9]{1,2},(cos|sin)")) {
        throw new BadInput("query: found without=%s; right is n,m,cos or n,m,sin".formatted(text));
      }
      String[] parts = text.split(",", -1);
      try {
        terms.add(
            new Term(
                Integer.parseInt(parts[0]),
                Integer.parseInt(parts[1]),
                parts[2].equals("cos") ? Term.Part.COS : Term.Part.SIN));
      } catch (IllegalArgumentException e) {
        throw new BadInput("query: found without=%s; there is no such harmonic".formatted(text), e);
      }
    }
    return terms;
  }

  private Answer surface(Call call) throws IOException {
    call.knowing("changes", "without", "limit", "radius_mm");
    FieldModel model = field(call);
    Double radius = call.number("radius_mm");
    String id = call.text("limit");
    Volume volume =
        id == null
            ? new Volume.Sphere(radius == null ? model.measuredRadius() : within(radius, model))
            : limit(found(call), id).requireVolume();
    return Answer.json(FieldPictures.surface(model, volume));
  }

  private static double within(double radiusMm, FieldModel model) {
    double most = 2 * model.measuredRadius();
    if (!(radiusMm * MM > 0 && radiusMm * MM <= most)) {
      throw new BadInput(
          "query: found radius_mm=%s; right is above 0, at most %.0f (twice what was read)"
              .formatted(radiusMm, most / MM));
    }
    return radiusMm * MM;
  }

  private static Limit limit(Assessment found, String id) {
    return found.magnet().limits().stream()
        .filter(l -> l.id().equals(id) && l.volume() != null)
        .findFirst()
        .orElseThrow(
            () ->
                new BadInput("query: found limit=%s; the magnet has no such volume".formatted(id)));
  }

  private Answer profile(Call call) throws IOException {
    call.knowing("changes", "without", "polar_deg", "azimuth_deg", "x_mm", "y_mm", "z_mm");
    FieldModel model = field(call);
    Vec3 direction =
        Vec3.spherical(
            1,
            Math.toRadians(orZero(call.number("polar_deg"))),
            Math.toRadians(orZero(call.number("azimuth_deg"))));
    Vec3 through =
        new Vec3(
            MM * orZero(call.number("x_mm")),
            MM * orZero(call.number("y_mm")),
            MM * orZero(call.number("z_mm")));
    if (through.norm() >= model.measuredRadius()) {
      throw new BadInput(
          "query: the point lies %.1f mm from the centre; right is within the %.1f mm that were read"
              .formatted(through.norm() / MM, model.measuredRadius() / MM));
    }
    Vec3 nearest = through.minus(direction.times(through.dot(direction)));
    double half = Math.sqrt(model.measuredRadius() * model.measuredRadius() - nearest.dot(nearest));
    return Answer.json(FieldPictures.profile(model, nearest, direction, half));
  }

  private static double orZero(@org.jspecify.annotations.Nullable Double value) {
    return value == null ? 0 : value;
  }

  private Answer byRadius(Call call) throws IOException {
    FieldModel model = field(call.knowing(FIELD));
    return Answer.json(FieldPictures.byRadius(model, found(call).magnet().limits()));
  }

  private Answer limits(Call call) throws IOException {
    FieldModel model = field(call.knowing(FIELD));
    return Answer.json(FieldPictures.limits(model, found(call).magnet().limits()));
  }

  private Answer compare(Call call) throws IOException, NotebookService.Changed {
    call.knowing("before", "after", "changes");
    return Answer.json(
        desk.comparisons()
            .compare(
                call.name("magnet"),
                call.required("before"),
                call.required("after"),
                call.text("changes"),
                call.who().may(Role.MEASURE)));
  }

  private Answer stability(Call call) throws IOException {
    String magnet = call.name("magnet");
    Integer probe = call.knowing("probe").whole("probe", 0, Integer.MAX_VALUE);
    return Answer.json(
        WatchJson.of(
            new WatchService()
                .watch(
                    desk.notebook().existing(magnet, call.name("file")),
                    desk.notebook().magnetFile(magnet),
                    probe)));
  }

  private Answer series(Call call) throws IOException {
    String magnet = call.name("magnet");
    Integer stretches = call.knowing("stretches", "probe").whole("stretches", 1, MOST_STRETCHES);
    return Answer.json(
        FieldPictures.series(
            new WatchService()
                .read(
                    desk.notebook().existing(magnet, call.name("file")),
                    desk.notebook().magnetFile(magnet),
                    call.whole("probe", 0, Integer.MAX_VALUE)),
            stretches == null ? USUAL_STRETCHES : stretches));
  }
}
