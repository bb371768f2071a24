package org.fieldwright.core.history;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.history.Judgement.FieldBasis;
import org.fieldwright.core.history.MagnetLife.Decay;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.stability.Estimate;
import org.jspecify.annotations.Nullable;

/** Goes through a life once, survey by survey. */
final class LifeJudge {
  static final int FEWEST_FOR_SCATTER = 4; // visits

  private static final double YEAR = 365.25 * 86_400; // s
  private static final int FIELD_TERM = 0;

  /** No reader resolves less; keeps fields without any stated uncertainty comparable. */
  private static final double RESOLUTION_PPM = 1e-4;

  private final List<Snapshot> surveys;
  private final List<MagnetEvent> events;
  private final List<Limit> limits;
  private final double radius;
  private final double field;
  private final List<ShapeState> states = new ArrayList<>();
  private final List<@Nullable ShapeIron> iron = new ArrayList<>();
  private final int degree;
  private final Scatter[] shapeScatter;
  private final double widening;
  private final Scatter fieldScatter;
  private final List<Judgement> judgements = new ArrayList<>();
  private final List<Decay> decays = new ArrayList<>();

  LifeJudge(
      List<Snapshot> surveys,
      List<MagnetEvent> events,
      List<Limit> limits,
      double placement,
      double turn) {
    this.surveys = surveys;
    this.events = events;
    this.limits = limits.stream().filter(l -> l.volume() != null).toList();
    Snapshot first = surveys.get(0);
    radius = first.model().ppm().referenceRadius();
    field = first.model().centreField();
    double before = field;
    for (Snapshot s : surveys) {
      states.add(ShapeState.of(s.model(), radius, field, placement, turn));
      iron.add(ShapeIron.of(s.loadedSince(), radius, before / field));
      before = s.model().centreField();
    }
    degree = states.stream().mapToInt(s -> s.ppm().degree()).max().orElse(0);
    shapeScatter = findShapeScatter();
    widening = findWidening();
    fieldScatter = findFieldScatter();
  }

  double radius() {
    return radius;
  }

  double field() {
    return field;
  }

  Scatter[] shapeScatter() {
    return shapeScatter;
  }

  Scatter fieldScatter() {
    return fieldScatter;
  }

  List<Judgement> judgements() {
    return judgements;
  }

  List<Decay> decays() {
    return decays;
  }

  private double years(int k) {
    return Duration.between(surveys.get(0).time(), surveys.get(k).time()).toMillis() / 1e3 / YEAR;
  }

  private double ppm(int k) {
    return 1e6 * (surveys.get(k).model().centreField() / field - 1);
  }

  private double statedVariance(int k) {
    double u = surveys.get(k).model().standardUncertainty(Term.at(FIELD_TERM));
    return u * u + RESOLUTION_PPM * RESOLUTION_PPM;
  }

  private double ironPpm(int k) {
    ShapeIron loaded = iron.get(k);
    return loaded == null ? 0 : loaded.ppm().coefficient(FIELD_TERM);
  }

  private double ironVariance(int k) {
    ShapeIron loaded = iron.get(k);
    return loaded == null ? 0 : loaded.covariance(FIELD_TERM, FIELD_TERM);
  }

  private List<MagnetEvent> between(int k) {
    Instant after = surveys.get(k - 1).time();
    Instant until = surveys.get(k).time();
    return events.stream()
        .filter(e -> e.time().isAfter(after) && !e.time().isAfter(until))
        .toList();
  }

  private boolean isSetAnew(int k) {
    return between(k).stream().anyMatch(e -> e.kind().setsField());
  }

  private Scatter[] findShapeScatter() {
    List<List<Scatter.Difference>> byDegree = new ArrayList<>();
    for (int n = 0; n <= degree; n++) {
      byDegree.add(new ArrayList<>());
    }
    for (int k = 1; k < surveys.size(); k++) {
      ShapeRun.Difference d = sinceLast(k, Scatter.unknown(degree));
      for (int n = 1; n <= degree; n++) {
        ShapeRun.Difference block = d.ofDegree(n);
        if (block.terms().length > 0) {
          byDegree.get(n).add(Scatter.Difference.of(block.value(), block.covariance(), 2));
        }
      }
    }
    return byDegree.stream()
        .map(list -> Scatter.of(list, FEWEST_FOR_SCATTER - 1))
        .toArray(Scatter[]::new);
  }

  private ShapeRun.Difference sinceLast(int k, Scatter[] scatter) {
    ShapeRun one = new ShapeRun(scatter, 1);
    one.add(states.get(k - 1));
    return one.difference(states.get(k), iron.get(k));
  }

  /** What is left after the scatter by degree, as degrees hang together; never below 1. */
  private double findWidening() {
    List<Double> misfit = new ArrayList<>();
    List<Integer> terms = new ArrayList<>();
    for (int k = 1; k < surveys.size(); k++) {
      ShapeChange change =
          new ShapeRun(shapeScatter, 1).judge(sinceLast(k, shapeScatter), degree, radius);
      if (change != null) {
        misfit.add(change.misfit());
        terms.add(change.terms());
      }
    }
    return misfit.size() < FEWEST_FOR_SCATTER - 1
        ? 1
        : Math.max(1, Scatter.middleRatio(misfit, terms));
  }

  /** From how far each survey lies from the line through its neighbours. */
  private Scatter findFieldScatter() {
    List<Scatter.Difference> differences = new ArrayList<>();
    for (int k = 1; k + 1 < surveys.size(); k++) {
      double whole = years(k + 1) - years(k - 1);
      if (isSetAnew(k) || isSetAnew(k + 1) || !(whole > 0)) {
        continue;
      }
      double a = (years(k) - years(k - 1)) / whole;
      double off =
          ppm(k)
              - ironPpm(k)
              - (1 - a) * ppm(k - 1)
              - a * (ppm(k + 1) - ironPpm(k) - ironPpm(k + 1));
      double stated =
          statedVariance(k)
              + (1 - a) * (1 - a) * (statedVariance(k - 1) + ironVariance(k))
              + a * a * (statedVariance(k + 1) + ironVariance(k + 1));
      double times = 1 + (1 - a) * (1 - a) + a * a;
      differences.add(Scatter.Difference.of(off, stated, times));
    }
    return Scatter.of(differences, FEWEST_FOR_SCATTER - 2);
  }

  void judge() {
    ShapeRun run = new ShapeRun(shapeScatter, widening);
    run.add(states.get(0));
    FieldRun line = new FieldRun(0);
    for (int k = 1; k < surveys.size(); k++) {
      ShapeRun.Difference d = run.difference(states.get(k), iron.get(k));
      ShapeChange shape = run.judge(d, degree, radius);
      Map<String, ScalarChange> byLimit = new LinkedHashMap<>();
      for (Limit limit : shape == null ? List.<Limit>of() : limits) {
        byLimit.put(limit.id(), run.judge(d, states.get(k), limit));
      }
      ScalarChange centre = isSetAnew(k) ? null : line.judge(k);
      FieldBasis basis =
          isSetAnew(k)
              ? FieldBasis.SET_ANEW
              : centre == null ? FieldBasis.NO_RATE_YET : FieldBasis.JUDGED;
      Judgement judged = corrected(k, shape, byLimit, centre, basis);
      judgements.add(judged);
      if (judged.shapeChanged() || iron.get(k) != null) {
        run = new ShapeRun(shapeScatter, widening);
      }
      run.add(states.get(k));
      if (isSetAnew(k) || (judged.field() != null && judged.field().changed())) {
        decays.add(line.decay());
        line = new FieldRun(k);
      } else {
        line.add(k);
      }
    }
    decays.add(line.decay());
  }

  /** All questions of one survey, corrected for having asked them together. */
  private Judgement corrected(
      int k,
      @Nullable ShapeChange shape,
      Map<String, ScalarChange> byLimit,
      @Nullable ScalarChange centre,
      FieldBasis basis) {
    List<Double> chances = new ArrayList<>();
    chances.add(shape == null ? 1 : shape.chance());
    chances.add(centre == null ? 1 : centre.chance());
    byLimit.values().forEach(c -> chances.add(c.chance()));
    double[] p = Holm.adjusted(chances.stream().mapToDouble(Double::doubleValue).toArray());
    int at = 2;
    for (Map.Entry<String, ScalarChange> e : byLimit.entrySet()) {
      e.setValue(e.getValue().corrected(p[at++]));
    }
    double u =
        Math.sqrt(
            statedVariance(k)
                + statedVariance(k - 1)
                + ironVariance(k)
                + 2 * fieldScatter.variance());
    return new Judgement(
        surveys.get(k),
        surveys.get(k - 1),
        between(k),
        shape == null ? null : shape.corrected(p[0]),
        byLimit,
        new Estimate(ppm(k) - ppm(k - 1) - ironPpm(k), u),
        centre == null ? null : centre.corrected(p[1]),
        basis);
  }

  /** The centre field since it was last set, or found changed; loaded iron gives a new level. */
  private final class FieldRun {
    private final FieldLine line = new FieldLine();
    private final Instant from;
    private Instant to;
    private int level;

    FieldRun(int k) {
      from = surveys.get(k).time();
      to = from;
      put(k);
    }

    private double variance(int k) {
      return statedVariance(k) + fieldScatter.variance();
    }

    private void put(int k) {
      line.add(years(k), ppm(k), variance(k), level);
      to = surveys.get(k).time();
    }

    void add(int k) {
      level += iron.get(k) == null ? 0 : 1;
      put(k);
    }

    @Nullable ScalarChange judge(int k) {
      Estimate expected = line.at(years(k), level);
      if (expected == null) {
        return null;
      }
      double variance = variance(k);
      double u =
          Math.sqrt(variance + expected.uncertainty() * expected.uncertainty() + ironVariance(k));
      return ScalarChange.of(
          ppm(k),
          expected.value() + ironPpm(k),
          u,
          fieldScatter.degreesOfFreedom(fieldScatter.variance() / variance));
    }

    Decay decay() {
      return new Decay(from, to, line.size(), line.slope());
    }
  }
}
