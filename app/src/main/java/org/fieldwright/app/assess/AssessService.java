package org.fieldwright.app.assess;

import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import org.fieldwright.adapters.files.InputDigest;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.adapters.files.SurveyFile;
import org.fieldwright.app.assess.Assessment.Input;
import org.fieldwright.core.harmonic.ArrayPlacement;
import org.fieldwright.core.harmonic.FieldModels;
import org.fieldwright.core.harmonic.MagneticCentre;
import org.fieldwright.core.homogeneity.HomogeneityAssessment;
import org.fieldwright.core.homogeneity.LimitResult;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.EarlierSurvey;
import org.fieldwright.core.reading.FittedSurvey;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.Survey;
import org.fieldwright.core.reading.Vetting;
import org.fieldwright.core.reading.VettingOptions;
import org.jspecify.annotations.Nullable;

/** Vets a survey, fits the field and holds it against the magnet's limits. */
public final class AssessService {
  /** Of a field model that a person may ask for. */
  public static final int HIGHEST_DEGREE = 60;

  private final Clock clock;

  /**
   * @param clock says when a survey without times was taken, for the calibration's sake
   */
  public AssessService(Clock clock) {
    this.clock = clock;
  }

  /**
   * What a person may decide.
   *
   * @param degree null = by leave-one-out error
   * @param leaveOut rows not to use
   * @param keep rows to use even if they look bad
   * @param earlier a survey of the same magnet in the same state, to tell how the array stood; null
   *     = none
   */
  public record Options(
      @Nullable Integer degree, Set<Integer> leaveOut, Set<Integer> keep, @Nullable Path earlier) {
    public static final Options DEFAULT = new Options(null, Set.of(), Set.of(), null);
  }

  /** Assesses a survey file. */
  public Assessment assess(Path surveyFile, Path magnetFile, Options options) {
    MagnetFile.Loaded loaded = MagnetFile.load(magnetFile);
    Survey survey = SurveyFile.read(surveyFile, loaded.magnet());
    List<Input> inputs = new ArrayList<>();
    inputs.add(input(surveyFile));
    loaded.sources().forEach(source -> inputs.add(input(source)));
    if (options.earlier() == null) {
      return assess(survey, loaded.magnet(), options, inputs);
    }
    inputs.add(input(options.earlier()));
    Survey earlier = SurveyFile.read(options.earlier(), loaded.magnet());
    return beside(earlier, survey, loaded.magnet(), options, inputs);
  }

  /** Assesses a survey already read. */
  public Assessment assess(Survey survey, Magnet magnet, Options options, List<Input> inputs) {
    FittedSurvey fitted = Vetting.vet(survey, magnet.array(), choices(survey, options));
    return assess(fitted, magnet, inputs, null, List.of());
  }

  /** The assessment with what an earlier survey shows of it. */
  private Assessment beside(
      Survey earlier, Survey survey, Magnet magnet, Options options, List<Input> inputs) {
    VettingOptions choices = choices(survey, options);
    EarlierSurvey beside =
        EarlierSurvey.beside(
            Vetting.vet(earlier, magnet.array(), choices(earlier, Options.DEFAULT)),
            Vetting.vet(survey, magnet.array(), choices),
            magnet.array(),
            choices);
    List<String> warnings = new ArrayList<>();
    beside.findings().forEach(f -> warnings.add(f.sentences()));
    ArrayPlacement best = beside.placement().get(0);
    if (best.misfit() > EarlierSurvey.FIELD_CHANGED) {
      warnings.add(
          "No displacement or rotation of the array explains the change since %s (misfit %.1f per term): the field itself changed."
              .formatted(earlier.file(), best.misfit()));
    }
    return assess(beside.now(), magnet, inputs, beside, warnings);
  }

  private static Assessment assess(
      FittedSurvey fitted,
      Magnet magnet,
      List<Input> inputs,
      @Nullable EarlierSurvey beside,
      List<String> more) {
    List<LimitResult> limits = HomogeneityAssessment.assess(fitted.model(), magnet.limits());
    List<String> warnings = new ArrayList<>(fitted.vetted().warnings());
    for (LimitResult result : limits) {
      if (result.extrapolated()) {
        warnings.add(
            String.format(
                Locale.ROOT,
                "Limit %s reaches to %.1f mm, beyond the %.1f mm that were read: what is said of it is extrapolated, and noise grows with the power of the degree.",
                result.limit().id(),
                1e3 * result.limit().requireVolume().outerRadius(),
                1e3 * fitted.model().measuredRadius()));
      }
    }
    warnings.addAll(more);
    MagneticCentre centre = MagneticCentre.of(fitted.model()).orElse(null);
    List<LimitResult> atCentre =
        centre == null
            ? List.of()
            : HomogeneityAssessment.assess(
                FieldModels.about(fitted.model(), centre.at()), magnet.limits());
    return new Assessment(magnet, fitted, limits, warnings, inputs, centre, atCentre, beside);
  }

  private VettingOptions choices(Survey survey, Options options) {
    return new VettingOptions(
        options.degree(), options.leaveOut(), options.keep(), surveyed(survey));
  }

  private static Input input(Path file) {
    return new Input(String.valueOf(file.getFileName()), InputDigest.sha256(file));
  }

  private LocalDate surveyed(Survey survey) {
    return survey.readings().stream()
        .map(Reading::time)
        .filter(t -> t != null)
        .max(java.time.Instant::compareTo)
        .map(t -> LocalDate.ofInstant(t, ZoneOffset.UTC))
        .orElseGet(() -> LocalDate.now(clock));
  }
}
