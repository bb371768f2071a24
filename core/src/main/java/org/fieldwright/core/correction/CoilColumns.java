package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Expansion;

/**
 * Shim coils as {@link ShimColumns}: for each coil a column for steps up and one for steps down, so
 * that leaving a current alone is nought like everywhere else.
 */
final class CoilColumns implements ShimColumns {
  /** Steps from nought to its limit of a coil that is set without steps. */
  private static final double FINEST = 1e5;

  private static final double ROUNDING = 1e-9;

  private final List<Coil> coils;
  private final double headroom;

  /**
   * @param headroom share of every limit that is kept for later; a current that is beyond it
   *     already may come back but need not
   */
  CoilColumns(List<Coil> coils, double headroom) {
    this.coils = List.copyOf(coils);
    this.headroom = headroom;
  }

  @Override
  public int count() {
    return 2 * coils.size();
  }

  /** Most steps of a column. */
  double upper(int column) {
    Coil coil = coils.get(column / 2);
    double room = usable(coil) - sign(column) * coil.set();
    return Math.max(0, Math.floor(room / step(coil) + ROUNDING));
  }

  private double usable(Coil coil) {
    return coil.limit() * (1 - headroom);
  }

  private static int sign(int column) {
    return column % 2 == 0 ? 1 : -1;
  }

  private static double step(Coil coil) {
    return coil.step() > 0 ? coil.step() : coil.limit() / FINEST;
  }

  @Override
  public double ppmAt(int column, double x, double y, double z) {
    Coil coil = coils.get(column / 2);
    return sign(column) * step(coil) * coil.response().at(new Vec3(x, y, z));
  }

  /** What one unit of a column adds, ppm. */
  Expansion series(int column) {
    Coil coil = coils.get(column / 2);
    return coil.response().times(sign(column) * step(coil));
  }

  /**
   * Currents that column values stand for, by coil in the file's order, A.
   *
   * @param values of all columns of the problem
   * @param offset where those of the coils begin
   */
  Map<String, Double> currents(double[] values, int offset) {
    Map<String, Double> currents = new LinkedHashMap<>();
    for (int k = 0; k < coils.size(); k++) {
      Coil coil = coils.get(k);
      double steps = Math.rint(values[offset + 2 * k]) - Math.rint(values[offset + 2 * k + 1]);
      currents.put(coil.id(), coil.set() + steps * step(coil));
    }
    return currents;
  }

  /** What currents other than those set now add, ppm. */
  static Expansion change(List<Coil> coils, Map<String, Double> currents, double radius) {
    Expansion sum = Expansion.zero(0, radius);
    for (Coil coil : coils) {
      double change = currents.getOrDefault(coil.id(), coil.set()) - coil.set();
      sum = sum.plus(coil.response().times(change));
    }
    return sum;
  }

  /** What a person has to know about coils that are beyond what is kept. */
  List<String> warnings(Map<String, Double> currents) {
    List<String> warnings = new ArrayList<>();
    for (Coil coil : coils) {
      double to = currents.getOrDefault(coil.id(), coil.set());
      if (Math.abs(to) > usable(coil) * (1 + ROUNDING)) {
        warnings.add(
            "coil %s carries %.4g A, which leaves less than the %.0f %% of its %.4g A that were to be kept"
                .formatted(coil.id(), to, 100 * headroom, coil.limit()));
      }
    }
    return warnings;
  }
}
