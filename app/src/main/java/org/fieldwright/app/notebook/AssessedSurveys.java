package org.fieldwright.app.notebook;

import java.io.IOException;
import java.lang.ref.SoftReference;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.fieldwright.adapters.files.InputDigest;
import org.fieldwright.adapters.files.LoadingFile;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.app.KeyLocks;
import org.fieldwright.app.assess.AssessService;
import org.fieldwright.app.assess.Assessment;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.PlanForecast;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldModel;
import org.fieldwright.core.harmonic.Term;
import org.fieldwright.core.magnet.Magnet;
import org.jspecify.annotations.Nullable;

/**
 * Surveys of the notebook, assessed with the choices a person made about them. They are remembered
 * by the content of what they rest on, so that every view of one survey costs one fit, and as long
 * as memory is not short: a magnet's life goes over all of its surveys in turn, and of a few
 * remembered it would find none.
 */
public final class AssessedSurveys {
  private static final int REMEMBERED = 500;

  private final NotebookService notebook;
  private final AssessService assess;
  private final KeyLocks locks = new KeyLocks();
  private final Map<String, SoftReference<Assessment>> known =
      Collections.synchronizedMap(
          new LinkedHashMap<>(REMEMBERED, 0.75f, true) {
            private static final long serialVersionUID = 1L;

            @Override
            protected boolean removeEldestEntry(
                Map.Entry<String, SoftReference<Assessment>> eldest) {
              return size() > REMEMBERED;
            }
          });

  /**
   * @param clock says when a survey without times was taken
   */
  public AssessedSurveys(NotebookService notebook, Clock clock) {
    this.notebook = notebook;
    this.assess = new AssessService(clock);
  }

  /** What was decided about a survey, and its SHA-256 where anything was. */
  public record Chosen(SurveyChoices choices, @Nullable String sha256) {}

  public Chosen choices(String magnet, String survey) throws IOException {
    notebook.existing(magnet, survey);
    String file = survey + SurveyChoices.ENDING;
    if (!notebook.files(magnet).contains(file)) {
      return new Chosen(SurveyChoices.NONE, null);
    }
    NotebookService.Kept kept = notebook.read(magnet, file);
    return new Chosen(SurveyChoices.read(kept.content()), kept.sha256());
  }

  /**
   * Keeps what was decided about a survey.
   *
   * @param expected SHA-256 of the decisions it replaces; null where there were none
   * @return SHA-256 of what is there now
   */
  public String choose(
      String magnet, String survey, SurveyChoices choices, @Nullable String expected)
      throws IOException, NotebookService.Changed {
    notebook.existing(magnet, survey);
    return notebook.save(magnet, survey + SurveyChoices.ENDING, choices.bytes(), expected);
  }

  /**
   * A survey with the choices made about it.
   *
   * @param degree instead of the chosen one; null = as chosen
   */
  public Assessment of(String magnet, String survey, @Nullable Integer degree) throws IOException {
    Path surveyFile = notebook.existing(magnet, survey);
    Path magnetFile = notebook.magnetFile(magnet);
    SurveyChoices choices = choices(magnet, survey).choices().withDegree(degree);
    String key = key(magnetFile, surveyFile, choices);
    synchronized (locks.of(key)) { // the magnet's page asks for its history and its life at once
      SoftReference<Assessment> kept = known.get(key);
      Assessment before = kept == null ? null : kept.get();
      if (before != null) {
        return before;
      }
      Assessment now = assess.assess(surveyFile, magnetFile, choices.options());
      known.put(key, new SoftReference<>(now));
      return now;
    }
  }

  private static String key(Path magnetFile, Path survey, SurveyChoices choices) {
    List<String> parts = new ArrayList<>();
    for (Path source : MagnetFile.load(magnetFile).sources()) {
      parts.add(InputDigest.sha256(source));
    }
    parts.add(survey.getFileName() + InputDigest.sha256(survey));
    parts.add(choices.withBy(null).json().toString());
    return String.join(" ", parts);
  }

  /**
   * A field to look at: as found, or as it would be.
   *
   * @param changes list of changes of iron to add to it; null = none
   * @param without terms taken out
   */
  public FieldModel field(
      String magnet, String survey, @Nullable String changes, List<Term> without)
      throws IOException {
    Assessment found = of(magnet, survey, null);
    FieldModel model = found.model();
    if (changes != null) {
      model = after(found.magnet(), model, notebook.existing(magnet, changes));
    }
    return without.isEmpty() ? model : without(model, without);
  }

  private static FieldModel after(Magnet magnet, FieldModel model, Path changes) {
    IronSystem iron = magnet.iron();
    if (iron == null) {
      throw new BadInput("the magnet file has no section 'iron': nothing can be loaded");
    }
    LoadingFile.Round round = LoadingFile.readRound(changes, iron);
    double reach = magnet.reach(model.measuredRadius());
    return new PlanForecast(iron, magnet.fieldAxis())
        .after(model, round.before(), round.after(), LoadingFile.readWeighed(changes, iron), reach);
  }

  /** The same model with some terms zero; what is uncertain about the others stays. */
  private static FieldModel without(FieldModel model, List<Term> terms) {
    double[] c = model.ppm().coefficients();
    for (Term t : terms) {
      if (t.n() >= 1 && t.index() < c.length) {
        c[t.index()] = 0;
      }
    }
    return new FieldModel(
        new Expansion(model.ppm().referenceRadius(), c),
        model.centreField(),
        model.unseen(),
        model.covariance(),
        model.shares(),
        model.condition(),
        model.residualRmsPpm(),
        model.degreesOfFreedom(),
        model.measuredRadius(),
        model.degreeReason());
  }
}
