package org.fieldwright.bench;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.PieceType;
import org.fieldwright.core.correction.Pocket;
import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.SurfaceExtremes;

/**
 * Whole-body magnets in closed form, as many as there are seeds: a cylinder of pockets, small
 * pieces that count as dipoles, and a bare field whose harmonics fall off by a power law.
 *
 * @param seed 0 is the published yardstick P1
 * @param centreField T
 * @param radius of the sphere to be made uniform, m
 * @param amplitude of the bare harmonics, ppm
 * @param fall of the harmonics per degree
 * @param turnFall of the harmonics per order
 * @param phase of the sines that give them their signs, rad
 * @param trays round the bore
 * @param pockets along a tray
 * @param pocketRadius m
 * @param pocketStep along z, m
 * @param pieceMass kg
 */
record BodyMagnets(
    long seed,
    double centreField,
    double radius,
    double amplitude,
    double fall,
    double turnFall,
    double phase,
    int trays,
    int pockets,
    double pocketRadius,
    double pocketStep,
    double pieceMass) {
  private static final double DENSITY = 7870;
  private static final double POLARISATION = 2.1;
  private static final int DEGREE = 12;
  private static final int PLANES = 24;

  static final BodyMagnets P1 =
      new BodyMagnets(0, 1.5, 0.225, 220, 0.45, 0.7, 0, 24, 15, 0.43, 0.07, 0.004);

  /** The magnet of a seed. */
  static BodyMagnets of(long seed) {
    if (seed == 0) {
      return P1;
    }
    SplittableRandom random = new SplittableRandom(seed);
    double field = new double[] {0.5, 1.0, 1.5, 3.0}[random.nextInt(4)];
    return new BodyMagnets(
        seed,
        field,
        random.nextDouble(0.2, 0.235),
        random.nextDouble(100, 260),
        random.nextDouble(0.4, 0.48),
        random.nextDouble(0.6, 0.75),
        random.nextDouble(0, 2 * Math.PI),
        new int[] {16, 20, 24}[random.nextInt(3)],
        new int[] {13, 15, 17}[random.nextInt(3)],
        random.nextDouble(0.41, 0.45),
        random.nextDouble(0.06, 0.075),
        // A piece does the less the higher the field.
        new double[] {0.002, 0.004, 0.006}[random.nextInt(3)] * field / 1.5);
  }

  /** The same with the sines that sign the harmonics moved on, as wide on its surface as before. */
  BodyMagnets withPhase(double radians) {
    BodyMagnets moved = with(amplitude, radians);
    return moved.with(amplitude * width() / moved.width(), radians);
  }

  private double width() {
    return SurfaceExtremes.of(bare().ppm(), limit().requireVolume()).peakToPeak();
  }

  private BodyMagnets with(double newAmplitude, double newPhase) {
    return new BodyMagnets(
        seed,
        centreField,
        radius,
        newAmplitude,
        fall,
        turnFall,
        newPhase,
        trays,
        pockets,
        pocketRadius,
        pocketStep,
        pieceMass);
  }

  /** P1 with another number of trays and pockets in the same cylinder. */
  static BodyMagnets grown(int trays, int pockets) {
    double step = 0.98 / (pockets - 1);
    return new BodyMagnets(
        0,
        1.5,
        0.225,
        220,
        0.45,
        0.7,
        0,
        trays,
        pockets,
        0.43,
        step,
        0.004 * 360 / trays / pockets);
  }

  Limit limit() {
    return new Limit("sphere", Limit.Measure.PEAK_TO_PEAK, new Volume.Sphere(radius), 20);
  }

  IronSystem iron() {
    List<Pocket> places = new ArrayList<>();
    for (int tray = 1; tray <= trays; tray++) {
      double azimuth = 2 * Math.PI * (tray - 0.5) / trays;
      for (int pocket = 1; pocket <= pockets; pocket++) {
        double z = pocketStep * (pocket - (pockets + 1) / 2.0);
        places.add(new Pocket(tray, pocket, Vec3.cylindrical(pocketRadius, azimuth, z), null));
      }
    }
    return new IronSystem(
        places,
        List.of(new PieceType("plate", null, pieceMass / DENSITY, POLARISATION, DENSITY)),
        new IronSystem.Capacity(null, 60),
        null,
        Set.of(),
        Loading.EMPTY,
        Map.of(),
        null,
        null,
        null,
        IronSystem.Stack.CENTRED);
  }

  FieldModel bare() {
    double[] c = new double[Term.count(DEGREE)];
    for (int n = 1; n <= DEGREE; n++) {
      for (int m = 0; m <= n; m++) {
        for (int k = 0; k <= (m == 0 ? 0 : 1); k++) {
          double sine = Math.sin(12.9898 * n + 78.233 * m + 37.719 * k + phase);
          double size = amplitude * Math.pow(fall, n - 1) * Math.pow(turnFall, m);
          c[new Term(n, m, k == 0 ? Term.Part.COS : Term.Part.SIN).index()] = size * sine;
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

  /** ppm that one piece in a pocket adds at a point. */
  double ppmPerPiece(Pocket pocket, Vec3 p) {
    Vec3 d = p.minus(pocket.centre());
    double distance = d.norm();
    double cosine = d.z() / distance;
    double moment = POLARISATION * pieceMass / DENSITY;
    return 1e6
        * moment
        / (4 * Math.PI * centreField)
        * (3 * cosine * cosine - 1)
        / (distance * distance * distance);
  }

  /** 24 Gauss–Legendre planes × 24 angles from 0°: the targets a general solver is given. */
  List<Vec3> targets() {
    GaussLegendre planes = GaussLegendre.of(PLANES);
    List<Vec3> points = new ArrayList<>();
    for (int i = 0; i < planes.size(); i++) {
      for (int k = 0; k < PLANES; k++) {
        points.add(Vec3.spherical(radius, Math.acos(planes.node(i)), 2 * Math.PI * k / PLANES));
      }
    }
    return points;
  }
}
