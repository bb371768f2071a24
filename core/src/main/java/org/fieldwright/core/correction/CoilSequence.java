package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.CommonOps_DDRM;

/**
 * Superconducting shim coils are set one after the other: each is opened, driven to a current and
 * closed again, and what it gains or loses on the way drives currents in those that are closed. So
 * each has to be set aside from where it shall end, and the later ones bring it there.
 *
 * <p>With C the amperes gained per ampere and Δ what each coil is driven by at its turn, all that
 * has happened in the end is (1 + C)Δ = wanted − now, whatever the order; the current to set at a
 * coil's turn is what it has by then plus its own Δ.
 */
final class CoilSequence {
  private CoilSequence() {}

  /**
   * One coil's turn.
   *
   * @param coil which
   * @param setting current to set at its turn, A
   * @param end current in the end, A
   */
  record Turn(Coil coil, double setting, double end) {}

  /**
   * The turns, in the order of the coils.
   *
   * @param wanted currents in the end by id, A; a coil that is absent stays
   */
  static List<Turn> of(List<Coil> coils, Map<String, Double> wanted) {
    int n = coils.size();
    DMatrixRMaj coupling = CommonOps_DDRM.identity(n);
    DMatrixRMaj change = new DMatrixRMaj(n, 1);
    for (int j = 0; j < n; j++) {
      Coil gains = coils.get(j);
      change.set(j, 0, wanted.getOrDefault(gains.id(), gains.set()) - gains.set());
      for (int k = 0; k < n; k++) {
        if (j != k) {
          coupling.set(j, k, coils.get(k).induces().getOrDefault(gains.id(), 0.0));
        }
      }
    }
    DMatrixRMaj driven = new DMatrixRMaj(n, 1);
    if (n > 0 && !CommonOps_DDRM.solve(coupling, change, driven)) {
      throw new IllegalStateException("coils that are coupled wholly cannot be set in turn");
    }
    List<Turn> turns = new ArrayList<>();
    for (int j = 0; j < n; j++) {
      double at = coils.get(j).set() + driven.get(j, 0);
      for (int before = 0; before < j; before++) {
        at += coupling.get(j, before) * driven.get(before, 0);
      }
      Coil coil = coils.get(j);
      turns.add(new Turn(coil, at, coil.set() + change.get(j, 0)));
    }
    return turns;
  }

  /** Whether setting one coil disturbs another. */
  static boolean matters(List<Coil> coils) {
    return coils.stream().anyMatch(c -> !c.induces().isEmpty());
  }

  /** Turns whose current is beyond the coil's limit, in words. */
  static List<String> warnings(List<Turn> turns) {
    return turns.stream()
        .filter(t -> Math.abs(t.setting()) > t.coil().limit())
        .map(CoilSequence::warning)
        .toList();
  }

  private static String warning(Turn turn) {
    return "coil %s would have to be set to %.4g A at its turn, beyond its limit of %.4g A; set the others in two steps"
        .formatted(turn.coil().id(), turn.setting(), turn.coil().limit());
  }
}
