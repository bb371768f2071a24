package org.fieldwright.app.simulate;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.networknt.schema.InputFormat;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.stream.Stream;
import org.fieldwright.adapters.files.InputDigest;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.reading.VettedSurvey.SetAside;
import org.fieldwright.core.reading.VettedSurvey.Why;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The magnet of the demonstration, made of loops, dipoles and blocks. */
class SimulateServiceTest {
  @TempDir private Path folder = Path.of("");

  private Path scenario = Path.of("");

  @BeforeEach
  void unpack() throws IOException {
    for (String name : List.of("scenario.yaml", "magnet.yaml", "installed.csv")) {
      try (InputStream in =
          Objects.requireNonNull(getClass().getResourceAsStream("/demo/" + name))) {
        Files.copy(in, folder.resolve(name));
      }
    }
    scenario = folder.resolve("scenario.yaml");
  }

  private static JsonNode json(Path file) throws IOException {
    return new ObjectMapper().readTree(Files.readAllBytes(file));
  }

  @Test
  void sameSeedGivesTheSameBytes() throws IOException {
    SimulateService service = new SimulateService();
    service.simulate(scenario, folder.resolve("a"));
    service.simulate(scenario, folder.resolve("b"));
    assertThat(digests("a"))
        .isEqualTo(digests("b"))
        .containsOnlyKeys(
            "magnet.yaml", "installed.csv", "survey-1.csv", "log-1.csv", "truth.json");
    Files.writeString(scenario, Files.readString(scenario).replaceFirst("seed: \\d+", "seed: 99"));
    service.simulate(scenario, folder.resolve("c"));
    assertThat(digests("c").get("survey-1.csv")).isNotEqualTo(digests("a").get("survey-1.csv"));
  }

  private Map<String, String> digests(String name) throws IOException {
    Map<String, String> digests = new HashMap<>();
    try (Stream<Path> files = Files.list(folder.resolve(name))) {
      files.forEach(f -> digests.put(f.getFileName().toString(), InputDigest.sha256(f)));
    }
    return digests;
  }

  /**
   * The referee is the magnet's loops and dipoles, which the fit knows nothing of. Over some 170
   * terms the mean square of error/uncertainty is 1 ± 0.11 if the uncertainty is right; systematic
   * shares (a probe's place is wrong at every angle) widen that.
   */
  @Test
  void assessingTheReadingsRecoversTheTruthWithinItsUncertainty() throws IOException {
    SimulateService.Simulated simulated =
        new SimulateService().simulate(scenario, folder.resolve("out"));
    Assessment assessed =
        new AssessService(Clock.systemUTC())
            .assess(
                simulated.surveys().get(0), simulated.magnetFile(), AssessService.Options.DEFAULT);
    JsonNode truth = json(simulated.truth());
    String schema = Files.readString(Path.of("..", "docs", "schemas", "truth.schema.json"));
    assertThat(
            SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                .getSchema(schema)
                .validate(truth.toString(), InputFormat.JSON))
        .isEmpty();
    FieldModel model = assessed.model();
    double squares = 0;
    int count = 0;
    for (JsonNode term : truth.get("harmonics").get("terms")) {
      Term.Part part = term.get("part").textValue().equals("cos") ? Term.Part.COS : Term.Part.SIN;
      Term t = new Term(term.get("n").intValue(), term.get("m").intValue(), part);
      if (t.n() > model.ppm().degree() || model.unseen().contains(t)) {
        continue;
      }
      double z =
          (model.ppm().coefficient(t) - term.get("value").doubleValue())
              / model.standardUncertainty(t);
      assertThat(z).as("error/uncertainty of %s", t).isBetween(-4.5, 4.5);
      squares += z * z;
      count++;
    }
    assertThat(count).isGreaterThan(80);
    assertThat(squares / count).isBetween(0.5, 1.6);
    int i = 0;
    for (JsonNode limit : truth.get("limits")) {
      LimitResult found = assessed.limits().get(i++);
      if (found.valuePpm() != null) {
        double u = Objects.requireNonNull(found.uncertaintyPpm());
        assertThat(found.valuePpm())
            .as("limit %s", found.limit().id())
            .isCloseTo(limit.get("value_ppm").doubleValue(), within(3.5 * u));
      }
    }
  }

  @Test
  void vettingFindsWhatWasPutIn() throws IOException {
    SimulateService.Simulated simulated =
        new SimulateService().simulate(scenario, folder.resolve("out"));
    Assessment assessed =
        new AssessService(Clock.systemUTC())
            .assess(
                simulated.surveys().get(0), simulated.magnetFile(), AssessService.Options.DEFAULT);
    assertThat(assessed.vetted().setAside())
        .extracting(SimulateServiceTest::place)
        .containsExactlyInAnyOrder(
            "1 at 165.0 NO_LOCK",
            "22 at 240.0 NO_LOCK",
            "23 at 240.0 NO_LOCK",
            "7 at 30.0 OUTLIER",
            "15 at 285.0 OUTLIER",
            "11 at 105.0 OUT_OF_RANGE");
    assertThat(assessed.vetted().setAside()).extracting(SetAside::why).contains(Why.OUT_OF_RANGE);
    assertThat(assessed.vetted().suspectProbes())
        .singleElement()
        .satisfies(
            probe -> {
              assertThat(probe.probe()).isEqualTo(9);
              assertThat(probe.offsetPpm()).isCloseTo(0.6, within(0.1));
            });
  }

  private static String place(SetAside aside) {
    return aside.reading().probe() + " at " + aside.reading().angleDeg() + " " + aside.why();
  }

  /** What truth.json says of the field after loading is what the pieces' dipoles add up to. */
  @Test
  void nextSurveyIsOfTheMagnetAsLoaded() throws IOException {
    Path changes = folder.resolve("changes.csv");
    Files.writeString(changes, "tray,pocket,piece,count,from,to\n1,5,thick,20,0,20\n");
    SimulateService service = new SimulateService();
    JsonNode before = json(service.simulate(scenario, folder.resolve("out")).truth());
    SimulateService.Simulated next = service.next(scenario, changes, folder.resolve("out"));
    assertThat(next.surveys()).containsExactly(folder.resolve("out/survey-2.csv"));
    JsonNode after = json(next.truth());
    double risen =
        after.get("centre").get("field_T").doubleValue()
            - before.get("centre").get("field_T").doubleValue();
    // −JV/(4π r³) at the middle of a ring's plane, 0.8 % weaker steel, pieces good to a few per
    // cent.
    double dipole = -0.992 * 20 * 2.1 * 0.04 * 0.03 * 0.0005 / (4 * Math.PI * Math.pow(0.37, 3));
    assertThat(risen).isCloseTo(dipole, within(0.04 * Math.abs(dipole)));
  }

  @Test
  void badInputLeavesNothingBehind() throws IOException {
    Files.writeString(
        scenario, Files.readString(scenario).replace("probe: 9, ppm", "probe: 99, ppm"));
    assertThatThrownBy(() -> new SimulateService().simulate(scenario, folder.resolve("out")))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("expected the id of a probe");
    assertThat(folder.resolve("out")).doesNotExist();
  }
}
