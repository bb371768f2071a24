package org.fieldwright.core.history;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.fieldwright.core.history.MagnetLife.DriftJudgement;
import org.fieldwright.core.stability.Estimate;

/** Holds each log's drift against the weighted mean of those before it, since the last change. */
final class DriftJudge {
  private static final int FEWEST_DIFFERENCES = 3;

  private final List<DriftReading> readings;
  private final Scatter scatter;

  DriftJudge(List<DriftReading> readings) {
    this.readings = readings.stream().sorted(Comparator.comparing(DriftReading::time)).toList();
    List<Scatter.Difference> differences = new ArrayList<>();
    for (int k = 1; k < this.readings.size(); k++) {
      Estimate a = this.readings.get(k - 1).ppmPerHour();
      Estimate b = this.readings.get(k).ppmPerHour();
      double stated = a.uncertainty() * a.uncertainty() + b.uncertainty() * b.uncertainty();
      differences.add(Scatter.Difference.of(b.value() - a.value(), stated, 2));
    }
    scatter = Scatter.of(differences, FEWEST_DIFFERENCES);
  }

  Scatter scatter() {
    return scatter;
  }

  List<DriftJudgement> judge() {
    List<DriftJudgement> judged = new ArrayList<>();
    double weight = 0;
    double product = 0;
    for (DriftReading r : readings) {
      double own = r.ppmPerHour().uncertainty() * r.ppmPerHour().uncertainty();
      double variance = own + scatter.variance();
      ScalarChange change = null;
      if (weight > 0) {
        change =
            ScalarChange.of(
                r.ppmPerHour().value(),
                product / weight,
                Math.sqrt(variance + 1 / weight),
                scatter.degreesOfFreedom(scatter.variance() / variance));
        if (change.changed()) {
          weight = 0;
          product = 0;
        }
      }
      judged.add(new DriftJudgement(r, change));
      weight += 1 / variance;
      product += r.ppmPerHour().value() / variance;
    }
    return judged;
  }
}
