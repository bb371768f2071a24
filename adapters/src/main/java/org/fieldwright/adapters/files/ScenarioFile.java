package org.fieldwright.adapters.files;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.fieldwright.adapters.yaml.Expected;
import org.fieldwright.adapters.yaml.YamlFile;
import org.fieldwright.adapters.yaml.YamlMap;
import org.fieldwright.adapters.yaml.YamlNode;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.PieceType;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.magnetostatics.Constants;
import org.fieldwright.core.magnetostatics.CurrentLoop;
import org.fieldwright.core.magnetostatics.PointDipole;
import org.fieldwright.core.reading.ProbeArray;
import org.fieldwright.core.simulation.ArrayState;
import org.fieldwright.core.simulation.Scenario;
import org.fieldwright.core.simulation.Scenario.PlannedLog;
import org.fieldwright.core.simulation.Scenario.PlannedSurvey;
import org.fieldwright.core.simulation.VirtualMagnet;
import org.jspecify.annotations.Nullable;

/**
 * A scenario: a virtual magnet and what is going to be measured of it. Format version 1, described
 * in docs/formats/scenario.md and by docs/schemas/scenario.schema.json.
 */
public final class ScenarioFile {
  private static final int FORMAT = 1;
  private static final double MM = 1e-3;

  private ScenarioFile() {}

  /**
   * A scenario and the files it was read from.
   *
   * @param magnetFile named by the scenario
   * @param magnetSources the magnet file and the tables it names
   */
  public record Loaded(Scenario scenario, Path magnetFile, List<Path> magnetSources) {
    public Loaded {
      magnetSources = List.copyOf(magnetSources);
    }
  }

  public static Loaded load(Path path) {
    YamlMap root =
        YamlFile.read(path)
            .map(
                "fieldwright",
                "scenario",
                "seed",
                "magnet",
                "centre_field_T",
                "loops",
                "stray_iron",
                "iron_strength",
                "array",
                "surveys",
                "next_survey",
                "logs",
                "reader");
    YamlNode version = root.get("fieldwright");
    if (version != null) {
      version.integer(FORMAT, FORMAT);
    }
    Path magnetFile = new Companions(path, new ArrayList<>()).resolve(root.require("magnet"));
    MagnetFile.Loaded loaded = MagnetFile.load(magnetFile);
    Magnet magnet = loaded.magnet();
    long seed = root.require("seed").integer(0, Integer.MAX_VALUE);
    SurveySection surveys = new SurveySection(magnet.array());
    List<PlannedSurvey> planned = surveys.readAll(root.get("surveys"));
    YamlNode next = root.get("next_survey");
    List<PlannedLog> logs = LogSection.readAll(root.get("logs"));
    PlannedSurvey nextSurvey = next == null ? null : surveys.read(next);
    refuseSharedNames(root, planned, nextSurvey, logs);
    Scenario scenario =
        new Scenario(
            root.text("scenario"),
            seed,
            magnet,
            magnetItself(root, magnet),
            strengths(root.get("iron_strength"), magnet.iron()),
            array(root.get("array"), magnet.array(), seed),
            planned,
            nextSurvey,
            logs,
            ReaderSection.read(root.get("reader"), magnet, planned));
    return new Loaded(scenario, magnetFile, loaded.sources());
  }

  private static VirtualMagnet magnetItself(YamlMap root, Magnet magnet) {
    List<CurrentLoop> loops = new ArrayList<>();
    for (YamlNode node : root.require("loops").list()) {
      YamlMap map = node.map("id", "radius_mm", "centre_mm", "axis", "ampere_turns");
      loops.add(
          new CurrentLoop(
              point(map.require("centre_mm")),
              map.has("axis") ? direction(map.require("axis")) : magnet.fieldAxis(),
              map.number("radius_mm", Expected.POSITIVE) * MM,
              map.number("ampere_turns", Expected.NOT_ZERO)));
    }
    if (loops.isEmpty()) {
      throw root.require("loops").complain("at least one loop");
    }
    List<PointDipole> iron = new ArrayList<>();
    YamlNode strays = root.get("stray_iron");
    for (YamlNode node : strays == null ? List.<YamlNode>of() : strays.list()) {
      YamlMap map = node.map("id", "at_mm", "moment_A_m2");
      double[] m = map.require("moment_A_m2").numbers(3, Expected.NUMBER);
      Vec3 moment = new Vec3(m[0], m[1], m[2]).times(Constants.MU_0);
      iron.add(new PointDipole(point(map.require("at_mm")), moment));
    }
    double field = root.numberOr("centre_field_T", Expected.POSITIVE, magnet.nominalField());
    return VirtualMagnet.energised(magnet.fieldAxis(), loops, iron, field);
  }

  private static Vec3 point(YamlNode node) {
    double[] p = node.numbers(3, Expected.NUMBER);
    return new Vec3(p[0], p[1], p[2]).times(MM);
  }

  private static Vec3 direction(YamlNode node) {
    double[] d = node.numbers(3, Expected.NUMBER);
    Vec3 axis = new Vec3(d[0], d[1], d[2]);
    if (!(axis.norm() > 0) || Double.isInfinite(axis.norm())) {
      throw node.complain("a direction [x, y, z] of some length");
    }
    return axis.unit();
  }

  private static Map<String, Double> strengths(@Nullable YamlNode node, @Nullable IronSystem iron) {
    if (node == null) {
      return Map.of();
    }
    if (iron == null) {
      throw node.complain("nothing, because the magnet file describes no iron");
    }
    Map<String, Double> strengths = new HashMap<>();
    YamlMap map = node.map(iron.pieces().stream().map(PieceType::id).toArray(String[]::new));
    for (String piece : map.keys()) {
      strengths.put(piece, map.number(piece, Expected.POSITIVE));
    }
    return strengths;
  }

  /** Drawn from the scenario's own figures, else from what the magnet file states. */
  private static ArrayState array(@Nullable YamlNode node, ProbeArray array, long seed) {
    ProbeArray.Uncertainty stated = array.uncertainty();
    double position = stated.position() == null ? 0 : stated.position();
    double normalisation = stated.normalisationPpm() == null ? 0 : stated.normalisationPpm();
    if (node != null) {
      YamlMap map = node.map("position_mm", "normalisation_ppm");
      position = map.numberOr("position_mm", Expected.NOT_NEGATIVE, position / MM) * MM;
      normalisation = map.numberOr("normalisation_ppm", Expected.NOT_NEGATIVE, normalisation);
    }
    return ArrayState.draw(array, position, normalisation, seed);
  }

  private static void refuseSharedNames(
      YamlMap root,
      List<PlannedSurvey> surveys,
      @Nullable PlannedSurvey next,
      List<PlannedLog> logs) {
    Set<String> names = new HashSet<>();
    List<String> files = new ArrayList<>();
    surveys.forEach(s -> files.add(s.file()));
    logs.forEach(l -> files.add(l.file()));
    if (next != null) {
      files.add(next.file());
    }
    for (String file : files) {
      if (!names.add(file)) {
        throw root.complain("the file " + file + " twice", "a name of its own for each");
      }
    }
  }
}
