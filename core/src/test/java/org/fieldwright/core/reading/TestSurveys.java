package org.fieldwright.core.reading;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.function.UnaryOperator;
import org.fieldwright.core.geometry.GaussLegendre;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.magnetostatics.CurrentLoop;
import org.fieldwright.core.magnetostatics.PointDipole;
import org.fieldwright.core.simulation.ArrayState;
import org.fieldwright.core.simulation.Fault;
import org.fieldwright.core.simulation.SurveyConditions;
import org.fieldwright.core.simulation.SurveySimulator;
import org.fieldwright.core.simulation.VirtualMagnet;

/**
 * Surveys of virtual magnets of 0.55 T: six loops, a little misplaced, and stray iron that differs
 * by seed.
 */
final class TestSurveys {
  static final double RADIUS = 0.2;
  static final double NOISE = 0.02; // ppm, of a reading

  private TestSurveys() {}

  static VirtualMagnet magnet(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    List<PointDipole> iron = new ArrayList<>();
    for (int k = 0; k < 3; k++) {
      double azimuth = random.nextDouble(2 * Math.PI);
      Vec3 at = new Vec3(Math.cos(azimuth), Math.sin(azimuth), random.nextDouble(-1, 1)).times(0.6);
      iron.add(new PointDipole(at, new Vec3(0, 0, random.nextDouble(0.3, 1) * 1e-4)));
    }
    return VirtualMagnet.energised(
        Vec3.UNIT_Z,
        List.of(
            new CurrentLoop(new Vec3(0, 0, 0.829353), Vec3.UNIT_Z, 0.46547, 131417),
            new CurrentLoop(new Vec3(0, 0, -0.828153), Vec3.UNIT_Z, 0.46547, 131417),
            new CurrentLoop(new Vec3(0, 0, 0.562115), Vec3.UNIT_Z, 0.76585, 212760),
            new CurrentLoop(new Vec3(0.0015, -8e-4, -0.562115), Vec3.UNIT_Z, 0.76585, 212760),
            new CurrentLoop(new Vec3(0, 0, 0.198334), Vec3.UNIT_Z, 0.928959, 257253),
            new CurrentLoop(new Vec3(0, 0, -0.198834), Vec3.UNIT_Z, 0.928959, 257253)),
        iron,
        0.55);
  }

  static ProbeArray array(int probes) {
    GaussLegendre planes = GaussLegendre.of(probes);
    List<Probe> list = new ArrayList<>();
    for (int i = 0; i < probes; i++) {
      list.add(new Probe(i + 1, Math.acos(-planes.node(i)), RADIUS, 0));
    }
    list.sort(java.util.Comparator.comparingInt(Probe::id));
    return new ProbeArray(
        "test",
        42.57638543,
        "test",
        RADIUS,
        list,
        null,
        null,
        null,
        new ProbeArray.Uncertainty(NOISE, 5e-5, 5e-4, 0.02),
        null,
        Nuisances.NONE);
  }

  /** As a careful person takes it. */
  static Survey take(
      VirtualMagnet magnet, ProbeArray array, int angles, long seed, Fault... faults) {
    return SurveySimulator.take(
        magnet,
        array,
        ArrayState.draw(array, 0, 0.005, 77),
        new SurveyConditions(
            Instant.parse("2026-03-10T07:00:00Z"),
            SurveyConditions.equalAngles(angles),
            List.of(0.0),
            1.5,
            30,
            4,
            2 * NOISE,
            0.005,
            0.05,
            0,
            List.of(faults)),
        "survey-" + seed + ".csv",
        Map.of(),
        seed);
  }

  /** The survey with every reading changed. */
  static Survey each(Survey survey, UnaryOperator<Reading> change) {
    return new Survey(
        survey.file(),
        survey.kind(),
        survey.readings().stream().map(change).toList(),
        survey.frequency(),
        survey.remarks(),
        survey.notes());
  }

  static FittedSurvey vet(Survey survey, ProbeArray array) {
    return Vetting.vet(survey, array, VettingOptions.DEFAULT);
  }
}
