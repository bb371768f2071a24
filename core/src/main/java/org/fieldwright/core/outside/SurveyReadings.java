package org.fieldwright.core.outside;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import java.util.stream.Stream;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.SolidHarmonics;
import org.fieldwright.core.outside.OutsideReadings.Patterns;
import org.fieldwright.core.outside.OutsideReadings.Rows;
import org.fieldwright.core.outside.OutsideReadings.Terms;
import org.fieldwright.core.reading.FittedSurvey;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.Survey;
import org.fieldwright.core.reading.VettedSurvey.Used;
import org.jspecify.annotations.Nullable;

/**
 * The readings of one survey, or of two, as a search for sources outside takes them. Readings set
 * aside are not among them. Values are ppm of the (earlier) centre field.
 *
 * @param readings to search in
 * @param basis what they are
 */
public record SurveyReadings(OutsideReadings readings, Basis basis) {

  /**
   * Of harmonics that are free beside the sources unless a person decides: what coils, warming and
   * a setting of gradients change between two surveys, and what is least known of a magnet.
   */
  public static final int LOWEST_DEGREE = 2;

  private static final double SAME_PLACE = 1e-5; // m
  private static final double MOST_OF_THEM = 0.75;
  private static final int UNKNOWNS = 4; // of one source along the field

  /** What the readings are. */
  public enum Basis {
    /** One survey: the magnet's own field is told from a source by its harmonics alone. */
    ONE_SURVEY("one_survey"),
    /** Later less earlier, place by place: the magnet cancels. */
    DIFFERENCE("difference"),
    /** Both surveys in one fit, the magnet's harmonics common, as their places differ. */
    BOTH_TOGETHER("both_together");

    private final String id;

    Basis(String id) {
      this.id = id;
    }

    /** In documents. */
    public String id() {
      return id;
    }
  }

  /** Two readings of one place. */
  private record Pair(Used before, Used after) {}

  /**
   * One survey.
   *
   * @param axis unit vector along the main field
   * @param stated what a reading is worth
   * @param degree of the harmonics beside the sources; null = by the evidence, from {@link
   *     #LOWEST_DEGREE} on
   */
  public static SurveyReadings of(
      FittedSurvey survey, Vec3 axis, ProbeArray.Uncertainty stated, @Nullable Integer degree) {
    FieldModel model = survey.model();
    List<Used> used = survey.vetted().used();
    double scatter = scatter(stated, model.residualRmsPpm());
    double[] weight = weights(used, typical(used, List.of()));
    Rows rows = rows(used, weight, model.centreField(), true);
    ArrayErrors errors = new ArrayErrors(model, used, kind(survey));
    errors.scatter(stated, scatter, weight);
    return made(
        rows,
        new Patterns(errors.ofArray(stated, 1), List.of()),
        new Terms(axis, model.centreField(), scatter),
        degree,
        model.ppm().degree(),
        Basis.ONE_SURVEY);
  }

  /**
   * What came between an earlier survey and a later one of the same magnet.
   *
   * @param sameArray whether the errors of the array's probes were the same in both and cancel
   *     where the places are the same
   */
  public static SurveyReadings between(
      FittedSurvey before,
      FittedSurvey after,
      Vec3 axis,
      ProbeArray.Uncertainty stated,
      @Nullable Integer degree,
      boolean sameArray) {
    List<Pair> pairs = pairs(before.vetted().used(), after.vetted().used());
    int fewer = Math.min(before.vetted().used().size(), after.vetted().used().size());
    double scatter =
        scatter(
            stated,
            Math.sqrt(0.5)
                * Math.hypot(before.model().residualRmsPpm(), after.model().residualRmsPpm()));
    Terms terms = new Terms(axis, before.model().centreField(), scatter);
    return pairs.size() >= MOST_OF_THEM * fewer
        ? difference(before, after, pairs, terms, sameArray ? onlyAngles(stated) : stated, degree)
        : together(before, after, terms, stated, degree);
  }

  private static ProbeArray.Uncertainty onlyAngles(ProbeArray.Uncertainty stated) {
    return new ProbeArray.Uncertainty(stated.readingPpm(), null, stated.angle(), null);
  }

  private static SurveyReadings difference(
      FittedSurvey before,
      FittedSurvey after,
      List<Pair> pairs,
      Terms terms,
      ProbeArray.Uncertainty stated,
      @Nullable Integer degree) {
    List<Used> earlier = pairs.stream().map(Pair::before).toList();
    List<Used> later = pairs.stream().map(Pair::after).toList();
    double typical = typical(earlier, later);
    double[] first = weights(earlier, typical);
    double[] second = weights(later, typical);
    Rows from = rows(earlier, first, terms.centreField(), true);
    Rows to = rows(later, second, terms.centreField(), true);
    double[] change = to.ppm();
    for (int i = 0; i < change.length; i++) {
      change[i] -= from.ppm()[i];
      second[i] = 1 / Math.hypot(1 / first[i], 1 / second[i]);
    }
    ArrayErrors errors = new ArrayErrors(before.model(), later, kind(after));
    return made(
        new Rows(to.points(), change, second, to.feels()),
        new Patterns(errors.ofArray(stated, 2), errors.placement()),
        terms,
        degree,
        Math.min(before.model().ppm().degree(), after.model().ppm().degree()),
        Basis.DIFFERENCE);
  }

  private static SurveyReadings together(
      FittedSurvey before,
      FittedSurvey after,
      Terms terms,
      ProbeArray.Uncertainty stated,
      @Nullable Integer degree) {
    List<Used> earlier = before.vetted().used();
    List<Used> later = after.vetted().used();
    double typical = typical(earlier, later);
    Rows from = rows(earlier, weights(earlier, typical), terms.centreField(), false);
    Rows to = rows(later, weights(later, typical), terms.centreField(), true);
    ArrayErrors errorsFrom = new ArrayErrors(before.model(), earlier, kind(before));
    ArrayErrors errorsTo = new ArrayErrors(before.model(), later, kind(after));
    errorsFrom.scatter(stated, terms.scatter(), from.rootWeight());
    errorsTo.scatter(stated, terms.scatter(), to.rootWeight());
    List<double[]> ofStatedSize = new ArrayList<>();
    errorsFrom.ofArray(stated, 1).forEach(p -> ofStatedSize.add(joined(p, later.size(), false)));
    errorsTo.ofArray(stated, 1).forEach(p -> ofStatedSize.add(joined(p, earlier.size(), true)));
    List<double[]> ofAnySize = magnet(before.model(), from, to);
    errorsTo.placement().forEach(p -> ofAnySize.add(joined(p, earlier.size(), true)));
    return made(
        joined(from, to),
        new Patterns(ofStatedSize, ofAnySize),
        terms,
        degree,
        after.model().ppm().degree(),
        Basis.BOTH_TOGETHER);
  }

  private static Survey.Kind kind(FittedSurvey survey) {
    return survey.vetted().survey().kind();
  }

  /** The magnet's own harmonics, the same in both surveys. */
  private static List<double[]> magnet(FieldModel model, Rows from, Rows to) {
    SolidHarmonics basis = new SolidHarmonics(model.ppm().degree(), model.ppm().referenceRadius());
    Vec3[] points = joined(from, to).points();
    List<double[]> columns = new ArrayList<>();
    for (int k = 0; k < basis.count(); k++) {
      columns.add(new double[points.length]);
    }
    for (int i = 0; i < points.length; i++) {
      double[] values = basis.evaluate(points[i]);
      for (int k = 0; k < values.length; k++) {
        columns.get(k)[i] = values[k];
      }
    }
    return columns;
  }

  private static SurveyReadings made(
      Rows rows,
      Patterns patterns,
      Terms terms,
      @Nullable Integer degree,
      int fitted,
      Basis basis) {
    int lowest = degree == null ? LOWEST_DEGREE : degree;
    int highest = degree == null ? Math.max(LOWEST_DEGREE, fitted) : degree;
    int needed = (lowest + 1) * (lowest + 1) + patterns.ofAnySize().size() + UNKNOWNS;
    if (rows.points().length < 2 * needed) {
      throw new BadInput(
          "%d readings are too few to look for something outside beside harmonics to degree %d: at least %d are needed"
              .formatted(rows.points().length, lowest, 2 * needed));
    }
    return new SurveyReadings(new OutsideReadings(rows, patterns, terms, lowest, highest), basis);
  }

  private static double scatter(ProbeArray.Uncertainty stated, double left) {
    return stated.readingPpm() == null ? left : stated.readingPpm();
  }

  private static Rows rows(List<Used> used, double[] weight, double centreField, boolean feels) {
    Vec3[] points = new Vec3[used.size()];
    double[] ppm = new double[points.length];
    boolean[] all = new boolean[points.length];
    for (int i = 0; i < points.length; i++) {
      points[i] = used.get(i).reading().position();
      ppm[i] = 1e6 * (used.get(i).field() / centreField - 1);
      all[i] = feels;
    }
    return new Rows(points, ppm, weight, all);
  }

  private static double typical(List<Used> some, List<Used> more) {
    return Reading.typicalDeviation(
        Stream.concat(some.stream(), more.stream()).map(Used::reading).toList());
  }

  private static double[] weights(List<Used> used, double typical) {
    return used.stream().mapToDouble(u -> u.reading().rootWeight(typical)).toArray();
  }

  private static List<Pair> pairs(List<Used> before, List<Used> after) {
    List<Pair> pairs = new ArrayList<>();
    for (Used late : after) {
      for (Used early : before) {
        if (isSamePlace(early.reading(), late.reading())) {
          pairs.add(new Pair(early, late));
          break;
        }
      }
    }
    return pairs;
  }

  private static boolean isSamePlace(Reading a, Reading b) {
    return a.position().minus(b.position()).norm() < SAME_PLACE
        && Objects.equals(a.probe(), b.probe());
  }

  private static Rows joined(Rows from, Rows to) {
    int n = from.points().length;
    int all = n + to.points().length;
    Vec3[] points = Arrays.copyOf(from.points(), all);
    double[] ppm = Arrays.copyOf(from.ppm(), all);
    double[] weight = Arrays.copyOf(from.rootWeight(), all);
    boolean[] feels = Arrays.copyOf(from.feels(), all);
    System.arraycopy(to.points(), 0, points, n, all - n);
    System.arraycopy(to.ppm(), 0, ppm, n, all - n);
    System.arraycopy(to.rootWeight(), 0, weight, n, all - n);
    System.arraycopy(to.feels(), 0, feels, n, all - n);
    return new Rows(points, ppm, weight, feels);
  }

  /** A column of one survey's rows among those of both, zero on the other's. */
  private static double[] joined(double[] column, int others, boolean othersFirst) {
    double[] whole = new double[column.length + others];
    System.arraycopy(column, 0, whole, othersFirst ? others : 0, column.length);
    return whole;
  }
}
