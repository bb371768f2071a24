package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.IronColumns.Column;
import org.fieldwright.core.correction.IronSystem.PocketId;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.correction.ShimProblem.Requirement;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.MeanSquareForm;
import org.fieldwright.core.magnetostatics.DipoleSeries;
import org.fieldwright.core.magnetostatics.PointDipole;
import org.jspecify.annotations.Nullable;

/** Turns iron, coils and a request into a {@link ShimProblem}, and values into what to load. */
final class ShimProblemBuilder {
  private static final double WIDTH_PRICE = 100; // ppm of objective per ppm missed
  private static final long COIL_ITERATIONS = 50;
  private static final int SERIES_DEGREE = 20;
  private static final int ROUNDING_ROOM = 1; // pieces beside the two whole numbers
  private static final double MIRROR_TOLERANCE = 1e-4; // m

  private final IronSystem iron;
  private final Vec3 fieldAxis;
  private final FieldModel model;
  private final ShimRequest request;
  private final Loading expected;
  private final double outermost;
  private final PocketRoom room;
  private final IronColumns pieces;
  private final CoilColumns coils;
  private final List<Integer> upper = new ArrayList<>();
  private final List<String> warnings = new ArrayList<>();

  /**
   * @param expected about what will lie in the pockets: where in its pocket a piece comes to lie
   *     depends on how many do
   */
  ShimProblemBuilder(
      IronSystem iron,
      List<Coil> coils,
      Vec3 fieldAxis,
      FieldModel model,
      ShimRequest request,
      Loading expected) {
    this.iron = iron;
    this.fieldAxis = fieldAxis;
    this.model = model;
    this.request = request;
    this.expected = expected;
    this.outermost = outermost(request);
    this.room = new PocketRoom(iron);
    this.pieces = new IronColumns(iron, fieldAxis, model.centreField(), outermost);
    this.coils = new CoilColumns(coils, request.rules().coilHeadroom());
    for (Pocket pocket : iron.pockets()) {
      requireOutside(pocket);
      room.requireWithin(pocket);
    }
    for (List<Pocket> alike : groups()) {
      addGroup(alike);
    }
  }

  private static double outermost(ShimRequest request) {
    double radius = request.target().requireVolume().outerRadius();
    for (Limit limit : request.constraints()) {
      radius = Math.max(radius, limit.requireVolume().outerRadius());
    }
    return radius;
  }

  private void requireOutside(Pocket pocket) {
    if (pocket.centre().norm() <= outermost) {
      throw new BadInput(
          "iron.pockets: tray %d pocket %d lies %.0f mm from the centre, inside the reach of %.0f mm of limit %s"
              .formatted(
                  pocket.tray(),
                  pocket.number(),
                  pocket.centre().norm() * 1e3,
                  outermost * 1e3,
                  request.target().id()));
    }
  }

  /** Radius of the farthest target from the centre, m. */
  double outermost() {
    return outermost;
  }

  List<String> warnings() {
    return warnings;
  }

  ShimProblem problem() {
    JointColumns columns = new JointColumns(pieces, coils);
    int n = columns.count();
    double[] mass = new double[n];
    double[] up = new double[n];
    double all = 0;
    for (int j = 0; j < n; j++) {
      if (j < pieces.count()) {
        Column c = pieces.column(j);
        up[j] = upper.get(j);
        mass[j] = c.putsIn() ? c.pieces() * c.piece().mass() : 0;
        all += up[j] * mass[j];
      } else {
        up[j] = coils.upper(j - pieces.count());
      }
    }
    boolean leastIron = request.keepsTarget();
    List<Requirement> requirements = new ArrayList<>();
    requirements.add(
        new Requirement(
            request.target().requireVolume(),
            leastIron ? request.requiredPpm() : Double.POSITIVE_INFINITY));
    for (Limit limit : request.constraints()) {
      requirements.add(new Requirement(limit.requireVolume(), width(limit)));
    }
    IronRules rules = new IronRules(iron, pieces, room, warnings);
    return new ShimProblem(
        columns,
        new double[n],
        up,
        mass,
        now(),
        requirements,
        rules.caps(request.rules(), columns),
        leastIron ? 1 : 0,
        leastIron ? 0 : 1,
        leastIron ? Math.max(1, all) : WIDTH_PRICE);
  }

  /** Peak to peak that a limit allows; one of an RMS says nothing of it. */
  private static double width(Limit limit) {
    return limit.measure() == Limit.Measure.PEAK_TO_PEAK ? limit.limit() : Double.POSITIVE_INFINITY;
  }

  /** Pockets that are changed alike: each by itself, or with its mirror image in the mid-plane. */
  private List<List<Pocket>> groups() {
    if (!request.rules().symmetric()) {
      return iron.pockets().stream().map(List::of).toList();
    }
    List<List<Pocket>> groups = new ArrayList<>();
    int alone = 0;
    for (Pocket pocket : iron.pockets()) {
      Vec3 c = pocket.centre();
      Vec3 mirrored = new Vec3(c.x(), c.y(), -c.z());
      List<Pocket> images =
          iron.pockets().stream()
              .filter(p -> p.tray() == pocket.tray())
              .filter(p -> p.centre().minus(mirrored).norm() < MIRROR_TOLERANCE)
              .toList();
      if (images.isEmpty()) {
        alone++;
      } else if (images.get(0).equals(pocket)) {
        groups.add(List.of(pocket));
      } else if (c.z() > 0) {
        groups.add(List.of(pocket, images.get(0)));
      }
    }
    if (alone > 0) {
      warnings.add(
          "%d pockets have no mirror image at −z in their tray and stay as they are"
              .formatted(alone));
    }
    return groups;
  }

  private void addGroup(List<Pocket> alike) {
    for (Pocket pocket : alike) {
      if (iron.forbidden().contains(new PocketId(pocket.tray(), pocket.number()))) {
        return;
      }
    }
    for (PieceType piece : iron.pieces()) {
      int free = Integer.MAX_VALUE;
      int installed = Integer.MAX_VALUE;
      int capacity = 0;
      for (Pocket pocket : alike) {
        int here = iron.installed().count(room.place(pocket, piece));
        capacity = Math.max(capacity, room.pieces(pocket, piece));
        free = Math.min(free, room.pieces(pocket, piece) - here);
        installed = Math.min(installed, here);
      }
      if (free > 0) {
        pieces.add(alike, piece, true, outwards(alike, piece), capacity);
        upper.add(free);
      }
      if (request.rules().removal() && installed > 0) {
        pieces.add(alike, piece, false, outwards(alike, piece), capacity);
        upper.add(installed);
      }
    }
  }

  /** Where the next piece goes in or comes out: at the open end of the stack that is expected. */
  private List<Double> outwards(List<Pocket> alike, PieceType piece) {
    double each = piece.size() == null ? 0 : piece.size().radial();
    List<Double> outwards = new ArrayList<>();
    for (Pocket pocket : alike) {
      double below = 0;
      for (PieceType earlier : iron.pieces().subList(0, iron.pieces().indexOf(piece) + 1)) {
        PieceType.Size size = earlier.size();
        below += size == null ? 0 : size.radial() * expected.count(room.place(pocket, earlier));
      }
      outwards.add(iron.outwards(pocket, Math.max(0, below - each / 2), each));
    }
    return outwards;
  }

  /**
   * The field that the columns start from. Where stacks grow from a wall what they do is not
   * proportional to their counts; the columns are its slope about the expected loading, and this
   * holds the rest.
   */
  private Expansion now() {
    if (iron.stack() == IronSystem.Stack.CENTRED) {
      return model.ppm();
    }
    Expansion change =
        new PlanForecast(iron, fieldAxis)
            .changePpm(model.centreField(), iron.installed(), expected, outermost);
    DipoleSeries slopes = new DipoleSeries(change.degree(), outermost);
    for (int j = 0; j < pieces.count(); j++) {
      Column c = pieces.column(j);
      int difference = 0;
      for (Place place : c.places()) {
        int put = expected.count(place) - iron.installed().count(place);
        difference = c.putsIn() ? Math.max(0, put) : Math.min(0, put);
      }
      for (PointDipole dipole : difference == 0 ? List.<PointDipole>of() : c.dipoles()) {
        slopes.add(new PointDipole(dipole.position(), dipole.moment().times(difference)));
      }
    }
    double perTesla = 1e6 / model.centreField();
    return model.ppm().plus(change).minus(slopes.along(fieldAxis).times(perTesla));
  }

  /** The loading that column values stand for. */
  Loading loading(double[] values) {
    Map<Place, Integer> counts = new TreeMap<>(iron.installed().counts());
    for (int j = 0; j < pieces.count(); j++) {
      int units = (int) Math.round(values[j]);
      Column c = pieces.column(j);
      for (Place place : units == 0 ? List.<Place>of() : c.places()) {
        counts.merge(place, c.putsIn() ? units : -units, Integer::sum);
      }
    }
    return new Loading(counts);
  }

  /** Of a search; coils alone are soon as good as their steps allow. */
  long mostIterations() {
    long asked = request.mostIterations();
    return pieces.count() == 0 ? Math.min(asked, COIL_ITERATIONS) : asked;
  }

  /** Currents that column values stand for, A by coil. */
  Map<String, Double> currents(double[] values) {
    return coils.currents(values, pieces.count());
  }

  /** Coils beyond what was to be kept. */
  List<String> coilWarnings(Map<String, Double> currents) {
    return coils.warnings(currents);
  }

  /** The problem with all but few pockets shut. */
  ShimProblem fewestPockets(ShimProblem problem, double[] relaxed, Progress progress) {
    return new FewestPockets(problem, pocketOf(problem)).chosen(relaxed, progress);
  }

  /** No loading does with fewer pockets; null where none keeps what is required. */
  @Nullable Integer pocketBound(ShimProblem problem, Progress progress) {
    int[] touched = new int[problem.size()];
    for (int j = 0; j < pieces.count(); j++) {
      touched[j] = pieces.column(j).places().size();
    }
    return new FewestPockets(problem, pocketOf(problem)).bound(touched, progress);
  }

  /** Number of the pocket by column; −1 for coils. */
  private int[] pocketOf(ShimProblem problem) {
    int[] pocket = new int[problem.size()];
    Arrays.fill(pocket, -1);
    Map<PocketId, Integer> numbers = new HashMap<>();
    for (int j = 0; j < pieces.count(); j++) {
      Place place = pieces.column(j).places().get(0);
      PocketId id = new PocketId(place.tray(), place.pocket());
      Integer known = numbers.putIfAbsent(id, numbers.size());
      pocket[j] = known == null ? numbers.size() - 1 : known;
    }
    return pocket;
  }

  /** Fractions of pieces of the best promise, from those of the relaxation on. */
  double[] robustCounts(ShimProblem problem, double[] relaxed, Progress progress) {
    IronSystem.Errors errors = iron.errors();
    if (errors == null) {
      throw new BadInput(
          "--goal robust: the magnet file states no iron.errors to be robust against; give piece_mass_percent, position_mm, …");
    }
    List<SampledWidths> widths = new ArrayList<>();
    for (int q = 0; q < problem.requirements().size(); q++) {
      widths.add(
          new SampledWidths(problem, q, pieces, errors, RobustCounts.DRAWS, RobustCounts.SEED));
    }
    return new RobustCounts(problem, widths).from(relaxed, progress);
  }

  /** The width over draws of errors. */
  SampledWidths sampledWidths(IronSystem.Errors errors, int draws, long seed) {
    return new SampledWidths(problem(), 0, pieces, errors, draws, seed);
  }

  /** The mean square that fractions are rounded by: of the target's surface. */
  ColumnSquare roundingSquare(ShimProblem wanted) {
    return square(wanted, request.target(), Limit.Measure.SURFACE_RMS, series());
  }

  /**
   * The mean square by the measure of each limit, first the target, over the volume where it is a
   * peak-to-peak limit.
   */
  List<ColumnSquare> squares(ShimProblem problem) {
    List<Expansion> series = series();
    List<ColumnSquare> squares = new ArrayList<>();
    squares.add(square(problem, request.target(), series));
    request.constraints().forEach(limit -> squares.add(square(problem, limit, series)));
    return squares;
  }

  private ColumnSquare square(ShimProblem problem, Limit limit, List<Expansion> series) {
    return square(
        problem,
        limit,
        limit.measure() == Limit.Measure.SURFACE_RMS
            ? Limit.Measure.SURFACE_RMS
            : Limit.Measure.VOLUME_RMS,
        series);
  }

  private ColumnSquare square(
      ShimProblem problem, Limit limit, Limit.Measure measure, List<Expansion> series) {
    Expansion like = Expansion.zero(SERIES_DEGREE, outermost);
    return ColumnSquare.of(
        problem.now(), series, MeanSquareForm.of(limit.requireVolume(), measure, like));
  }

  /** What one unit of each column adds, as expansions good to {@link #SERIES_DEGREE}; ppm. */
  private List<Expansion> series() {
    List<Expansion> series = new ArrayList<>();
    for (int j = 0; j < pieces.count(); j++) {
      series.add(new Expansion(outermost, pieces.series(j, SERIES_DEGREE, outermost)[0]));
    }
    for (int j = 0; j < coils.count(); j++) {
      series.add(coils.series(j).withReferenceRadius(outermost).withDegree(SERIES_DEGREE));
    }
    return series;
  }

  /** The problem of finding whole pieces near given fractions that make the same field. */
  ShimProblem roundingOf(ShimProblem problem, double[] fractions) {
    double[] low = new double[fractions.length];
    double[] high = new double[fractions.length];
    Expansion wanted = Expansion.zero(SERIES_DEGREE, outermost);
    List<Expansion> series = series();
    for (int j = 0; j < fractions.length; j++) {
      boolean coil = j >= pieces.count();
      low[j] = coil ? 0 : Math.floor(fractions[j]) - ROUNDING_ROOM;
      high[j] = coil ? Double.MAX_VALUE : Math.ceil(fractions[j]) + ROUNDING_ROOM;
      wanted = wanted.plus(series.get(j).times(fractions[j]));
    }
    return problem.differenceFrom(wanted.times(-1), low, high);
  }

  /** ppm by which point forms in use may be wrong. */
  double pointErrorPpm() {
    return pieces.pointErrorPpm();
  }
}
