package org.fieldwright.adapters.files;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.net.URISyntaxException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.fieldwright.core.correction.Coil;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.IronSystem.PocketId;
import org.fieldwright.core.correction.IronSystem.Stack;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.correction.PieceType;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.geometry.Volume;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.harmonic.Term.Part;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.homogeneity.Limit.Measure;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.Nuisances;
import org.fieldwright.core.reading.Probe;
import org.fieldwright.core.reading.ProbeArray;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The example of the format reference (docs/formats/magnet.md), and each part that may be absent.
 */
class MagnetFileTest {
  private static Magnet magnet;
  private static MagnetFile.Loaded loaded;

  @TempDir Path folder;

  @BeforeAll
  static void readExample() throws URISyntaxException {
    Path path = Path.of(MagnetFileTest.class.getResource("full.yaml").toURI());
    loaded = MagnetFile.load(path);
    magnet = loaded.magnet();
  }

  private Magnet read(String yaml) throws IOException {
    Path path = folder.resolve("ridge.yaml");
    Files.writeString(path, yaml);
    return MagnetFile.read(path);
  }

  @Test
  void magnetItself() {
    assertThat(magnet.name()).isEqualTo("Kestrel Ridge recommissioning");
    assertThat(magnet.serial()).isEqualTo("KR-055-07");
    assertThat(magnet.nominalField()).isEqualTo(0.55);
    assertThat(magnet.fieldAxis()).isEqualTo(Vec3.UNIT_Z);
    assertThat(loaded.sources())
        .extracting(p -> p.getFileName().toString())
        .containsExactly("full.yaml", "installed.csv");
  }

  @Test
  void arrayInSiUnits() {
    ProbeArray a = magnet.array();
    assertThat(a.radius()).isEqualTo(0.2);
    assertThat(a.probe(1)).isEqualTo(new Probe(1, Math.toRadians(4.1), 0.2, 0));
    assertThat(a.probe(2)).isEqualTo(new Probe(2, Math.toRadians(11), 0.1998, 0.03));
    assertThat(a.probe(3)).isEqualTo(new Probe(3, Math.toRadians(190), 0.2, 0));
    assertThat(a.rangeMHz()).isEqualTo(new ProbeArray.Range(22.2, 24.6));
    assertThat(a.calibrated()).isEqualTo(LocalDate.of(2026, 3, 2));
    assertThat(a.calibrationIntervalMonths()).isEqualTo(12);
    assertThat(a.uncertainty())
        .isEqualTo(new ProbeArray.Uncertainty(0.02, 0.0002, Math.toRadians(0.2), 0.02));
    assertThat(a.free()).isEqualTo(new Nuisances(Set.of(2), List.of(90.0), true));
  }

  /** CODATA 2022: 42.576 385 43(17) and 42.577 478 461(18) MHz/T. */
  @Test
  void sampleSelectsTheConstant() throws IOException {
    assertThat(magnet.array().gammaMHzPerT()).isEqualTo(42.57638543);
    assertThat(magnet.array().gammaSource()).contains("shielded proton", "CODATA 2022");
    String head = "magnet: {field_T: 1.5}\narray: {sample: ";
    assertThat(read(head + "proton}").array().gammaMHzPerT()).isEqualTo(42.577478461);
    assertThat(read(head + "{gamma_MHz_per_T: 40.05}}").array().gammaMHzPerT()).isEqualTo(40.05);
  }

  @Test
  void limitsOfEveryShapeAndMeasure() {
    assertThat(magnet.limits())
        .containsExactly(
            new Limit("imaging", Measure.PEAK_TO_PEAK, new Volume.Sphere(0.2), 20),
            new Limit("core", Measure.VOLUME_RMS, new Volume.Sphere(0.15), 0.5),
            new Limit("torso", Measure.SURFACE_RMS, new Volume.Ellipsoid(0.2, 0.2, 0.18), 2),
            new Limit("rod", Measure.PEAK_TO_PEAK, new Volume.Cylinder(0.15, 0.1), 10),
            new Limit("stability", Measure.DRIFT, null, 0.1));
  }

  @Test
  void ironInSiUnits() {
    IronSystem iron = Objects.requireNonNull(magnet.iron());
    assertThat(iron.pockets()).hasSize(144);
    assertThat(iron.pockets().get(7).tray()).isEqualTo(2);
    assertThat(iron.pockets().get(7).number()).isEqualTo(2);
    Vec3 centre = iron.pockets().get(7).centre();
    // Tray 2 of 24 stands at 7.5° + 15°.
    assertThat(Math.toDegrees(centre.azimuth())).isCloseTo(22.5, within(1e-12));
    assertThat(Math.hypot(centre.x(), centre.y())).isCloseTo(0.37, within(1e-15));
    assertThat(centre.z()).isCloseTo(-0.48, within(1e-15));
    PieceType thin = iron.pieces().get(0);
    // 40 × 50 × 0.1 mm³ = 200 mm³; at 7.85 g/cm³ that is 1.57 g.
    assertThat(thin.volume()).isCloseTo(200e-9, within(1e-20));
    assertThat(thin.mass()).isCloseTo(1.57e-3, within(1e-15));
    assertThat(iron.capacity()).isEqualTo(new IronSystem.Capacity(0.012, null));
    assertThat(iron.trayMassLimit()).isEqualTo(2.5);
    assertThat(iron.forbidden()).containsExactly(new PocketId(3, 1));
    assertThat(iron.installed().counts())
        .isEqualTo(Map.of(new Place(1, 4, "thin"), 12, new Place(24, 6, "thin"), 3));
    assertThat(iron.strengthOf(thin)).isEqualTo(0.97);
    assertThat(iron.temperatureC()).isEqualTo(20);
    assertThat(iron.errors()).isEqualTo(new IronSystem.Errors(0.01, 0.005, 0.0005, 0.01));
    assertThat(iron.plusZEnd()).isEqualTo("service end");
    assertThat(iron.stack()).isEqualTo(Stack.CENTRED);
  }

  @Test
  void coilResponseInSchmidtForm() throws IOException {
    Coil z2 = magnet.coils().get(0);
    assertThat(z2.limit()).isEqualTo(10);
    assertThat(z2.step()).isEqualTo(0.01);
    assertThat(z2.response().referenceRadius()).isEqualTo(0.2);
    assertThat(z2.response().coefficient(new Term(2, 0, Part.COS))).isEqualTo(12.5);
    String unnormalised =
        """
        magnet: {field_T: 1}
        coils:
          - {id: X2-Y2, limit_A: 1, response: {reference_radius_mm: 100, normalisation: unnormalised,
             unit: ppm_per_A, terms: [{n: 2, m: 2, part: cos, value: 2}]}}
        """;
    Coil coil = read(unnormalised).coils().get(0);
    // P_22 = 3 sin²θ, so 2 ppm of it at the equator are 6 ppm at φ = 0.
    assertThat(coil.response().at(new Vec3(0.1, 0, 0))).isCloseTo(6, within(1e-12));
  }

  @Test
  void onlyTheMagnetIsRequired() throws IOException {
    Magnet bare = read("magnet: {field_T: 3}\n");
    assertThat(bare.name()).isEqualTo("ridge");
    assertThat(bare.serial()).isNull();
    assertThat(bare.array().probes()).isEmpty();
    assertThat(bare.array().gammaMHzPerT()).isEqualTo(42.57638543);
    assertThat(bare.limits()).isEmpty();
    assertThat(bare.iron()).isNull();
    assertThat(bare.coils()).isEmpty();
  }

  @Test
  void fieldAxisAcrossTheBore() throws IOException {
    assertThat(read("magnet: {field_T: 0.1, field_axis: y}").fieldAxis()).isEqualTo(Vec3.UNIT_Y);
    Vec3 axis = read("magnet: {field_T: 0.1, field_axis: [3, 0, 4]}").fieldAxis();
    assertThat(axis.x()).isCloseTo(0.6, within(1e-15));
    assertThat(axis.z()).isCloseTo(0.8, within(1e-15));
  }

  /** Nodes of the 6-point rule: Abramowitz &amp; Stegun, Table 25.4. */
  @Test
  void gaussLegendrePlanesFromPlusZ() throws IOException {
    ProbeArray a =
        read("magnet: {field_T: 1}\narray: {radius_mm: 150, probes: {kind: gauss_legendre, count: 6}}")
            .array();
    double[] nodes = {0.932469514203152, 0.661209386466265, 0.238619186083197};
    for (int i = 0; i < 3; i++) {
      assertThat(Math.cos(a.probes().get(i).polar())).isCloseTo(nodes[i], within(1e-14));
      assertThat(Math.cos(a.probes().get(5 - i).polar())).isCloseTo(-nodes[i], within(1e-14));
    }
    assertThat(a.probes()).extracting(Probe::id).containsExactly(1, 2, 3, 4, 5, 6);
    assertThat(a.probes()).allMatch(p -> p.radius() == 0.15);
  }

  @Test
  void pocketsFromTableWithTheirOwnCapacity() throws IOException {
    Files.writeString(
        folder.resolve("pockets.csv"),
        "tray,pocket,x_mm,y_mm,z_mm,capacity\n2,1,0,300,-50,\n1,1,300,0,-50,4\n");
    for (String where : new String[] {"pockets: {file: pockets.csv}", "file: pockets.csv"}) {
      Magnet m =
          read(
              "magnet: {field_T: 1}\niron:\n  "
                  + where
                  + "\n  capacity_pieces: 9\n"
                  + "  pieces: [{id: dot, volume_mm3: 10, polarisation_T: 2.1, density_g_cm3: 7.87}]\n");
      IronSystem iron = Objects.requireNonNull(m.iron());
      assertThat(iron.pockets().get(0).centre()).isEqualTo(new Vec3(0.3, 0, -0.05));
      assertThat(iron.capacityOf(iron.pockets().get(0)).pieces()).isEqualTo(4);
      assertThat(iron.capacityOf(iron.pockets().get(1)).pieces()).isEqualTo(9);
      assertThat(iron.pieces().get(0).size()).isNull();
      assertThat(iron.pieces().get(0).mass()).isCloseTo(78.7e-6, within(1e-15));
    }
  }
}
