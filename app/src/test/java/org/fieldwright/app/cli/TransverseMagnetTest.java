package org.fieldwright.app.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.ToDoubleFunction;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * A magnet with its field across the bore, shimmed by permanent-magnet pieces of either sense:
 * survey, assessment, plan, comparison, through the command line. The referee is a sum of point
 * dipoles, B = JV/4π (3 d (m̂·d)/d⁵ − m̂/d³), written here and knowing of harmonics and planner
 * nothing.
 */
class TransverseMagnetTest {
  private static final double FIELD_T = 0.1;
  private static final double RADIUS = 0.1;
  private static final double GAMMA = 42.57638543;
  private static final double POLARISATION_T = 1.2;
  private static final double VOLUME = 16e-9; // m³
  private static final double[] POCKET_Z = {-0.16, -0.08, 0, 0.08, 0.16};
  private static final int TRAYS = 12;
  private static final int PROBES = 12;
  private static final int ANGLES = 24;

  @TempDir private Path folder;

  /** A dipole: where it is, and JV/4π along each axis. */
  @SuppressWarnings("ArrayRecordComponent") // never compared
  private record Dipole(double[] at, double[] moment) {}

  /** What the magnet is besides uniform: three disturbances, none along the main field alone. */
  private static List<Dipole> disturbances() {
    return List.of(
        new Dipole(new double[] {0.21, 0.16, 0.11}, new double[] {3e-8, 1e-8, 0}),
        new Dipole(new double[] {-0.18, 0.22, -0.07}, new double[] {1.5e-8, -2e-8, 1e-8}),
        new Dipole(new double[] {0.05, -0.27, 0.16}, new double[] {-2e-8, 2e-8, 0.7e-8}));
  }

  private static double[] field(int axis, List<Dipole> dipoles, double[] p) {
    double[] b = new double[3];
    b[axis] = FIELD_T;
    for (Dipole dipole : dipoles) {
      double[] d = new double[3];
      double square = 0;
      double along = 0;
      for (int k = 0; k < 3; k++) {
        d[k] = p[k] - dipole.at[k];
        square += d[k] * d[k];
        along += d[k] * dipole.moment[k];
      }
      for (int k = 0; k < 3; k++) {
        b[k] += (3 * d[k] * along / square - dipole.moment[k]) / Math.pow(square, 1.5);
      }
    }
    return b;
  }

  private static double modulus(double[] b) {
    return Math.sqrt(b[0] * b[0] + b[1] * b[1] + b[2] * b[2]);
  }

  private static double[] onSphere(double polar, double azimuth) {
    return new double[] {
      RADIUS * Math.sin(polar) * Math.cos(azimuth),
      RADIUS * Math.sin(polar) * Math.sin(azimuth),
      RADIUS * Math.cos(polar)
    };
  }

  /** What probes, which follow |B|, read at Gauss–Legendre polar angles over a turn. */
  private Path survey(String name, int axis, List<Dipole> dipoles) throws IOException {
    StringBuilder csv = new StringBuilder("angle_deg,probe,frequency_MHz\n");
    for (int a = 0; a < ANGLES; a++) {
      for (int p = 1; p <= PROBES; p++) {
        double[] at = onSphere(Math.acos(node(p)), 2 * Math.PI * a / ANGLES);
        csv.append(
            String.format(
                Locale.ROOT,
                "%.1f,%d,%.12f%n",
                360.0 * a / ANGLES,
                p,
                GAMMA * modulus(field(axis, dipoles, at))));
      }
    }
    return Files.writeString(folder.resolve(name), csv);
  }

  /** Root of P₁₂ by Newton's method from the usual start (Abramowitz &amp; Stegun 22.16.6). */
  private static double node(int probe) {
    double x = Math.cos(Math.PI * (probe - 0.25) / (PROBES + 0.5));
    for (int step = 0; step < 20; step++) {
      double before = 1;
      double now = x;
      for (int n = 2; n <= PROBES; n++) {
        double next = ((2 * n - 1) * x * now - (n - 1) * before) / n;
        before = now;
        now = next;
      }
      x -= now * (x * x - 1) / (PROBES * (x * now - before));
    }
    return x;
  }

  /**
   * Peak-to-peak of the component over the sphere, ppm of its value at the centre, on a 1° grid.
   */
  private static double peakToPeak(int axis, List<Dipole> dipoles) {
    double centre = field(axis, dipoles, new double[3])[axis];
    ToDoubleFunction<double[]> ppm = p -> 1e6 * (field(axis, dipoles, p)[axis] / centre - 1);
    double least = Double.POSITIVE_INFINITY;
    double most = Double.NEGATIVE_INFINITY;
    for (int i = 0; i <= 180; i++) {
      for (int j = 0; j < 360; j++) {
        double value = ppm.applyAsDouble(onSphere(Math.toRadians(i), Math.toRadians(j)));
        least = Math.min(least, value);
        most = Math.max(most, value);
      }
    }
    return most - least;
  }

  private Path magnet(String fieldAxis) throws IOException {
    return Files.writeString(
        folder.resolve("magnet.yaml"),
        """
        magnet: {name: across, field_T: 0.1, field_axis: %s}
        array:
          radius_mm: 100
          probes: {kind: gauss_legendre, count: 12}
          uncertainty: {reading_ppm: 0.005}
        limits:
          - {id: ball, shape: sphere, diameter_mm: 200, measure: peak_to_peak, limit_ppm: 40}
        iron:
          pockets: {trays: 12, first_tray_deg: 15, radius_mm: 220, z_mm: [-160, -80, 0, 80, 160], plus_z_end: lid}
          pieces:
            - {id: with, volume_mm3: 16, polarisation_T: 1.2, density_g_cm3: 7.5}
            - {id: against, volume_mm3: 16, polarisation_T: -1.2, density_g_cm3: 7.5}
          capacity_pieces: 30
        """
            .formatted(fieldAxis));
  }

  private static JsonNode answer(Object... words) throws IOException {
    CommandLineCall call = CommandLineCall.run(words);
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    return new ObjectMapper().readTree(call.answer());
  }

  /** The pieces of a plan as dipoles, each along the main field or against it. */
  private static List<Dipole> loaded(JsonNode plan, int axis) {
    List<Dipole> all = new ArrayList<>(disturbances());
    for (JsonNode row : plan.get("loading")) {
      double phi = Math.toRadians(15 + (row.get("tray").asInt() - 1) * 360.0 / TRAYS);
      double z = POCKET_Z[row.get("pocket").asInt() - 1];
      double sense = row.get("piece").asText().equals("with") ? 1 : -1;
      int pieces = row.get("to").asInt() - row.get("from").asInt();
      double[] moment = new double[3];
      moment[axis] = sense * pieces * POLARISATION_T * VOLUME / (4 * Math.PI);
      all.add(new Dipole(new double[] {0.22 * Math.cos(phi), 0.22 * Math.sin(phi), z}, moment));
    }
    return all;
  }

  @ParameterizedTest
  @CsvSource({"x,0", "y,1"})
  void aRoundOnAFieldAcrossTheBoreIsTheOneComputedForward(String fieldAxis, int axis)
      throws IOException {
    Path magnet = magnet(fieldAxis);
    Path before = survey("before.csv", axis, disturbances());
    JsonNode assessed = answer("assess", before, "--magnet", magnet, "--json");
    double truth = peakToPeak(axis, disturbances());
    assertThat(assessed.at("/limits/0/value_ppm").asDouble()).isCloseTo(truth, within(0.05));

    Path loading = folder.resolve("loading.csv");
    JsonNode plan =
        answer(
            "shim", before, "--magnet", magnet, "--iterations", 3, "--loading", loading, "--json");
    double planned = plan.get("planned_ppm").asDouble();
    List<Dipole> then = loaded(plan, axis);
    assertThat(planned).isLessThan(truth / 3);
    assertThat(plan.get("loading")).extracting(r -> r.get("piece").asText()).contains("against");
    assertThat(peakToPeak(axis, then)).isCloseTo(planned, within(0.1));

    Path after = survey("after.csv", axis, then);
    JsonNode found = answer("assess", after, "--magnet", magnet, "--json");
    assertThat(found.at("/limits/0/value_ppm").asDouble())
        .isCloseTo(planned, within(0.2)); // pieces beyond degree 11
    JsonNode compared =
        answer("compare", before, after, "--magnet", magnet, "--loaded", loading, "--json");
    double shift =
        1e6
            * (modulus(field(axis, then, new double[3]))
                    / modulus(field(axis, disturbances(), new double[3]))
                - 1);
    assertThat(compared.get("centre_shift_ppm").asDouble()).isCloseTo(shift, within(0.02));
    assertThat(compared.at("/loaded/strengths")).isNotEmpty();
    for (JsonNode strength : compared.at("/loaded/strengths")) {
      assertThat(strength.get("factor").asDouble()).isCloseTo(1, within(0.002));
    }
  }

  /** A stack that was forgotten is named, its field taken along the main field as the others'. */
  @Test
  void aStackThatWasForgottenIsNamed() throws IOException {
    Path magnet = magnet("x");
    Path before = survey("before.csv", 0, disturbances());
    Path loading = folder.resolve("loading.csv");
    JsonNode plan =
        answer(
            "shim", before, "--magnet", magnet, "--iterations", 1, "--loading", loading, "--json");
    int forgotten = 0;
    int most = 0;
    for (int i = 0; i < plan.get("loading").size(); i++) {
      int pieces = plan.get("loading").get(i).get("to").asInt();
      forgotten = pieces > most ? i : forgotten;
      most = Math.max(most, pieces);
    }
    JsonNode row = plan.get("loading").get(forgotten);
    List<Dipole> then = loaded(plan, 0);
    then.remove(disturbances().size() + forgotten);
    Path after = survey("after.csv", 0, then);
    JsonNode first =
        answer("compare", before, after, "--magnet", magnet, "--loaded", loading, "--json")
            .at("/loaded/suspicions/0");
    assertThat(first.get("what").asText()).isEqualTo("stack_not_changed");
    assertThat(first.get("tray")).isEqualTo(row.get("tray"));
    assertThat(first.get("pocket")).isEqualTo(row.get("pocket"));
    assertThat(first.get("strong").asBoolean()).isTrue();
  }

  /** The same readings under another axis: the sheet's pieces do not explain the change. */
  @Test
  void aWrongAxisDoesNotPass() throws IOException {
    Path before = survey("before.csv", 0, disturbances());
    Path loading = folder.resolve("loading.csv");
    JsonNode plan =
        answer(
            "shim",
            before,
            "--magnet",
            magnet("x"),
            "--iterations",
            1,
            "--loading",
            loading,
            "--json");
    Path after = survey("after.csv", 0, loaded(plan, 0));
    JsonNode compared =
        answer("compare", before, after, "--magnet", magnet("z"), "--loaded", loading, "--json");
    assertThat(compared.at("/loaded/strengths"))
        .anySatisfy(s -> assertThat(Math.abs(s.get("factor").asDouble() - 1)).isGreaterThan(0.1));
  }
}
