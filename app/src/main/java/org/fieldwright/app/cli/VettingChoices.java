package org.fieldwright.app.cli;

import java.nio.file.Path;
import java.util.Set;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** What a person may decide about the vetting of a survey; shared by the commands that read one. */
final class VettingChoices {
  @Option(
      names = "--degree",
      paramLabel = "N",
      description = "Degree of the field model; by default the one of least leave-one-out error.")
  private @Nullable Integer degree;

  @Option(
      names = "--leave-out",
      split = ",",
      paramLabel = "ROW",
      description = "Rows of the survey file not to use.")
  private Set<Integer> leaveOut = Set.of();

  @Option(
      names = "--keep",
      split = ",",
      paramLabel = "ROW",
      description = "Rows to use even if they look like outliers.")
  private Set<Integer> keep = Set.of();

  /** The choices, with an earlier survey to compare the array's placement with, or null. */
  AssessService.Options options(@Nullable Path earlier) {
    requireDegree(degree);
    return new AssessService.Options(degree, leaveOut, keep, earlier);
  }

  /** For another survey of the same visit: rows mean nothing there. */
  AssessService.Options optionsWithoutRows() {
    requireDegree(degree);
    return new AssessService.Options(degree, Set.of(), Set.of(), null);
  }

  /** Refuses a degree that no command takes; null is by leave-one-out error. */
  static void requireDegree(@Nullable Integer degree) {
    if (degree != null && (degree < 1 || degree > AssessService.HIGHEST_DEGREE)) {
      throw new BadInput(
          "--degree: found %d; a degree is 1 to %d"
              .formatted(degree, AssessService.HIGHEST_DEGREE));
    }
  }
}
