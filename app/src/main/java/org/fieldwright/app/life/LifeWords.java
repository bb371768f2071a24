package org.fieldwright.app.life;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import org.fieldwright.adapters.report.chart.Quantity;
import org.fieldwright.core.history.Judgement;
import org.fieldwright.core.history.MagnetEvent;
import org.fieldwright.core.history.MagnetLife;
import org.fieldwright.core.history.ScalarChange;
import org.fieldwright.core.history.ShapeChange;
import org.fieldwright.core.stability.Estimate;

/** What was found of a life, in whole sentences. */
public final class LifeWords {
  private static final int MOST_TERMS = 4;

  private LifeWords() {}

  /** The day of an instant, UTC. */
  public static String day(Instant time) {
    return time.toString().substring(0, "2026-03-02".length());
  }

  /** What a survey showed. */
  public static List<String> of(Judgement j) {
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

  private static String shape(Judgement j) {
    ShapeChange shape = j.shape();
    if (shape == null) {
      return "Whether the harmonics changed cannot be said: the surveys state no uncertainty.";
    }
    String misfit = Quantity.significant(shape.misfit(), 3);
    return shape.changed()
        ? "The harmonics changed: misfit %s over %d terms, chance %s."
            .formatted(misfit, shape.terms(), chance(shape.correctedChance()))
        : "The harmonics are as expected: misfit %s over %d terms, chance %s."
            .formatted(misfit, shape.terms(), chance(shape.correctedChance()));
  }

  private static String term(ShapeChange.Outstanding o) {
    return "%s stands out by %s ppm."
        .formatted(
            o.term().tradeName(), Quantity.withUncertainty(o.differencePpm(), o.uncertainty()));
  }

  private static String limit(String id, ScalarChange c) {
    String difference = Quantity.withUncertainty(c.difference(), c.uncertainty());
    return c.changed()
        ? "%s changed by %s ppm, chance %s.".formatted(id, difference, chance(c.correctedChance()))
        : "%s differs from what was expected by %s ppm, within chance.".formatted(id, difference);
  }

  private static String field(Judgement j) {
    String shift =
        Quantity.withUncertainty(j.fieldShiftPpm().value(), j.fieldShiftPpm().uncertainty());
    return switch (j.fieldBasis()) {
      case SET_ANEW ->
          "The centre field was set anew in between and differs by %s ppm.".formatted(shift);
      case NO_RATE_YET ->
          "The centre field differs by %s ppm; one survey before tells no rate to expect."
              .formatted(shift);
      case JUDGED -> judgedField(Objects.requireNonNull(j.field()), shift);
    };
  }

  private static String judgedField(ScalarChange c, String shift) {
    String off = Quantity.withUncertainty(c.difference(), c.uncertainty());
    return c.changed()
        ? "The centre field changed: %s ppm since the survey before, %s ppm off its line, chance %s."
            .formatted(shift, off, chance(c.correctedChance()))
        : "The centre field moved by %s ppm since the survey before; %s ppm off its line, within chance."
            .formatted(shift, off);
  }

  /** How the centre field runs. */
  public static String decay(MagnetLife.Decay d, double hertzPerPpm) {
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
            Quantity.withUncertainty(rate.value(), rate.uncertainty()),
            Quantity.withUncertainty(hertzPerPpm * rate.value(), hertzPerPpm * rate.uncertainty()),
            d.surveys());
  }

  /** A log's drift. */
  public static String drift(MagnetLife.DriftJudgement d) {
    Estimate found = d.reading().ppmPerHour();
    String value = Quantity.withUncertainty(found.value(), found.uncertainty());
    ScalarChange c = d.change();
    if (c == null) {
      return "%s  %s: a drift of %s ppm/h."
          .formatted(day(d.reading().time()), d.reading().file(), value);
    }
    String off = Quantity.withUncertainty(c.difference(), c.uncertainty());
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
  public static String repeatability(MagnetLife.Repeatability r) {
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
            .formatted(Quantity.significant(r.fieldPpm(), 2))
        : "Beyond what is stated, visits scatter by %s ppm in the centre field and by up to %s ppm in a harmonic (of degree %d)."
            .formatted(
                Quantity.significant(r.fieldPpm(), 2), Quantity.significant(worst, 2), degree);
  }

  private static String chance(double p) {
    return p < 1e-4 ? "below 0.0001" : String.format(Locale.ROOT, "%.2g", p);
  }
}
