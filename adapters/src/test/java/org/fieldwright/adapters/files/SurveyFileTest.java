package org.fieldwright.adapters.files;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.Survey;
import org.fieldwright.core.reading.Survey.Kind;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Surveys as the format reference (docs/formats/survey.md) describes them. */
class SurveyFileTest {
  /** CODATA 2022 shielded proton, MHz/T. */
  private static final double GAMMA = 42.57638543;

  @TempDir Path folder;
  private Magnet magnet;

  @BeforeEach
  void describeMagnet() throws IOException {
    Path path = folder.resolve("m.yaml");
    Files.writeString(
        path,
        """
        magnet: {field_T: 0.55}
        array:
          radius_mm: 200
          probes: [{id: 1, polar_deg: 0}, {id: 2, polar_deg: 90}, {id: 3, polar_deg: 240}]
        """);
    magnet = MagnetFile.read(path);
  }

  private Survey read(String csv) throws IOException {
    Path path = folder.resolve("a.csv");
    Files.writeString(path, csv);
    return SurveyFile.read(path, magnet);
  }

  private static void assertNear(Vec3 found, Vec3 expected) {
    assertThat(found.minus(expected).norm()).isLessThan(1e-15);
  }

  @Test
  void turningArray() throws IOException {
    Survey s =
        read(
            """
            # operator: night shift
            # place: Kestrel Ridge: bay 2
            angle_deg,probe,frequency_MHz,sd_Hz,averages,locked,time,turn
            0,1,23.4,5,8,8,2026-03-02T10:00:00+01:00,1
            # turned on
            90,2,23.5,,8,,2026-03-02T10:00:30.5+01:00,2
            30,3,,,8,0,2026-03-02T10:01:00Z,3
            """);
    assertThat(s.file()).isEqualTo("a.csv");
    assertThat(s.kind()).isEqualTo(Kind.TURNING_ARRAY);
    assertThat(s.frequency()).isTrue();
    assertThat(s.remarks())
        .containsEntry("operator", "night shift")
        .containsEntry("place", "Kestrel Ridge: bay 2");
    List<Reading> r = s.readings();
    assertThat(r).extracting(Reading::row).containsExactly(4, 6, 7);
    assertThat(r.get(0).field()).isCloseTo(23.4 / GAMMA, within(1e-15));
    assertThat(r.get(0).sd()).isCloseTo(5e-6 / GAMMA, within(1e-21));
    assertThat(r.get(0).averages()).isEqualTo(8);
    assertThat(r.get(0).locked()).isEqualTo(8);
    assertThat(r.get(0).time()).isEqualTo(Instant.parse("2026-03-02T09:00:00Z"));
    assertThat(r.get(1).time()).isEqualTo(Instant.parse("2026-03-02T09:00:30.500Z"));
    assertThat(r.get(1).sd()).isNull();
    assertThat(r.get(1).locked()).isNull();
    assertThat(r.get(2).field()).isNull();
    assertThat(r.get(2).locked()).isZero();
    assertThat(r.get(2).turn()).isEqualTo(3);
    assertNear(r.get(0).position(), new Vec3(0, 0, 0.2));
    assertNear(r.get(1).position(), new Vec3(0, 0.2, 0));
    // Polar 240° is 120° in the other half of the plane: azimuth 30° + 180°.
    assertNear(r.get(2).position(), Vec3.spherical(0.2, Math.toRadians(120), Math.toRadians(210)));
  }

  @ParameterizedTest
  @CsvSource({
    "frequency_Hz,23400000", "frequency_kHz,23400", "frequency_MHz,23.4",
    "FREQUENCY_MHZ,23.4", "Frequency_HZ,2.34e7", "frequency_khz,23400"
  })
  void frequencyUnits(String column, String value) throws IOException {
    Survey s = read("probe,angle_deg," + column + "\n1,0," + value + "\n");
    assertThat(s.readings().get(0).field()).isCloseTo(23.4 / GAMMA, within(1e-15));
  }

  @ParameterizedTest
  @CsvSource({
    "field_T,0.55",
    "field_mT,550",
    "field_uT,550000",
    "field_µT,550000",
    "field_G,5500",
    "FIELD_T,0.55",
    "field_mt,550",
    "field_UT,550000",
    "Field_g,5500"
  })
  void fieldUnits(String column, String value) throws IOException {
    Survey s = read("PROBE,ANGLE_DEG," + column + "\n1,0," + value + "\n");
    assertThat(s.readings().get(0).field()).isCloseTo(0.55, within(1e-15));
    assertThat(s.frequency()).isFalse();
  }

  @ParameterizedTest
  @CsvSource({"mm,1000", "cm,100", "m,1", "MM,1000"})
  void freePointsOfThreeKinds(String unit, double perMetre) throws IOException {
    String a = 0.1 * perMetre + "";
    String b = -0.2 * perMetre + "";
    Survey xyz = read("x_%1$s,y_%1$s,z_%1$s,field_T\n%2$s,%3$s,0,1\n".formatted(unit, a, b));
    assertThat(xyz.kind()).isEqualTo(Kind.FREE_POINTS);
    assertThat(xyz.readings().get(0).probe()).isNull();
    assertNear(xyz.readings().get(0).position(), new Vec3(0.1, -0.2, 0));
    Survey cyl =
        read("rho_%1$s,azimuth_deg,z_%1$s,field_T\n%2$s,90,%3$s,1\n".formatted(unit, a, b));
    assertNear(cyl.readings().get(0).position(), new Vec3(0, 0.1, -0.2));
    Survey sph = read("r_%1$s,polar_deg,azimuth_deg,field_T\n%2$s,180,45,1\n".formatted(unit, a));
    assertNear(sph.readings().get(0).position(), new Vec3(0, 0, -0.1));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "angle_deg;probe;frequency_MHz~30,5;2;23,4",
        "angle_deg;probe;frequency_MHz~30.5;2;23.4",
        "angle_deg\tprobe\tfrequency_MHz~30,5\t2\t23,4",
        "angle_deg\tprobe\tfrequency_MHz~30.5\t2\t23.4",
        "'\uFEFFangle_deg,probe,frequency_MHz~30.5,2,23.4'",
        "'\"angle_deg\",\"probe\",\"frequency_MHz\"~\"30.5\",\"2\",\"23.4\"'",
        "'angle_deg,probe,frequency_MHz,~30.5,2,23.4,'",
      })
  void separatorsAndDecimalMarks(String lines) throws IOException {
    for (String end : new String[] {"\n", "\r\n"}) {
      Reading r = read(lines.replace("~", end) + end + end).readings().get(0);
      assertThat(r.angleDeg()).isEqualTo(30.5);
      assertThat(r.probe()).isEqualTo(2);
      assertThat(r.field()).isCloseTo(23.4 / GAMMA, within(1e-15));
    }
  }

  @Test
  void unknownColumnsAreIgnoredWithANote() throws IOException {
    Survey s = read("bay,angle_deg,probe,frequency_MHz,x_mm\n\"2, east\",0,1,23.4,17\n");
    assertThat(s.notes()).hasSize(2);
    assertThat(s.notes().get(0)).contains("bay");
    assertThat(s.notes().get(1)).contains("angle_deg, probe", "x_mm");
  }
}
