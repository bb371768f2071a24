package org.fieldwright.core.harmonic;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.atomic.AtomicReferenceArray;
import org.fieldwright.core.geometry.Vec3;
import org.jspecify.annotations.Nullable;

/**
 * The factorised design matrix of a sampling: the solid harmonics at its points, weighted, in the
 * order of {@link Term#index()}, as orthonormal columns. Depends on the geometry alone, so one
 * design serves every survey taken the same way.
 *
 * <p>A term is unseen where the rule for equal angles hides it, or where less than {@link
 * #LEAST_REMAINDER} of its column is left after projection on the terms before it: its coefficient
 * would carry the noise a thousandfold.
 *
 * <p>Where the points are complete equal turns of the same probes, the orders decouple and each is
 * factorised on its own (see {@link TurningGrid}); otherwise the whole matrix is. Both routes agree
 * to rounding.
 */
public final class HarmonicDesign {
  /** Smallest part of a column, relative to its norm, that makes its term seen. */
  public static final double LEAST_REMAINDER = 1e-3;

  /** Rows whose harmonics are evaluated before they go into the columns, for the cache's sake. */
  private static final int TOGETHER = 64;

  private final Sampling sampling;
  private final SolidHarmonics basis;
  private final OrthonormalColumns columns;
  private final List<Term> terms;
  private final Set<Term> unseen;
  private final int[] columnsUpToDegree;
  private final @Nullable AngularSupport turns; // of complete equal turns; else null
  private final AtomicReferenceArray<@Nullable TurningFit> fits;

  private HarmonicDesign(
      Sampling sampling,
      SolidHarmonics basis,
      OrthonormalColumns columns,
      List<Term> terms,
      Set<Term> unseen,
      @Nullable AngularSupport turns) {
    this.turns = turns;
    fits = new AtomicReferenceArray<>(basis.degree() + 1);
    this.sampling = sampling;
    this.basis = basis;
    this.columns = columns;
    this.terms = List.copyOf(terms);
    this.unseen = unseen;
    columnsUpToDegree = new int[basis.degree() + 1];
    for (Term t : terms) {
      for (int n = t.n(); n <= basis.degree(); n++) {
        columnsUpToDegree[n]++;
      }
    }
  }

  /**
   * Factorises by the fastest route that fits the points.
   *
   * @param degree highest degree
   * @param referenceRadius R0, m
   * @param support of the array's angles; null for free points
   */
  public static HarmonicDesign of(
      Sampling sampling, int degree, double referenceRadius, @Nullable AngularSupport support) {
    if (support != null) {
      TurningGrid grid = TurningGrid.find(sampling, support);
      if (grid != null) {
        return grid.factorise(sampling, new SolidHarmonics(degree, referenceRadius), support);
      }
    }
    return general(sampling, degree, referenceRadius, support);
  }

  /** Factorises the whole matrix, whatever the points. */
  static HarmonicDesign general(
      Sampling sampling, int degree, double referenceRadius, @Nullable AngularSupport support) {
    SolidHarmonics basis = new SolidHarmonics(degree, referenceRadius);
    List<Term> seen = new ArrayList<>();
    for (int k = 0; k < basis.count(); k++) {
      if (support == null || !support.hides(Term.at(k))) {
        seen.add(Term.at(k));
      }
    }
    int rows = sampling.size();
    OrthonormalColumns columns = new OrthonormalColumns(rows, Math.min(rows, seen.size()));
    boolean[] kept = columns.appendAll(weighted(sampling, basis, seen), LEAST_REMAINDER);
    Assembly assembly = new Assembly();
    int place = 0;
    for (int k = 0; k < basis.count(); k++) {
      boolean hidden = place == seen.size() || seen.get(place).index() != k;
      assembly.note(Term.at(k), !hidden && kept[place++]);
    }
    return assembly.finish(sampling, basis, columns, null);
  }

  /** The weighted harmonics of these terms, by column. */
  private static double[][] weighted(Sampling sampling, SolidHarmonics basis, List<Term> terms) {
    int rows = sampling.size();
    double[][] columns = new double[terms.size()][rows];
    double[][] values = new double[TOGETHER][basis.count()];
    for (int from = 0; from < rows; from += TOGETHER) {
      int to = Math.min(from + TOGETHER, rows);
      for (int i = from; i < to; i++) {
        Vec3 p = sampling.point(i);
        basis.evaluate(p.x(), p.y(), p.z(), values[i - from], 0);
      }
      for (int k = 0; k < columns.length; k++) {
        int index = terms.get(k).index();
        for (int i = from; i < to; i++) {
          columns[k][i] = values[i - from][index] * sampling.rootWeight(i);
        }
      }
    }
    return columns;
  }

  /** Gathers which terms were kept. */
  static final class Assembly {
    private final List<Term> terms = new ArrayList<>();
    private final Set<Term> unseen = new TreeSet<>(Comparator.comparingInt(Term::index));

    void note(Term term, boolean kept) {
      if (kept) {
        terms.add(term);
      } else {
        unseen.add(term);
      }
    }

    HarmonicDesign finish(
        Sampling sampling,
        SolidHarmonics basis,
        OrthonormalColumns columns,
        @Nullable AngularSupport turns) {
      return new HarmonicDesign(sampling, basis, columns, terms, unseen, turns);
    }
  }

  public Sampling sampling() {
    return sampling;
  }

  public int degree() {
    return basis.degree();
  }

  /** R0, m. */
  public double referenceRadius() {
    return basis.referenceRadius();
  }

  /** The term of each column. */
  public List<Term> terms() {
    return terms;
  }

  /** Terms up to the degree that the sampling does not determine. */
  public Set<Term> unseen() {
    return unseen;
  }

  /** Terms up to a lower degree that the sampling does not determine. */
  public Set<Term> unseen(int degree) {
    Set<Term> low = new TreeSet<>(Comparator.comparingInt(Term::index));
    for (Term t : unseen) {
      if (t.n() <= degree) {
        low.add(t);
      }
    }
    return low;
  }

  /** How many columns the terms up to this degree have. */
  public int columnCount(int degree) {
    return columnsUpToDegree[degree];
  }

  /** The fit by transforms over the angles; null where the points are no complete equal turns. */
  @Nullable TurningFit turningFit(int degree) {
    TurningFit fit = fits.get(degree);
    if (fit == null && turns != null) {
      fit = TurningFit.of(sampling, degree, basis.referenceRadius(), turns);
      fits.set(degree, fit);
    }
    return fit;
  }

  OrthonormalColumns columns() {
    return columns;
  }

  /** A copy of the columns up to a degree, to which more can be appended. */
  public OrthonormalColumns columns(int degree) {
    return columns.first(columnCount(degree));
  }
}
