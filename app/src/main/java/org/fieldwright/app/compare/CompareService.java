package org.fieldwright.app.compare;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.fieldwright.adapters.files.LoadingFile;
import org.fieldwright.adapters.yaml.YamlEdit;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.app.compare.Comparison.Extent;
import org.fieldwright.app.compare.Comparison.Round;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.PlanForecast;
import org.fieldwright.core.correction.RoundReview;
import org.fieldwright.core.correction.Suspicion;
import org.fieldwright.core.correction.WeighedStacks;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldChange;
import org.fieldwright.core.homogeneity.HomogeneityAssessment;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.homogeneity.Rms;
import org.fieldwright.core.homogeneity.SurfaceExtremes;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.ProbeArray;
import org.jspecify.annotations.Nullable;

/** Holds two surveys of a magnet against each other, and a round of loading against its sheet. */
public final class CompareService {
  /** Misfit per degree of freedom above which the sheet does not explain what was found. */
  private static final double UNEXPLAINED = 2;

  private final AssessService assess;

  public CompareService(AssessService assess) {
    this.assess = assess;
  }

  /**
   * Compares.
   *
   * @param loaded list of the changes made between the surveys; null where none is stated
   */
  public Comparison compare(
      Path before,
      Path after,
      Path magnetFile,
      @Nullable Path loaded,
      AssessService.Options options) {
    return compare(
        assess.assess(before, magnetFile, options),
        assess.assess(after, magnetFile, options),
        loaded);
  }

  /**
   * Enters the strengths that a round taught into {@code iron.strength} of the magnet file; all
   * else in it stays as it is. Refused where the round is not understood: a strength learned from a
   * mistake of loading would spoil every plan after it.
   */
  public static void writeStrengths(Path magnetFile, Comparison comparison) {
    Round round = comparison.round();
    if (round == null) {
      throw new BadInput("--write-strength: needs --loaded; two surveys alone teach no strength");
    }
    RoundReview review = round.review();
    if (isSuspected(review) || isUnexplained(review)) {
      throw new BadInput(
          "--write-strength: the round is not as its sheet says (%s), so the strength it teaches is not to be relied on; nothing was written"
              .formatted(
                  isSuspected(review)
                      ? review.suspicions().get(0).kind().words()
                      : "more is left than chance leaves"));
    }
    Map<String, String> learned = new LinkedHashMap<>();
    for (RoundReview.Strength s : review.strengths()) {
      learned.put(s.piece(), String.format(Locale.ROOT, "%.4f", s.learned()));
    }
    YamlEdit.setNumbers(magnetFile, List.of("iron", "strength"), learned);
  }

  /** Compares surveys already assessed, by the same magnet file. */
  public static Comparison compare(Assessment before, Assessment after, @Nullable Path loaded) {
    Magnet magnet = before.magnet();
    ProbeArray.Uncertainty stated = magnet.array().uncertainty();
    FieldChange change =
        FieldChange.between(
            before.model(), after.model(), orZero(stated.position()), orZero(stated.angle()));
    List<String> warnings = new ArrayList<>();
    before.warnings().forEach(w -> warnings.add(before.vetted().survey().file() + ": " + w));
    after.warnings().forEach(w -> warnings.add(after.vetted().survey().file() + ": " + w));
    if (before.model().ppm().degree() != after.model().ppm().degree()) {
      warnings.add(
          "The surveys were fitted to degrees %d and %d; terms are compared up to degree %d."
              .formatted(
                  before.model().ppm().degree(),
                  after.model().ppm().degree(),
                  change.ppm().degree()));
    }
    Round round = loaded == null ? null : review(before, change, loaded, warnings);
    return new Comparison(
        before, after, change, extents(change.ppm(), magnet.limits()), round, warnings);
  }

  private static double orZero(@Nullable Double stated) {
    return stated == null ? 0 : stated;
  }

  private static Round review(
      Assessment before, FieldChange change, Path loaded, List<String> warnings) {
    Magnet magnet = before.magnet();
    IronSystem iron = magnet.iron();
    if (iron == null) {
      throw new BadInput(
          "the magnet file has no section 'iron': --loaded needs its pockets and pieces");
    }
    LoadingFile.Round sheet = LoadingFile.readRound(loaded, iron);
    if (sheet.before().equals(sheet.after())) {
      throw new BadInput(loaded + ": found no change, expected at least one row with a count");
    }
    WeighedStacks weighed = LoadingFile.readWeighed(loaded, iron);
    warnings.addAll(weighed.doubts(iron));
    RoundReview review =
        RoundReview.of(
            iron,
            magnet.fieldAxis(),
            before.model().centreField(),
            change,
            sheet.before(),
            sheet.after(),
            weighed);
    doubts(review, warnings);
    return new Round(
        String.valueOf(loaded.getFileName()),
        iron,
        sheet.before(),
        sheet.after(),
        review,
        predicted(before, iron, sheet, weighed),
        extents(left(change, review.predicted()), magnet.limits()),
        extents(left(change, review.explained()), magnet.limits()));
  }

  private static void doubts(RoundReview review, List<String> warnings) {
    if (isUnexplained(review) && !isSuspected(review)) {
      warnings.add(
          String.format(
              Locale.ROOT,
              "The sheet does not explain what was found (misfit %.1f per term, about 1 expected) and no single mistake of loading does: was something else changed?",
              perTerm(review)));
    }
  }

  private static double perTerm(RoundReview review) {
    return review.misfit() / Math.max(1, review.degreesOfFreedom());
  }

  private static boolean isUnexplained(RoundReview review) {
    return perTerm(review) > UNEXPLAINED;
  }

  private static boolean isSuspected(RoundReview review) {
    return !review.suspicions().isEmpty()
        && review.suspicions().get(0).evidence() > Suspicion.STRONG;
  }

  private static List<LimitResult> predicted(
      Assessment before, IronSystem iron, LoadingFile.Round sheet, WeighedStacks weighed) {
    Magnet magnet = before.magnet();
    double reach = magnet.reach(before.model().measuredRadius());
    return HomogeneityAssessment.assess(
        new PlanForecast(iron, magnet.fieldAxis())
            .after(before.model(), sheet.before(), sheet.after(), weighed, reach),
        magnet.limits());
  }

  private static Expansion left(FieldChange change, Expansion expected) {
    double[] rest = change.ppm().minus(expected).coefficients();
    for (int i = 0; i < rest.length; i++) {
      rest[i] = change.terms().contains(i) ? rest[i] : 0;
    }
    return new Expansion(change.ppm().referenceRadius(), rest);
  }

  private static List<Extent> extents(Expansion field, List<Limit> limits) {
    List<Extent> extents = new ArrayList<>();
    for (Limit limit : limits) {
      if (limit.volume() != null) {
        extents.add(
            new Extent(
                limit.id(),
                SurfaceExtremes.of(field, limit.volume()).peakToPeak(),
                Rms.of(field, limit.volume(), Limit.Measure.SURFACE_RMS)));
      }
    }
    return extents;
  }
}
