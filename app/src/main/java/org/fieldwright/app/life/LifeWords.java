package org.fieldwright.app.life;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.fieldwright.adapters.text.Numerals;
import org.fieldwright.core.history.Judgement;
import org.fieldwright.core.history.MagnetEvent;
import org.fieldwright.core.history.MagnetLife;
import org.fieldwright.core.history.ScalarChange;
import org.fieldwright.core.history.ShapeChange;
import org.fieldwright.core.stability.Estimate;

/** What was found of a life, in whole sentences. */
public final class LifeWords {
  private static final int MOST_TERMS = 4;
  private static final double LEAST_CHANCE = 1e-4;

  private final Numerals numerals;

  /**
   * @param numerals how numbers are written
   */
  public LifeWords(Numerals numerals) {
    this.numerals = numerals;
  }

  /** The day of an instant, UTC. */
  public static String day(Instant time) {
    return time.toString().substring(0, "2026-03-02".length());
  }

  /** What a survey showed. */
  public List<String> of(Judgement j) {
    List<String> sentences = new ArrayList<>();
    for (MagnetEvent e : j.between()) {
      sentences.add(event(e));
    }
    if (j.snapshot().loadedSince() != null) {
      sentences.add("Iron was loaded since; what it should have done is taken off.");
    }
    sentences.add(shape(j));
    ShapeChange shape = j.shape();
    if (shape != null && shape.changed()) {
      shape.outstanding().stream().limit(MOST_TERMS).forEach(o -> sentences.add(term(o)));
    }
    j.limits().forEach((id, c) -> sentences.add(limit(id, c)));
    sentences.add(field(j));
    return sentences;
  }

  /** What was written down. */
  public static String event(MagnetEvent e) {
    String kind =
        switch (e.kind()) {
          case MOVED -> "moved";
          case QUENCH -> "quench";
          case RAMPED -> "ramped";
          case SERVICE -> "service";
          case OTHER -> "noted";
        };
    return e.note().isEmpty()
        ? "Written down on %s: %s.".formatted(day(e.time()), kind)
        : "Written down on %s: %s (%s).".formatted(day(e.time()), kind, e.note());
  }

  private String shape(Judgement j) {
    ShapeChange shape = j.shape();
    if (shape == null) {
      return "Whether the harmonics changed cannot be said: the surveys state no uncertainty.";
    }
    String misfit = numerals.significant(shape.misfit(), 3);
    return shape.changed()
        ? "The harmonics changed: misfit %s over %d terms, chance %s."
            .formatted(misfit, shape.terms(), chance(shape.correctedChance()))
        : "The harmonics are as expected: misfit %s over %d terms, chance %s."
            .formatted(misfit, shape.terms(), chance(shape.correctedChance()));
  }

  private String term(ShapeChange.Outstanding o) {
    return "%s stands out by %s ppm."
        .formatted(
            o.term().tradeName(), numerals.withUncertainty(o.differencePpm(), o.uncertainty()));
  }

  private String limit(String id, ScalarChange c) {
    String difference = numerals.withUncertainty(c.difference(), c.uncertainty());
    return c.changed()
        ? "%s changed by %s ppm, chance %s.".formatted(id, difference, chance(c.correctedChance()))
        : "%s differs from what was expected by %s ppm, within chance.".formatted(id, difference);
  }

  private String field(Judgement j) {
    String shift =
        numerals.withUncertainty(j.fieldShiftPpm().value(), j.fieldShiftPpm().uncertainty());
    return switch (j.fieldBasis()) {
      case SET_ANEW ->
          "The centre field was set anew in between and differs by %s ppm.".formatted(shift);
      case NO_RATE_YET ->
          "The centre field differs by %s ppm; one survey before tells no rate to expect."
              .formatted(shift);
      case JUDGED -> judgedField(Objects.requireNonNull(j.field()), shift);
    };
  }

  private String judgedField(ScalarChange c, String shift) {
    String off = numerals.withUncertainty(c.difference(), c.uncertainty());
    return c.changed()
        ? "The centre field changed: %s ppm since the survey before, %s ppm off its line, chance %s."
            .formatted(shift, off, chance(c.correctedChance()))
        : "The centre field moved by %s ppm since the survey before; %s ppm off its line, within chance."
            .formatted(shift, off);
  }

  /** How the centre field runs. */
  public String decay(MagnetLife.Decay d, double hertzPerPpm) {
    Estimate rate = d.ppmPerYear();
    if (d.surveys() == 1) {
      return "On %s: one survey, which tells no rate of the centre field.".formatted(day(d.from()));
    }
    if (rate == null) {
      return day(d.from()).equals(day(d.to()))
          ? "On %s: %d surveys, which tell no rate of the centre field."
              .formatted(day(d.from()), d.surveys())
          : "From %s to %s: %d surveys, which tell no rate of the centre field."
              .formatted(day(d.from()), day(d.to()), d.surveys());
    }
    return "From %s to %s: the centre field moved by %s ppm (%s Hz) a year, from %d surveys."
        .formatted(
            day(d.from()),
            day(d.to()),
            numerals.withUncertainty(rate.value(), rate.uncertainty()),
            numerals.withUncertainty(hertzPerPpm * rate.value(), hertzPerPpm * rate.uncertainty()),
            d.surveys());
  }

  /** A log's drift. */
  public String drift(MagnetLife.DriftJudgement d) {
    Estimate found = d.reading().ppmPerHour();
    String value = numerals.withUncertainty(found.value(), found.uncertainty());
    ScalarChange c = d.change();
    if (c == null) {
      return "%s  %s: a drift of %s ppm/h."
          .formatted(day(d.reading().time()), d.reading().file(), value);
    }
    String off = numerals.withUncertainty(c.difference(), c.uncertainty());
    return c.changed()
        ? "%s  %s: a drift of %s ppm/h; it changed by %s ppm/h, chance %s."
            .formatted(
                day(d.reading().time()),
                d.reading().file(),
                value,
                off,
                chance(c.correctedChance()))
        : "%s  %s: a drift of %s ppm/h; %s ppm/h from the logs before, within chance."
            .formatted(day(d.reading().time()), d.reading().file(), value, off);
  }

  /** How well visits repeat. */
  public String repeatability(MagnetLife.Repeatability r) {
    if (r.visits() == 1) {
      return "From one visit it cannot be told how well visits repeat: the stated uncertainties stand alone.";
    }
    if (!r.known()) {
      return "From %d surveys it cannot be told how well visits repeat: the stated uncertainties stand alone."
          .formatted(r.visits());
    }
    double worst = 0;
    int degree = 0;
    for (int n = 1; n < r.harmonicPpm().length; n++) {
      if (r.harmonicPpm()[n] > worst) {
        worst = r.harmonicPpm()[n];
        degree = n;
      }
    }
    return degree == 0
        ? "Beyond what is stated, visits scatter by %s ppm in the centre field and not at all in the harmonics."
            .formatted(numerals.significant(r.fieldPpm(), 2))
        : "Beyond what is stated, visits scatter by %s ppm in the centre field and by up to %s ppm in a harmonic (of degree %d)."
            .formatted(
                numerals.significant(r.fieldPpm(), 2), numerals.significant(worst, 2), degree);
  }

  private String chance(double p) {
    return p < LEAST_CHANCE
        ? "below %s".formatted(numerals.trimmed(LEAST_CHANCE, 4))
        : numerals.significant(p, 2);
  }
}
