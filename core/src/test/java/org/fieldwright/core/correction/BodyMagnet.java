package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.homogeneity.Limit;

/**
 * The closed-form yardstick of a whole-body magnet: 24 trays of 15 pockets, 4 g pieces, a bare
 * field whose harmonics fall off by a sine law. Its relaxed optima were computed with HiGHS and are
 * quoted in the tests.
 *
 * @param centreField T
 * @param radius of the sphere that is to be uniform, m
 * @param amplitude of the bare harmonics, ppm
 */
record BodyMagnet(double centreField, double radius, double amplitude) {
  static final BodyMagnet P1 = new BodyMagnet(1.5, 0.225, 220);
  static final BodyMagnet P2 = new BodyMagnet(0.5, 0.200, 310);
  static final int TRAYS = 24;
  static final int POCKETS = 15;
  static final double PIECE = 0.004;
  static final double DENSITY = 7870;
  static final double POLARISATION = 2.1;

  Limit limit(double ppm) {
    return new Limit("sphere", Limit.Measure.PEAK_TO_PEAK, new Volume.Sphere(radius), ppm);
  }

  IronSystem iron() {
    return iron(Loading.EMPTY, Set.of(), null, 60);
  }

  IronSystem iron(
      Loading installed,
      Set<IronSystem.PocketId> forbidden,
      @org.jspecify.annotations.Nullable Double trayMassLimit,
      int capacity) {
    List<Pocket> pockets = new ArrayList<>();
    for (int tray = 1; tray <= TRAYS; tray++) {
      for (int pocket = 1; pocket <= POCKETS; pocket++) {
        pockets.add(new Pocket(tray, pocket, place(tray, pocket), null));
      }
    }
    PieceType piece = new PieceType("4 g", null, PIECE / DENSITY, POLARISATION, DENSITY);
    return new IronSystem(
        pockets,
        List.of(piece),
        new IronSystem.Capacity(null, capacity),
        trayMassLimit,
        forbidden,
        installed,
        Map.of(),
        null,
        null,
        null,
        IronSystem.Stack.CENTRED);
  }

  static Vec3 place(int tray, int pocket) {
    double azimuth = Math.toRadians(7.5 + 15 * (tray - 1));
    return Vec3.cylindrical(0.43, azimuth, -0.49 + 0.07 * (pocket - 1));
  }

  /** The formula of the problem's statement, written out once more. */
  double ppmPerPiece(Vec3 pocket, Vec3 p) {
    Vec3 d = p.minus(pocket);
    double distance = d.norm();
    double cosine = d.z() / distance;
    return 1e6
        * POLARISATION
        * (PIECE / DENSITY)
        / (4 * Math.PI * centreField)
        * (3 * cosine * cosine - 1)
        / (distance * distance * distance);
  }

  FieldModel bare() {
    double[] c = new double[Term.count(12)];
    for (int n = 1; n <= 12; n++) {
      for (int m = 0; m <= n; m++) {
        for (int k = 0; k <= (m == 0 ? 0 : 1); k++) {
          double sine = Math.sin(12.9898 * n + 78.233 * m + 37.719 * k);
          c[Term.index(n, m, k == 0 ? Term.Part.COS : Term.Part.SIN)] =
              amplitude * Math.pow(0.45, n - 1) * Math.pow(0.7, m) * sine;
        }
      }
    }
    return new FieldModel(
        new Expansion(radius, c),
        centreField,
        Set.of(),
        Covariance.zero(1),
        List.of(),
        1,
        0,
        100,
        radius,
        "given");
  }

  /** 24 Gauss–Legendre planes × 24 angles from 0°. */
  List<Vec3> readingPoints() {
    GaussLegendre planes = GaussLegendre.of(24);
    List<Vec3> points = new ArrayList<>();
    for (int i = 0; i < planes.size(); i++) {
      for (int k = 0; k < 24; k++) {
        points.add(Vec3.spherical(radius, Math.acos(planes.node(i)), Math.toRadians(15.0 * k)));
      }
    }
    return points;
  }

  /** The field after loading, by direct sums over dipoles. */
  double field(Loading loading, Vec3 p) {
    double sum = bare().ppm().at(p);
    for (Map.Entry<Loading.Place, Integer> e : loading.counts().entrySet()) {
      Vec3 pocket = place(e.getKey().tray(), e.getKey().pocket());
      sum += e.getValue() * ppmPerPiece(pocket, p);
    }
    return sum;
  }

  static Loading loading(int tray, int pocket, int count) {
    Map<Loading.Place, Integer> counts = new HashMap<>();
    counts.put(new Loading.Place(tray, pocket, "4 g"), count);
    return new Loading(counts);
  }
}
