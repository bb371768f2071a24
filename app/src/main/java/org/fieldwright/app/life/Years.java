package org.fieldwright.app.life;

import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.TreeSet;
import java.util.function.Function;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.LoadedRound;
import org.fieldwright.core.correction.PieceType;
import org.fieldwright.core.history.DriftReading;
import org.fieldwright.core.history.MagnetEvent;
import org.fieldwright.core.history.MagnetLife;
import org.fieldwright.core.history.Year;
import org.fieldwright.core.homogeneity.LimitResult;
import org.jspecify.annotations.Nullable;

/** What each year of a magnet amounts to. */
final class Years {
  private static final double GRAMS = 1e3;

  private Years() {}

  /** Every year in which anything was measured, loaded or written down. */
  static List<Year> of(
      List<Visits.Visit> visits,
      List<Life.Survey> surveys,
      @Nullable MagnetLife judged,
      List<MagnetEvent> events,
      List<LoadedRound> rounds,
      @Nullable IronSystem iron) {
    TreeSet<Integer> all = new TreeSet<>();
    visits.forEach(v -> first(v).ifPresent(t -> all.add(year(t))));
    events.forEach(e -> all.add(year(e.time())));
    rounds.forEach(r -> all.add(year(r.time())));
    return all.stream().map(y -> one(y, visits, surveys, judged, events, rounds, iron)).toList();
  }

  private static Year one(
      int year,
      List<Visits.Visit> visits,
      List<Life.Survey> surveys,
      @Nullable MagnetLife judged,
      List<MagnetEvent> events,
      List<LoadedRound> rounds,
      @Nullable IronSystem iron) {
    List<Assessment> found =
        surveys.stream()
            .filter(s -> s.measured().at() != null && year(s.measured().at()) == year)
            .map(Life.Survey::found)
            .filter(Objects::nonNull)
            .toList();
    Assessment last = found.isEmpty() ? null : found.get(found.size() - 1);
    List<LoadedRound.Step> steps =
        rounds.stream()
            .filter(r -> year(r.time()) == year)
            .flatMap(r -> r.steps().stream())
            .toList();
    Double field = last == null ? null : last.model().centreField();
    return new Year(
        year,
        (int) visits.stream().filter(v -> first(v).map(Years::year).orElse(0) == year).count(),
        found.size(),
        last == null ? List.of() : limits(found, last),
        field,
        last == null || field == null ? null : field * last.magnet().array().gammaMHzPerT(),
        judged == null ? null : lastDrift(judged, year),
        steps.stream().mapToInt(s -> Math.max(0, s.count())).sum(),
        steps.stream().mapToInt(s -> Math.max(0, -s.count())).sum(),
        grams(steps, iron, 1),
        grams(steps, iron, -1),
        events.stream().filter(e -> year(e.time()) == year).toList(),
        judged == null
            ? List.of()
            : judged.judgements().stream()
                .filter(j -> j.changed() && year(j.snapshot().time()) == year)
                .toList());
  }

  private static List<Year.OfLimit> limits(List<Assessment> found, Assessment last) {
    List<Year.OfLimit> limits = new ArrayList<>();
    for (LimitResult result : last.limits()) {
      if (result.valuePpm() != null) {
        double least =
            found.stream()
                .flatMap(a -> a.limits().stream())
                .filter(r -> r.limit().id().equals(result.limit().id()))
                .map(LimitResult::valuePpm)
                .filter(Objects::nonNull)
                .mapToDouble(Double::doubleValue)
                .min()
                .orElse(result.valuePpm());
        limits.add(new Year.OfLimit(least, result));
      }
    }
    return limits;
  }

  private static @Nullable DriftReading lastDrift(MagnetLife judged, int year) {
    DriftReading last = null;
    for (MagnetLife.DriftJudgement d : judged.drifts()) {
      last = year(d.reading().time()) == year ? d.reading() : last;
    }
    return last;
  }

  private static double grams(List<LoadedRound.Step> steps, @Nullable IronSystem iron, int sign) {
    if (iron == null) {
      return 0;
    }
    Map<String, PieceType> pieces =
        iron.pieces().stream().collect(Collectors.toMap(PieceType::id, Function.identity()));
    double sum = 0;
    for (LoadedRound.Step s : steps) {
      PieceType piece = pieces.get(s.place().piece());
      if (piece != null) {
        sum += GRAMS * piece.mass() * Math.max(0, sign * s.count());
      }
    }
    return sum;
  }

  private static Optional<Instant> first(Visits.Visit visit) {
    return Stream.concat(visit.surveys().stream(), visit.logs().stream())
        .map(Visits.Measured::at)
        .filter(Objects::nonNull)
        .min(Comparator.naturalOrder());
  }

  private static int year(Instant time) {
    return time.atZone(ZoneOffset.UTC).getYear();
  }
}
