package org.fieldwright.adapters.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Objects;
import org.assertj.core.data.Offset;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.LoadingSteps;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.correction.Pocket;
import org.junit.jupiter.api.Test;

class LoadingStepsTest {
  private final IronSystem iron = DemoVisit.iron();
  private final Plan plan = DemoVisit.plan(DemoVisit.field(4, 100, 1), DemoVisit.field(4, 3, 2));
  private final LoadingSteps steps = new LoadingSteps(plan.installed(), plan.planned(), iron);

  @Test
  void theSheetsTurnTheInstalledLoadingIntoThePlannedOne() {
    int changed = 0;
    for (LoadingSteps.Step s : steps.all()) {
      Pocket p = s.pocket();
      Loading.Place place = new Loading.Place(p.tray(), p.number(), s.piece().id());
      assertThat(plan.installed().count(place) + s.change()).isEqualTo(plan.planned().count(place));
      changed += Math.max(0, s.change());
    }
    assertThat(changed).isEqualTo(plan.piecesAdded());
  }

  /** One piece: 40 × 50 × 1 mm of 7.85 g/cm³ weighs 15.70 g; 0.1 mm thick, 1.57 g. */
  @Test
  void massesAreThoseOfThePieces() {
    assertThat(steps.piece("thick").mass()).isCloseTo(15.70e-3, Offset.offset(1e-9));
    double before = steps.trayMassBefore(2) + steps.trayMassBefore(5);
    assertThat(before).isCloseTo(4 * 15.70e-3 + 7 * 1.57e-3, Offset.offset(1e-9));
  }

  /** n equal pieces of mass m: √(n (m s)² + (n m l)²), twice (JCGM 100, 5.1.2 and 5.2.2). */
  @Test
  void theWeighCheckAllowsForPiecesAndLots() {
    int tray =
        iron.pockets().stream()
            .mapToInt(Pocket::tray)
            .filter(steps::touched)
            .findFirst()
            .orElseThrow();
    double expected = 0;
    for (String kind : new String[] {"thin", "thick"}) {
      int n =
          steps.pockets(tray).stream()
              .mapToInt(p -> plan.planned().count(new Loading.Place(tray, p.number(), kind)))
              .sum();
      double m = kind.equals("thin") ? 1.57e-3 : 15.70e-3;
      expected += n * Math.pow(m * 0.01, 2) + Math.pow(n * m * 0.005, 2);
    }
    double tolerance = Objects.requireNonNull(steps.trayTolerance(tray));
    assertThat(tolerance).isCloseTo(2 * Math.sqrt(expected), Offset.offset(1e-12));
  }

  /** Opposite trays follow each other, and every touched tray goes in once. */
  @Test
  void traysGoInBalanced() {
    java.util.List<Integer> order = steps.insertionOrder();
    assertThat(order)
        .containsExactlyInAnyOrderElementsOf(
            steps.trays().stream().filter(steps::touched).toList());
    double pull = 0;
    double sideways = 0;
    for (int i = 0; i < order.size(); i++) {
      double azimuth = Math.toRadians(steps.azimuthDeg(order.get(i)));
      pull += Math.cos(azimuth);
      sideways += Math.sin(azimuth);
      if (i + 1 < order.size() && steps.opposite(order.get(i)) == order.get(i + 1)) {
        i++;
        azimuth = Math.toRadians(steps.azimuthDeg(order.get(i)));
        pull += Math.cos(azimuth);
        sideways += Math.sin(azimuth);
      }
      assertThat(Math.hypot(pull, sideways)).isLessThan(2.5); // at most a tray or two unpaired
    }
  }

  @Test
  void anUntouchedTrayHasNoSheet() {
    assertThat(steps.touched(7)).isFalse();
    assertThat(steps.touched(8)).isTrue();
  }
}
