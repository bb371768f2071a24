package org.fieldwright.core.simulation;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Supplier;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.correction.RoundReview;
import org.fieldwright.core.correction.ShimPlanner;
import org.fieldwright.core.correction.ShimRequest;
import org.fieldwright.core.correction.WeighedStacks;
import org.fieldwright.core.correction.WeighedStacks.Stack;
import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldChange;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.SolidHarmonics;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.SurfaceExtremes;

/**
 * Rounds of correction on a virtual magnet: survey, plan, load, survey again, until a limit is met.
 * The pieces that are loaded are not what the plan takes them for.
 *
 * @param iron as planned with, its errors those that the planner reckons with
 * @param pieces as they really are
 * @param bare field without iron, ppm of the centre field
 * @param centreField T
 * @param limit to be met, peak-to-peak on the sphere that is surveyed
 * @param noisePpm standard deviation of a reading
 * @param seed of the noise
 */
public record ShimCampaign(
    IronSystem iron,
    LoadedIron pieces,
    Expansion bare,
    double centreField,
    Limit limit,
    double noisePpm,
    long seed) {
  private static final int PLANES = 24;
  private static final int ANGLES = 32;
  private static final int SURVEY_DEGREE = 14;
  private static final int TRUE_DEGREE = 24;
  private static final int STAGES = 3;

  /** How the rounds are done. */
  public enum Practice {
    /** Relaxed, rounded, loaded, and again, the strength taken as stated. */
    PLAIN,
    /** Whole pieces planned; the strength learned from each round. */
    LEARNING,
    /**
     * The same, each round loaded in stages, the largest stacks first: what is loaded is weighed,
     * and what is left is planned anew.
     */
    WEIGHING
  }

  private record State(Loading loading, IronSystem believed, FieldModel survey) {}

  /**
   * What the first round sets out to load: it knows nothing yet of the pieces, so that it is the
   * same for whatever pieces the magnet then gets.
   */
  public Loading first(Practice practice, Progress effort) {
    return plan(start(), practice, effort);
  }

  private State start() {
    return new State(Loading.EMPTY, iron, survey(Loading.EMPTY, Draws.of(0)));
  }

  /**
   * The true peak-to-peak before the first round and after each, ppm; ends when the limit is met.
   *
   * @param first what the first round sets out to load
   * @param effort says when each search has done enough; a plain practice searches nothing
   */
  public List<Double> run(
      Practice practice, Loading first, int mostRounds, Supplier<Progress> effort) {
    Draws noise = Draws.of(seed);
    List<Double> widths = new ArrayList<>(List.of(width(Loading.EMPTY)));
    State state = start();
    Loading planned = first;
    while (true) {
      Loading loaded = practice == Practice.WEIGHING ? staged(state, planned, effort) : planned;
      double width = width(loaded);
      widths.add(width);
      if (widths.size() > mostRounds || width <= limit.limit()) {
        return List.copyOf(widths);
      }
      FieldModel after = survey(loaded, noise);
      IronSystem believed =
          practice == Practice.PLAIN ? state.believed() : learned(state, after, loaded);
      state = new State(loaded, believed.withInstalled(loaded), after);
      planned = plan(state, practice, effort.get());
    }
  }

  private Loading plan(State state, Practice practice, Progress effort) {
    return plan(state.believed(), state.survey(), practice == Practice.PLAIN ? STOPPED : effort);
  }

  /** What comes to lie in the pockets if each stage is weighed and what is left planned anew. */
  private Loading staged(State state, Loading first, Supplier<Progress> effort) {
    Loading planned = first;
    Set<Place> done = new HashSet<>();
    double reach = volume().outerRadius();
    for (int stage = 1; stage < STAGES; stage++) {
      done.addAll(largest(state.loading(), planned, done));
      WeighedStacks weighed = weighed(state.loading(), planned, done);
      planned =
          plan(
              weighed.rest(state.believed()),
              weighed.after(state.believed(), pieces.fieldAxis(), state.survey(), reach),
              effort.get());
    }
    return planned;
  }

  /** Of the changes not done yet, the larger half. */
  private static List<Place> largest(Loading from, Loading to, Set<Place> done) {
    List<Place> left = new ArrayList<>(from.differences(to));
    left.removeAll(done);
    left.sort(Comparator.comparingInt((Place p) -> -Math.abs(to.count(p) - from.count(p))));
    return left.subList(0, (left.size() + 1) / 2);
  }

  private WeighedStacks weighed(Loading from, Loading to, Set<Place> done) {
    Map<Place, Stack> stacks = new HashMap<>();
    for (Place p : done) {
      int change = to.count(p) - from.count(p);
      stacks.put(p, new Stack(change, pieces.worth(p, from.count(p), to.count(p))));
    }
    return new WeighedStacks(stacks);
  }

  private Loading plan(IronSystem believed, FieldModel survey, Progress progress) {
    return new ShimPlanner(believed, pieces.fieldAxis(), List.of())
        .plan(survey, ShimRequest.peakToPeak(limit), progress)
        .planned();
  }

  /** What a round taught: the strength, and how well it is known from now on. */
  private IronSystem learned(State before, FieldModel after, Loading loaded) {
    FieldChange change = FieldChange.between(before.survey(), after, 0, 0);
    IronSystem known = before.believed();
    RoundReview review =
        RoundReview.of(
            known,
            pieces.fieldAxis(),
            before.survey().centreField(),
            change,
            before.loading(),
            loaded,
            WeighedStacks.NONE);
    IronSystem.Errors errors = known.errors();
    Map<String, Double> strength = new HashMap<>(known.strength());
    double uncertainty = errors == null ? 0 : errors.strength();
    for (RoundReview.Strength s : review.strengths()) {
      strength.put(s.piece(), s.learned());
      uncertainty = s.uncertainty();
    }
    return known
        .withStrength(strength)
        .withErrors(
            errors == null
                ? null
                : new IronSystem.Errors(errors.pieceMass(), 0, errors.position(), uncertainty));
  }

  private Volume volume() {
    return limit.requireVolume();
  }

  /** The field with a loading, ppm of the bare centre field. */
  private Expansion field(Loading loading) {
    Expansion byIron =
        new VirtualMagnet(pieces.fieldAxis(), pieces.sources(loading))
            .expansion(TRUE_DEGREE, volume().outerRadius());
    return bare.plus(byIron.times(1e6 / centreField));
  }

  private double width(Loading loading) {
    Expansion field = field(loading);
    double shift = field.coefficient(0) * 1e-6;
    return SurfaceExtremes.of(field.withConstant(0).times(1 / (1 + shift)), volume()).peakToPeak();
  }

  /** Readings at Gauss–Legendre planes and equal angles, projected by quadrature. */
  private FieldModel survey(Loading loading, Draws noise) {
    Expansion field = field(loading);
    double radius = volume().outerRadius();
    GaussLegendre planes = GaussLegendre.of(PLANES);
    SolidHarmonics basis = new SolidHarmonics(SURVEY_DEGREE, radius);
    double[] harmonics = new double[basis.count()];
    double[] c = new double[basis.count()];
    for (int i = 0; i < PLANES; i++) {
      for (int k = 0; k < ANGLES; k++) {
        Vec3 p = Vec3.spherical(radius, Math.acos(planes.node(i)), 2 * Math.PI * k / ANGLES);
        double reading = field.at(p) + noisePpm * noise.normal();
        basis.evaluate(p.x(), p.y(), p.z(), harmonics, 0);
        for (int j = 0; j < c.length; j++) {
          int n = Term.at(j).n();
          c[j] += (2 * n + 1) * planes.weight(i) / (2 * ANGLES) * reading * harmonics[j];
        }
      }
    }
    return model(new Expansion(radius, c));
  }

  private FieldModel model(Expansion measured) {
    int size = Term.count(SURVEY_DEGREE);
    double[] covariance = new double[size * size];
    for (int j = 0; j < size; j++) {
      covariance[j * size + j] = noisePpm * noisePpm * (2 * Term.at(j).n() + 1) / (PLANES * ANGLES);
    }
    double shift = measured.coefficient(0) * 1e-6;
    return new FieldModel(
        measured.withConstant(0).times(1 / (1 + shift)),
        centreField * (1 + shift),
        Set.of(),
        new Covariance(size, covariance),
        List.of(),
        1,
        noisePpm,
        PLANES * ANGLES - size,
        measured.referenceRadius(),
        "given");
  }

  /** A search told to stop at once rounds the relaxation as it stands. */
  private static final Progress STOPPED =
      new Progress() {
        @Override
        public void report(String stage, double fraction, double bestSoFar) {}

        @Override
        public boolean shouldStop() {
          return true;
        }
      };
}
