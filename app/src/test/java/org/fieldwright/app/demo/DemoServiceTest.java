package org.fieldwright.app.demo;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.function.Function;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.homogeneity.LimitResult.Verdict;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The demonstration from end to end, refereed by what its virtual magnet really is. */
class DemoServiceTest {
  @TempDir private Path folder = Path.of("");

  /** How often the audience lets itself be asked for more time; not by the clock. */
  private static final int PATIENCE = 1500;

  /** An audience that waits for a good plan and not for the best. */
  private static final class Hasty implements Narrator {
    private final List<String> heard = new ArrayList<>();

    @Override
    public void say(String line) {
      heard.add(line);
    }

    @Override
    public Plan watch(Function<Progress, Plan> search) {
      return search.apply(
          new Progress() {
            private int asked;

            @Override
            public void report(String stage, double fraction, double bestSoFar) {}

            @Override
            public boolean shouldStop() {
              return asked++ > PATIENCE;
            }
          });
    }
  }

  @Test
  void doesTheWholeJob() throws IOException {
    Hasty narrator = new Hasty();
    Clock clock = Clock.fixed(Instant.parse("2026-03-12T09:00:00Z"), ZoneOffset.UTC);
    DemoService.Outcome outcome =
        new DemoService(clock, ZoneOffset.UTC).run(folder.resolve("demo"), narrator);

    assertThat(Files.readAllBytes(outcome.report())).startsWith('%', 'P', 'D', 'F');
    assertThat(folder.resolve("demo"))
        .isDirectoryContaining("glob:**/survey-1.csv")
        .isDirectoryContaining("glob:**/loading.csv")
        .isDirectoryContaining("glob:**/survey-2.csv");
    assertThat(narrator.heard).anyMatch(line -> line.contains("report.pdf"));

    LimitResult bare = outcome.before().limits().get(0);
    assertThat(bare.verdict()).isEqualTo(Verdict.NOT_MET);
    assertThat(Objects.requireNonNull(bare.valuePpm())).isBetween(300.0, 500.0);
    Plan plan = outcome.plan();
    double bound = Objects.requireNonNull(plan.relaxedBoundPpm());
    assertThat(bound).isBetween(1.0, 10.0);
    assertThat(plan.plannedPpm()).isBetween(bound, 20.0);

    holdsAgainstTheTruth(outcome.before(), "truth.json");
    holdsAgainstTheTruth(outcome.after(), "truth-after.json");
    // The scenario's array stands on its axis; iron near by must not look like one that does not.
    assertThat(outcome.after().findings())
        .extracting(f -> f.what().id())
        .doesNotContain("array_off_axis", "array_beside_axis");
  }

  private void holdsAgainstTheTruth(Assessment assessed, String document) throws IOException {
    JsonNode truth =
        new ObjectMapper().readTree(Files.readAllBytes(folder.resolve("demo").resolve(document)));
    LimitResult found = assessed.limits().get(0);
    double really = truth.get("limits").get(0).get("value_ppm").doubleValue();
    assertThat(Objects.requireNonNull(found.valuePpm()))
        .as(document)
        .isCloseTo(really, within(4 * Objects.requireNonNull(found.uncertaintyPpm())));
  }
}
