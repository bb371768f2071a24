package org.fieldwright.core.outside;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.function.ToDoubleFunction;
import org.fieldwright.core.Progress;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.outside.OutsideFinding.Evidence;
import org.jspecify.annotations.Nullable;

/**
 * Looks for up to three dipoles outside that explain readings better than harmonics alone.
 *
 * <p>For every number of sources, for moments along the field axis and of any direction, and for
 * every degree of the harmonics beside them: starts from all over the space outside, refined by
 * {@link SourceFit}; one more source is looked for beyond the best fits with one less. Explanations
 * are weighed by Schwarz's criterion (Ann. Statist. 6 (1978) 461): χ² + unknowns · ln(readings). A
 * richer one has to be very strongly better, so that two sources are not told where one will do,
 * nor a free direction where the field axis will.
 */
public final class OutsideSearch {
  private static final int MOST_SOURCES = 3;
  private static final int STARTS = 3;
  private static final int PARENTS = 1;

  /** Of the radius read: nearer, a source bends only a few readings. */
  private static final double INNER = 1.1;

  private static final double OUTER = 25;

  /** A source has to show in so many readings for each of its unknowns. */
  private static final double READINGS_PER_UNKNOWN = 2;

  /** Twice the log odds below which one explanation is as good as another (Kass and Raftery). */
  private static final double AS_GOOD = 6;

  /** Of its distance: a place known worse than that is none, and the ellipsoid no longer true. */
  private static final double LOCATED = 1.0 / 3;

  /** Of its size: a piece known worse may as well be a larger one farther away. */
  private static final double SIZED = 0.2;

  private static final double SAME_PLACE = 0.1; // of its distance

  private final OutsideReadings readings;
  private final Progress progress;
  private final double inner;
  private final double outer;
  private final SourceGrid grid;
  private final Map<Integer, Remainder> remainders = new HashMap<>();
  private final List<Candidate> candidates = new ArrayList<>();

  /**
   * An explanation.
   *
   * @param sources null for none
   */
  private record Candidate(
      int degree, boolean directionFree, @Nullable Sources sources, double squares, int unknowns) {
    int count() {
      return sources == null ? 0 : sources.count();
    }
  }

  private OutsideSearch(OutsideReadings readings, Progress progress) {
    this.readings = readings;
    this.progress = progress;
    inner = INNER * readings.radius();
    outer = OUTER * readings.radius();
    grid = readings.grid(outer);
  }

  /**
   * Searches.
   *
   * @param progress hears what is tried; where it says to stop, what is richer goes untried
   */
  public static OutsideFinding in(OutsideReadings readings, Progress progress) {
    return new OutsideSearch(readings, progress).find();
  }

  private OutsideFinding find() {
    for (int n = readings.lowestDegree(); n <= readings.highestDegree(); n++) {
      if (readings.readings() > readings.free(n)) {
        add(n, false, null, remainder(n).squares());
      }
    }
    // A source beside the harmonics needs none that the readings do not ask for without it.
    int enough = best(candidates, criterion(readings.scatter())).degree();
    for (boolean free : new boolean[] {false, true}) {
      int highest = enough;
      double fewer = Double.POSITIVE_INFINITY;
      for (int count = 1; count <= MOST_SOURCES; count++) {
        for (int n = readings.lowestDegree(); n <= highest && !progress.shouldStop(); n++) {
          progress.report(stage(count, free), Double.NaN, Double.NaN);
          search(n, free, count);
        }
        ToDoubleFunction<Candidate> criterion = criterion(scatter());
        int now = count;
        Candidate best =
            candidates.stream()
                .filter(c -> c.count() == now && c.directionFree() == free)
                .min(Comparator.comparingDouble(criterion))
                .orElse(null);
        // Two sources may show where one does not; beyond, one more has to be worth its price.
        if (best == null || (count > 1 && criterion.applyAsDouble(best) > fewer)) {
          break;
        }
        highest = best.degree();
        fewer = criterion.applyAsDouble(best);
      }
    }
    return finding();
  }

  private static String stage(int count, boolean free) {
    return free
        ? "Looking for %d outside, magnetised any way".formatted(count)
        : "Looking for %d outside, magnetised along the field".formatted(count);
  }

  private Remainder remainder(int degree) {
    return remainders.computeIfAbsent(degree, readings::remainder);
  }

  private List<Vec3> directions(boolean free) {
    return free ? List.of(SourceFit.AXES) : List.of(readings.axis());
  }

  private void add(int degree, boolean free, @Nullable Sources sources, double squares) {
    int unknowns = readings.free(degree) + (sources == null ? 0 : sources.unknowns());
    candidates.add(new Candidate(degree, free, sources, squares, unknowns));
  }

  private void search(int degree, boolean free, int count) {
    Remainder remainder = remainder(degree);
    SourceFit fit = new SourceFit(remainder, directions(free), inner, outer);
    List<List<Vec3>> starts = new ArrayList<>();
    if (count == 1) {
      remainder
          .likeliest(grid, null, directions(free), STARTS)
          .forEach(at -> starts.add(List.of(at)));
    }
    known(degree, free, count - 1).stream()
        .limit(PARENTS)
        .forEach(
            parent -> {
              for (Vec3 at : remainder.likeliest(grid, parent, directions(free), STARTS)) {
                List<Vec3> start = new ArrayList<>(parent.positions());
                start.add(at);
                starts.add(start);
              }
            });
    for (List<Vec3> start : starts) {
      if (progress.shouldStop()) {
        return;
      }
      Sources found = fit.from(start);
      int unknowns = readings.free(degree) + (3 + directions(free).size()) * count;
      if (found != null && unknowns < readings.readings() && isNew(found, degree, free)) {
        add(degree, free, found, found.squares());
      }
    }
  }

  /** Fits with so many sources, best first. */
  private List<Sources> known(int degree, boolean free, int count) {
    List<Sources> known = new ArrayList<>();
    for (Candidate c : candidates) {
      if (c.sources() != null
          && c.count() == count
          && c.degree() == degree
          && c.directionFree() == free) {
        known.add(c.sources());
      }
    }
    known.sort(Comparator.comparingDouble(Sources::squares));
    return known;
  }

  private boolean isNew(Sources found, int degree, boolean free) {
    return known(degree, free, found.count()).stream()
        .noneMatch(k -> Math.abs(k.squares() - found.squares()) < 1e-6 * found.squares());
  }

  /** Of a reading of weight one: as stated, or what the best explanation leaves if that is more. */
  private double scatter() {
    double least = Double.POSITIVE_INFINITY;
    for (Candidate c : candidates) {
      int freedom = readings.readings() - c.unknowns();
      least = freedom > 0 ? Math.min(least, c.squares() / freedom) : least;
    }
    return Math.max(readings.scatter(), Double.isInfinite(least) ? 0 : Math.sqrt(least));
  }

  private ToDoubleFunction<Candidate> criterion(double scatter) {
    double logarithm = Math.log(readings.readings());
    return c -> c.squares() / (scatter * scatter) + c.unknowns() * logarithm;
  }

  private static Candidate best(List<Candidate> of, ToDoubleFunction<Candidate> criterion) {
    return of.stream()
        .min(Comparator.comparingDouble(criterion))
        .orElseThrow(() -> new IllegalStateException("nothing to choose from"));
  }

  private OutsideFinding finding() {
    double scatter = scatter();
    ToDoubleFunction<Candidate> criterion = criterion(scatter);
    List<Candidate> best = new ArrayList<>();
    for (int count = 0; count <= MOST_SOURCES; count++) {
      Candidate found = best(count, criterion);
      if (found != null) {
        best.add(found);
      }
    }
    double none = criterion.applyAsDouble(best.get(0));
    Candidate chosen = best.get(0);
    List<Evidence> evidence = new ArrayList<>();
    for (Candidate c : best) {
      if (criterion.applyAsDouble(chosen) - criterion.applyAsDouble(c) > OutsideFinding.STRONG) {
        chosen = c;
      }
      evidence.add(
          new Evidence(
              c.count(),
              c.directionFree(),
              c.degree(),
              c.squares() / (scatter * scatter),
              c.unknowns(),
              none - criterion.applyAsDouble(c)));
    }
    return finding(chosen, scatter, criterion, evidence);
  }

  /** The best with one number of sources that are sources and not odd readings. */
  private @Nullable Candidate best(int count, ToDoubleFunction<Candidate> criterion) {
    Candidate axial = best(count, false, criterion);
    Candidate free = best(count, true, criterion);
    if (axial == null || free == null) {
      return axial == null ? free : axial;
    }
    double better = criterion.applyAsDouble(axial) - criterion.applyAsDouble(free);
    return better > OutsideFinding.STRONG ? free : axial;
  }

  private @Nullable Candidate best(int count, boolean free, ToDoubleFunction<Candidate> criterion) {
    List<Candidate> like =
        candidates.stream()
            .filter(c -> c.count() == count && c.directionFree() == free && isBroad(c))
            .toList();
    return like.isEmpty() ? null : best(like, criterion);
  }

  /** Whether every source lies clear of the readings and shows in enough of them. */
  private boolean isBroad(Candidate c) {
    Sources s = c.sources();
    if (s != null && SourceBound.of(remainder(c.degree()), s, 1) == null) {
      return false;
    }
    for (int k = 0; s != null && k < s.count(); k++) {
      double fourth = 0;
      double[] column = remainder(c.degree()).column(s.positions().get(k), s.moment(k));
      double square = Remainder.squares(column);
      for (double e : column) {
        fourth += e * e * e * e;
      }
      double showing = square * square / fourth;
      double needed = READINGS_PER_UNKNOWN * (3 + s.directions().size());
      if (s.positions().get(k).norm() < inner * (1 + 1e-6) || !(showing >= needed)) {
        return false;
      }
    }
    return true;
  }

  private OutsideFinding finding(
      Candidate chosen,
      double scatter,
      ToDoubleFunction<Candidate> criterion,
      List<Evidence> evidence) {
    Remainder remainder = remainder(chosen.degree());
    List<OutsideSource> sources = sources(remainder, chosen.sources(), scatter);
    List<List<Vec3>> elsewhere = elsewhere(chosen, sources, criterion);
    boolean located =
        elsewhere.isEmpty()
            && sources.stream()
                .allMatch(
                    s ->
                        s.reach() < LOCATED * s.position().norm()
                            && s.sizeUncertainty() < SIZED * s.moment().norm());
    int freedom = Math.max(1, readings.readings() - chosen.unknowns());
    return new OutsideFinding(
        sources.isEmpty()
            ? OutsideFinding.Verdict.NOTHING_SEEN
            : located ? OutsideFinding.Verdict.LOCATED : OutsideFinding.Verdict.NOT_LOCATED,
        sources,
        chosen.directionFree(),
        chosen.degree(),
        scatter,
        Math.sqrt(chosen.squares() / freedom),
        readings.readings(),
        readings.radius(),
        evidence,
        elsewhere,
        LeastIron.of(remainder, scatter));
  }

  private List<OutsideSource> sources(
      Remainder remainder, @Nullable Sources found, double scatter) {
    SourceBound bound = found == null ? null : SourceBound.of(remainder, found, scatter);
    List<OutsideSource> sources = new ArrayList<>();
    for (int k = 0; found != null && bound != null && k < found.count(); k++) {
      sources.add(bound.source(found, k, readings.axis()));
    }
    return sources;
  }

  /** Places of as many sources that explain the readings about as well, each told once. */
  private List<List<Vec3>> elsewhere(
      Candidate chosen, List<OutsideSource> sources, ToDoubleFunction<Candidate> criterion) {
    List<List<Vec3>> told = new ArrayList<>();
    if (sources.isEmpty()) {
      return told;
    }
    candidates.stream()
        .filter(c -> c.count() == chosen.count() && c.directionFree() == chosen.directionFree())
        .filter(c -> criterion.applyAsDouble(c) - criterion.applyAsDouble(chosen) < AS_GOOD)
        .sorted(Comparator.comparingDouble(criterion))
        .filter(this::isBroad)
        .forEach(
            c -> {
              List<Vec3> places = Objects.requireNonNull(c.sources()).positions();
              if (places.stream().anyMatch(p -> isElsewhere(p, sources, told))) {
                told.add(places);
              }
            });
    return told;
  }

  private static boolean isElsewhere(Vec3 p, List<OutsideSource> sources, List<List<Vec3>> told) {
    double near = SAME_PLACE * p.norm();
    return sources.stream().noneMatch(s -> s.position().minus(p).norm() < Math.max(near, s.reach()))
        && told.stream().flatMap(List::stream).noneMatch(t -> t.minus(p).norm() < near);
  }
}
