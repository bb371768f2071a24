package org.fieldwright.core.reading;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.CommonOps_DDRM;
import org.fieldwright.core.harmonic.WorkingFit;
import org.jspecify.annotations.Nullable;

/**
 * Corrects the blame where bad readings stand side by side: two neighbours that err alike can make
 * the good one between them look worst, and a greedy search then sets the wrong one aside.
 *
 * <p>Each reading set aside, and each two that share their residuals, are taken back in turn and
 * the next best one, two or three are tried in their stead; the change is kept where it lowers
 *
 * <pre>Σ r²/σ² + {@value #PRICE} × (number set aside).</pre>
 *
 * With M the projection on the residuals of the field alone, setting a set S aside leaves Σ r² =
 * r₀ᵀr₀ − r₀ₛᵀ Mₛₛ⁻¹ r₀ₛ, so a trial needs only the columns of M that belong to S.
 */
final class SwapSearch {
  /**
   * What one more reading set aside must explain. Lower than the threshold of the first blame:
   * somebody here is known to be guilty, the question is only who.
   */
  static final double PRICE = 10;

  private static final int MOST_ASIDE = 60;
  private static final int MOST_INSTEAD = 3;

  /** Two readings share their residuals where their correlation exceeds this. */
  private static final double SHARED = 0.05;

  private final WorkingFit base;
  private final Set<Integer> untouchable;
  private final double[] variance;
  private final double[] r0;

  /**
   * @param base the fit with shared faults freed, without the readings in question set aside
   * @param untouchable rows that must not be blamed
   * @param scatter σ, ppm
   * @param factor by which each row's own scatter exceeds it
   */
  SwapSearch(WorkingFit base, Set<Integer> untouchable, double scatter, double[] factor) {
    this.base = base;
    this.untouchable = untouchable;
    variance = new double[factor.length];
    for (int i = 0; i < factor.length; i++) {
      variance[i] = scatter * scatter * factor[i] * factor[i];
    }
    r0 = base.residuals();
  }

  /** The better set, or null where none was found. */
  @Nullable Set<Integer> improve(Set<Integer> blamed) {
    if (blamed.isEmpty() || blamed.size() > MOST_ASIDE) {
      return null;
    }
    Set<Integer> best = new TreeSet<>(blamed);
    double value = new State(best).value();
    boolean changed = false;
    for (int sweep = 0; sweep < 10; sweep++) {
      boolean better = false;
      for (Set<Integer> suspects : suspects(best)) {
        if (!best.containsAll(suspects)) {
          continue;
        }
        Set<Integer> without = new TreeSet<>(best);
        without.removeAll(suspects);
        Set<Integer> trial = instead(without, suspects, value);
        if (trial != null) {
          best = trial;
          value = new State(best).value();
          better = true;
        }
      }
      changed |= better;
      if (!better) {
        break;
      }
    }
    return changed ? best : null;
  }

  /** What is to be taken back together: each alone, then each two that share their residuals. */
  private List<Set<Integer>> suspects(Set<Integer> blamed) {
    List<Set<Integer>> all = new ArrayList<>();
    blamed.forEach(row -> all.add(Set.of(row)));
    for (int a : blamed) {
      for (int b : blamed) {
        double together = response(a)[b];
        if (a < b && together * together > SHARED * SHARED * response(a)[a] * response(b)[b]) {
          all.add(Set.of(a, b));
        }
      }
    }
    return all;
  }

  private @Nullable Set<Integer> instead(
      Set<Integer> without, Set<Integer> restored, double toBeat) {
    Set<Integer> trial = new TreeSet<>(without);
    for (int added = 0; added <= MOST_INSTEAD; added++) {
      State state = new State(trial);
      if (state.value() < toBeat - 0.5) {
        return trial;
      }
      int next = state.worst(restored);
      if (next < 0) {
        return null;
      }
      trial.add(next);
    }
    return null;
  }

  /** Everything about one choice of rows set aside. */
  private final class State {
    private final List<Integer> rows;
    private final Set<Integer> members;
    private final DMatrixRMaj responses; // rows × n: M's columns
    private final DMatrixRMaj solved; // (Mₛₛ)⁻¹ Mₛ·
    private final double[] residual;

    State(Set<Integer> chosen) {
      rows = new ArrayList<>(chosen);
      members = new HashSet<>(chosen);
      int k = rows.size();
      int n = base.rows();
      responses = new DMatrixRMaj(k, n);
      for (int a = 0; a < k; a++) {
        System.arraycopy(response(rows.get(a)), 0, responses.data, a * n, n);
      }
      DMatrixRMaj square = new DMatrixRMaj(k, k);
      for (int a = 0; a < k; a++) {
        for (int b = 0; b < k; b++) {
          square.set(a, b, responses.get(a, rows.get(b)));
        }
      }
      solved = new DMatrixRMaj(k, n);
      residual = r0.clone();
      if (k > 0 && CommonOps_DDRM.solve(square, responses, solved)) {
        for (int a = 0; a < k; a++) {
          double own = r0[rows.get(a)];
          for (int i = 0; i < n; i++) {
            residual[i] -= own * solved.get(a, i);
          }
        }
      }
    }

    double value() {
      double sum = 0;
      for (int i = 0; i < residual.length; i++) {
        sum += members.contains(i) ? 0 : residual[i] * residual[i] / variance[i];
      }
      return sum + PRICE * rows.size();
    }

    /** The row whose blame would explain most, if it explains more than its price. */
    int worst(Set<Integer> barred) {
      int worst = -1;
      double most = PRICE;
      for (int i = 0; i < residual.length; i++) {
        if (barred.contains(i) || members.contains(i) || untouchable.contains(i)) {
          continue;
        }
        double redundancy = base.redundancy(i);
        for (int a = 0; a < rows.size(); a++) {
          redundancy -= responses.get(a, i) * solved.get(a, i);
        }
        double gain = redundancy < 1e-3 ? 0 : residual[i] * residual[i] / redundancy / variance[i];
        if (gain > most) {
          most = gain;
          worst = i;
        }
      }
      return worst;
    }
  }

  private final java.util.Map<Integer, double[]> known = new java.util.HashMap<>();

  private double[] response(int row) {
    return known.computeIfAbsent(row, base::response);
  }
}
