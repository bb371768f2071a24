package org.fieldwright.core.harmonic;

import java.util.ArrayList;
import java.util.List;
import org.fieldwright.core.geometry.Vec3;
import org.jspecify.annotations.Nullable;

/**
 * A complete turning survey: every probe once at each of M equal angles, the weight a matter of the
 * probe alone. Then harmonics of different order or phase are orthogonal over the points, whatever
 * the probes, because the discrete Fourier basis is; one small factorisation per order over the
 * probes replaces the large one over all readings.
 */
final class TurningGrid {
  private final int probes;
  private final int angles;
  private final int[] rowOf; // [probe * angles + angle]
  private final double[] azimuth; // of the array at each angle index, rad
  private final double[] rho; // signed distance from the axis: negative in the other half-plane
  private final double[] z;
  private final double[] rootWeight;

  private TurningGrid(
      int probes,
      int angles,
      int[] rowOf,
      double[] azimuth,
      double[] rho,
      double[] z,
      double[] rootWeight) {
    this.probes = probes;
    this.angles = angles;
    this.rowOf = rowOf;
    this.azimuth = azimuth;
    this.rho = rho;
    this.z = z;
    this.rootWeight = rootWeight;
  }

  /** The grid behind a sampling, or null where the points do not form one. */
  static @Nullable TurningGrid find(Sampling s, AngularSupport support) {
    int angles = support.count();
    if (!support.equal() || angles == 0 || s.size() % angles != 0) {
      return null;
    }
    int probes = s.size() / angles;
    int[] rowOf = new int[s.size()];
    java.util.Arrays.fill(rowOf, -1);
    for (int i = 0; i < s.size(); i++) {
      int p = s.probe(i);
      int a = s.angle(i);
      if (p < 0 || p >= probes || a < 0 || a >= angles || rowOf[p * angles + a] >= 0) {
        return null;
      }
      rowOf[p * angles + a] = i;
    }
    double start = Math.toRadians(support.distinct().get(0));
    double[] azimuth = new double[angles];
    for (int a = 0; a < angles; a++) {
      azimuth[a] = start + 2 * Math.PI * a / angles;
    }
    double[] rho = new double[probes];
    double[] z = new double[probes];
    double[] weight = new double[probes];
    double scale = s.outerRadius();
    for (int p = 0; p < probes; p++) {
      Vec3 first = s.point(rowOf[p * angles]);
      rho[p] = first.x() * Math.cos(azimuth[0]) + first.y() * Math.sin(azimuth[0]);
      z[p] = first.z();
      weight[p] = s.rootWeight(rowOf[p * angles]);
      for (int a = 0; a < angles; a++) {
        int row = rowOf[p * angles + a];
        Vec3 turned = Vec3.cylindrical(rho[p], azimuth[a], z[p]);
        if (turned.minus(s.point(row)).norm() > 1e-9 * scale || s.rootWeight(row) != weight[p]) {
          return null;
        }
      }
    }
    return new TurningGrid(probes, angles, rowOf, azimuth, rho, z, weight);
  }

  HarmonicDesign factorise(Sampling sampling, SolidHarmonics basis, AngularSupport support) {
    Orders orders = orders(basis);
    return assemble(sampling, basis, support, orders.columns(), orders.kept());
  }

  /**
   * The factors of each order over the probes.
   *
   * @param columns by order m
   * @param kept the cos term of each column, by order m
   */
  record Orders(List<OrthonormalColumns> columns, List<List<Term>> kept) {}

  /** Factorises each order on its own. */
  Orders orders(SolidHarmonics basis) {
    int degree = basis.degree();
    int count = basis.count();
    double[] plane = new double[probes * count]; // values in the half-plane of the array
    for (int p = 0; p < probes; p++) {
      basis.evaluate(rho[p], 0, z[p], plane, p * count);
    }
    List<OrthonormalColumns> byOrder = new ArrayList<>();
    List<List<Term>> keptByOrder = new ArrayList<>();
    for (int m = 0; m <= degree; m++) {
      OrthonormalColumns own = new OrthonormalColumns(probes, degree + 1 - m);
      List<Term> kept = new ArrayList<>();
      double[] column = new double[probes];
      for (int n = m; n <= degree; n++) {
        Term cos = new Term(n, m, Term.Part.COS);
        for (int p = 0; p < probes; p++) {
          column[p] = plane[p * count + cos.index()] * rootWeight[p];
        }
        if (own.append(column, HarmonicDesign.LEAST_REMAINDER) > HarmonicDesign.LEAST_REMAINDER) {
          kept.add(cos);
        }
      }
      byOrder.add(own);
      keptByOrder.add(kept);
    }
    return new Orders(byOrder, keptByOrder);
  }

  int probes() {
    return probes;
  }

  int angles() {
    return angles;
  }

  int row(int probe, int angle) {
    return rowOf[probe * angles + angle];
  }

  double rootWeight(int probe) {
    return rootWeight[probe];
  }

  /** A term's cos mφ or sin mφ at each angle. */
  double[] wave(Term term) {
    double[] wave = new double[angles];
    for (int a = 0; a < angles; a++) {
      wave[a] = azimuthal(term, azimuth[a]);
    }
    return wave;
  }

  private HarmonicDesign assemble(
      Sampling sampling,
      SolidHarmonics basis,
      AngularSupport support,
      List<OrthonormalColumns> byOrder,
      List<List<Term>> keptByOrder) {
    int rows = sampling.size();
    OrthonormalColumns columns = new OrthonormalColumns(rows, basis.count() + 16);
    HarmonicDesign.Assembly assembly = new HarmonicDesign.Assembly();
    List<Term> placed = new ArrayList<>();
    for (int k = 0; k < basis.count(); k++) {
      Term term = Term.at(k);
      int own = keptByOrder.get(term.m()).indexOf(new Term(term.n(), term.m(), Term.Part.COS));
      boolean kept = own >= 0 && !support.hides(term);
      assembly.note(term, kept);
      if (!kept) {
        continue;
      }
      double root = Math.sqrt(azimuthalSquare(term));
      double[] direction = spread(byOrder.get(term.m()), own, term, root);
      columns.appendOrthonormal(direction, factors(byOrder, keptByOrder, placed, term, own, root));
      placed.add(term);
    }
    return assembly.finish(sampling, basis, columns, support);
  }

  /** Σ over the angles of cos² mφ or sin² mφ. */
  double azimuthalSquare(Term term) {
    if (term.m() == 0) {
      return angles;
    }
    if (2 * term.m() < angles) {
      return angles / 2.0;
    }
    double sum = 0;
    for (int a = 0; a < angles; a++) {
      double f = azimuthal(term, azimuth[a]);
      sum += f * f;
    }
    return sum;
  }

  private static double azimuthal(Term term, double azimuth) {
    return term.part() == Term.Part.COS
        ? Math.cos(term.m() * azimuth)
        : Math.sin(term.m() * azimuth);
  }

  private double[] spread(OrthonormalColumns order, int own, Term term, double root) {
    double[] direction = new double[probes * angles];
    for (int a = 0; a < angles; a++) {
      double f = azimuthal(term, azimuth[a]) / root;
      for (int p = 0; p < probes; p++) {
        direction[rowOf[p * angles + a]] = f * order.q(p, own);
      }
    }
    return direction;
  }

  private static double[] factors(
      List<OrthonormalColumns> byOrder,
      List<List<Term>> keptByOrder,
      List<Term> placed,
      Term term,
      int own,
      double root) {
    double[] factors = new double[placed.size() + 1];
    OrthonormalColumns order = byOrder.get(term.m());
    List<Term> kept = keptByOrder.get(term.m());
    for (int j = 0; j < placed.size(); j++) {
      Term earlier = placed.get(j);
      if (earlier.m() == term.m() && earlier.part() == term.part()) {
        int i = kept.indexOf(new Term(earlier.n(), earlier.m(), Term.Part.COS));
        factors[j] = order.r(i, own) * root;
      }
    }
    factors[placed.size()] = order.r(own, own) * root;
    return factors;
  }
}
