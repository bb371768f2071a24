package org.fieldwright.core.harmonic;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.CommonOps_DDRM;
import org.fieldwright.core.geometry.Vec3;

/**
 * How the array stood in a later survey relative to an earlier one, if the field itself is the
 * same: what one survey can never tell.
 *
 * <p>Each way of handling the array — as before, turned the wrong way, put in end for end, both —
 * is combined with a displacement and a small rotation that are fitted to all terms of degree 1 and
 * up by Gauss–Newton, weighted with the inverse of the two surveys' covariances added. The misfit
 * is then χ² with as many degrees of freedom as terms less six: a large one says that the field
 * changed, whatever the array did.
 *
 * @param handling how the array was handled
 * @param shift of its centre, m, along the earlier survey's axes
 * @param shiftUncertainty one standard uncertainty each, m
 * @param turn rotation vector, rad
 * @param turnUncertainty one standard uncertainty each, rad
 * @param chiSquareUnmoved misfit if it was handled as before and not moved
 * @param chiSquare misfit with this handling, displacement and rotation
 * @param terms how many terms were compared
 */
public record ArrayPlacement(
    Handling handling,
    Vec3 shift,
    Vec3 shiftUncertainty,
    Vec3 turn,
    Vec3 turnUncertainty,
    double chiSquareUnmoved,
    double chiSquare,
    int terms) {

  /** 2 ln of the odds, before any survey, of the array being handled as it always is. */
  public static final double PRIOR = 20;

  /** What was done with the array. */
  public enum Handling {
    AS_BEFORE("as before"),
    TURNED_THE_OTHER_WAY("turned the other way round"),
    END_FOR_END("probes in the opposite order along the bore"),
    BOTH("turned the other way round and end for end");

    private final String words;

    Handling(String words) {
      this.words = words;
    }

    /** In words, for reports. */
    public String words() {
      return words;
    }

    /** Where the array really was when it was thought to be at p. */
    Vec3 place(Vec3 p) {
      return switch (this) {
        case AS_BEFORE -> p;
        case TURNED_THE_OTHER_WAY -> new Vec3(p.x(), -p.y(), p.z());
        case END_FOR_END -> new Vec3(p.x(), p.y(), -p.z());
        case BOTH -> new Vec3(p.x(), -p.y(), -p.z());
      };
    }
  }

  /** Degrees of freedom of {@link #chiSquare}. */
  public int degreesOfFreedom() {
    return terms - 6;
  }

  /** Misfit per degree of freedom; where the field itself changed, that scales all evidence. */
  public double misfit() {
    return chiSquare / Math.max(1, degreesOfFreedom());
  }

  /**
   * 2 ln of the odds of this placement over another of the same two surveys.
   *
   * @param best of all, whose misfit says how well any of them can be believed
   */
  public double evidenceOver(ArrayPlacement other, ArrayPlacement best) {
    return (other.chiSquare - chiSquare) / Math.max(1, best.misfit());
  }

  /** Where a probe that was thought to be at p stood, along the earlier survey's axes. */
  public Vec3 stood(Vec3 p) {
    return handling.place(new Rotation(turn).turn(p).plus(shift));
  }

  /**
   * Every handling with its best displacement and rotation, the likeliest first; handled as before
   * counts as likelier by {@value #PRIOR} unless the fields say otherwise.
   *
   * @param before earlier survey
   * @param after later survey, of the same magnet in the same state
   */
  public static List<ArrayPlacement> rank(FieldModel before, FieldModel after) {
    Comparison comparison = new Comparison(before, after);
    List<ArrayPlacement> ranked = new ArrayList<>();
    for (Handling handling : Handling.values()) {
      ranked.add(comparison.best(handling));
    }
    double least = ranked.stream().mapToDouble(ArrayPlacement::misfit).min().orElse(1);
    ranked.sort(
        Comparator.comparingDouble(
            p ->
                p.chiSquare / Math.max(1, least) - (p.handling == Handling.AS_BEFORE ? PRIOR : 0)));
    return List.copyOf(ranked);
  }

  /** Handlings that explain the change about as well as the likeliest does. */
  public static List<Handling> notToldApart(List<ArrayPlacement> ranked) {
    ArrayPlacement best = ranked.get(0);
    return ranked.stream()
        .skip(1)
        .filter(p -> best.evidenceOver(p, best) < PRIOR)
        .map(ArrayPlacement::handling)
        .toList();
  }

  /** The two surveys brought to the same terms, with the weight of their differences. */
  private static final class Comparison {
    private static final int MOST_STEPS = 15;
    private static final double STEP_SHIFT = 1e-4; // m
    private static final double STEP_TURN = 1e-3; // rad

    /** Starting angles about the bore: a forgotten zero may be any multiple of a setting. */
    private static final int STARTS = 12;

    private final Expansion before;
    private final Expansion after;
    private final int[] terms;
    private final DMatrixRMaj weight;

    Comparison(FieldModel b, FieldModel a) {
      int degree = Math.min(b.ppm().degree(), a.ppm().degree());
      double r0 = b.ppm().referenceRadius();
      before = b.ppm().withDegree(degree);
      after = a.ppm().withReferenceRadius(r0).withDegree(degree);
      terms =
          java.util.stream.IntStream.range(1, Term.count(degree))
              .filter(i -> !b.unseen().contains(Term.at(i)) && !a.unseen().contains(Term.at(i)))
              .toArray();
      DMatrixRMaj covariance = new DMatrixRMaj(terms.length, terms.length);
      for (int i = 0; i < terms.length; i++) {
        for (int j = 0; j < terms.length; j++) {
          double ratio =
              Math.pow(
                  r0 / a.ppm().referenceRadius(), Term.at(terms[i]).n() + Term.at(terms[j]).n());
          covariance.set(
              i,
              j,
              b.covariance().at(terms[i], terms[j])
                  + ratio * a.covariance().at(terms[i], terms[j]));
        }
      }
      weight = new DMatrixRMaj(terms.length, terms.length);
      if (!CommonOps_DDRM.invert(covariance, weight)) {
        throw new IllegalArgumentException("the two surveys carry no uncertainty to compare with");
      }
    }

    ArrayPlacement best(Handling handling) {
      Expansion handled = Rotation.project(before, handling::place);
      double[] best = null;
      double least = Double.POSITIVE_INFINITY;
      for (int start = 0; start < STARTS; start++) {
        double[] p = {0, 0, 0, 0, 0, Math.IEEEremainder(2 * Math.PI * start / STARTS, 2 * Math.PI)};
        double misfit = chiSquare(difference(handled, p));
        if (misfit < least) {
          least = misfit;
          best = p;
        }
      }
      return refine(handling, handled, best == null ? new double[6] : best);
    }

    private ArrayPlacement refine(Handling handling, Expansion handled, double[] start) {
      double[] p = start.clone();
      double misfit = chiSquare(difference(handled, p));
      DMatrixRMaj covariance = new DMatrixRMaj(6, 6);
      for (int step = 0; step < MOST_STEPS; step++) {
        double[] r = difference(handled, p);
        DMatrixRMaj jacobian = jacobian(handled, p);
        DMatrixRMaj jw = new DMatrixRMaj(6, terms.length);
        CommonOps_DDRM.multTransA(jacobian, weight, jw);
        DMatrixRMaj normal = new DMatrixRMaj(6, 6);
        CommonOps_DDRM.mult(jw, jacobian, normal);
        DMatrixRMaj right = new DMatrixRMaj(6, 1);
        CommonOps_DDRM.mult(jw, new DMatrixRMaj(terms.length, 1, true, r), right);
        DMatrixRMaj move = new DMatrixRMaj(6, 1);
        if (!CommonOps_DDRM.invert(normal, covariance)) {
          break;
        }
        CommonOps_DDRM.mult(covariance, right, move);
        double[] next = p.clone();
        double scale = 1;
        double better = Double.POSITIVE_INFINITY;
        for (int halving = 0; halving < 8 && !(better < misfit); halving++, scale /= 2) {
          for (int k = 0; k < 6; k++) {
            next[k] = p[k] + scale * move.get(k, 0);
          }
          better = chiSquare(difference(handled, next));
        }
        if (!(better < misfit)) {
          break;
        }
        boolean settled = misfit - better < 1e-6;
        p = next;
        misfit = better;
        if (settled) {
          break;
        }
      }
      return result(handling, p, misfit, covariance);
    }

    private ArrayPlacement result(
        Handling handling, double[] p, double misfit, DMatrixRMaj covariance) {
      double[] u = new double[6];
      for (int k = 0; k < 6; k++) {
        u[k] = Math.sqrt(Math.max(0, covariance.get(k, k)));
      }
      return new ArrayPlacement(
          handling,
          new Vec3(p[0], p[1], p[2]),
          new Vec3(u[0], u[1], u[2]),
          new Vec3(p[3], p[4], p[5]),
          new Vec3(u[3], u[4], u[5]),
          chiSquare(difference(before, new double[6])),
          misfit,
          terms.length);
    }

    /** After less what the moved array would have seen of the field before. */
    private double[] difference(Expansion field, double[] p) {
      Expansion seen =
          new Rotation(new Vec3(p[3], p[4], p[5]))
              .seenBy(Translation.of(field, new Vec3(p[0], p[1], p[2])));
      double[] d = new double[terms.length];
      for (int i = 0; i < d.length; i++) {
        d[i] = after.coefficient(terms[i]) - seen.coefficient(terms[i]);
      }
      return d;
    }

    /** Of what the moved array sees, by displacement and rotation; central differences. */
    private DMatrixRMaj jacobian(Expansion field, double[] p) {
      DMatrixRMaj j = new DMatrixRMaj(terms.length, 6);
      for (int k = 0; k < 6; k++) {
        double h = k < 3 ? STEP_SHIFT : STEP_TURN;
        double[] up = p.clone();
        double[] down = p.clone();
        up[k] += h;
        down[k] -= h;
        double[] a = difference(field, up);
        double[] b = difference(field, down);
        for (int i = 0; i < terms.length; i++) {
          j.set(i, k, (b[i] - a[i]) / (2 * h));
        }
      }
      return j;
    }

    private double chiSquare(double[] d) {
      double sum = 0;
      for (int i = 0; i < d.length; i++) {
        double row = 0;
        for (int j = 0; j < d.length; j++) {
          row += weight.get(i, j) * d[j];
        }
        sum += d[i] * row;
      }
      return sum;
    }
  }
}
