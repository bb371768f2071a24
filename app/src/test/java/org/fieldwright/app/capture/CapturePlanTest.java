package org.fieldwright.app.capture;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.List;
import org.fieldwright.app.capture.CapturePlan.Order;
import org.fieldwright.core.BadInput;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Orders written out by hand, and what they are good for. */
class CapturePlanTest {

  @Test
  void ordersWrittenOutByHand() {
    List<Double> angles = CapturePlan.equalAngles(8);
    assertThat(CapturePlan.of(angles, Order.NATURAL).anglesDeg()).isEqualTo(angles);
    assertThat(CapturePlan.of(angles, Order.THERE_AND_BACK).anglesDeg())
        .containsExactly(0.0, 90.0, 180.0, 270.0, 315.0, 225.0, 135.0, 45.0);
    assertThat(CapturePlan.of(angles, Order.LEAST_TWIST).anglesDeg())
        .containsExactly(0.0, 90.0, 180.0, 135.0, 45.0, 315.0, 225.0, 270.0);
  }

  @ParameterizedTest
  @ValueSource(ints = {3, 4, 7, 24, 25, 36})
  void noAngleIsLostAndNoTurnIsMadeTwice(int count) {
    for (Order order : Order.values()) {
      CapturePlan plan = CapturePlan.of(CapturePlan.equalAngles(count), order);
      assertThat(plan.anglesDeg())
          .containsExactlyInAnyOrderElementsOf(CapturePlan.equalAngles(count));
      assertThat(plan.angleDeg(count)).isEqualTo(plan.angleDeg(0));
      assertThat(plan.isRevisit(count)).isTrue();
      double travel = 0;
      for (int step = 1; step < plan.steps(); step++) {
        travel += Math.abs(twist(plan.angleDeg(step)) - twist(plan.angleDeg(step - 1)));
      }
      // Half a turn to either side, there and back.
      assertThat(order != Order.LEAST_TWIST || travel <= 720).as("%s of %d", order, count).isTrue();
    }
  }

  /** Of the cable, if the array never passes 180°. */
  private static double twist(double angleDeg) {
    return angleDeg <= 180 ? angleDeg : angleDeg - 360;
  }

  @Test
  void anAngleTwiceIsRefused() {
    assertThatThrownBy(() -> CapturePlan.requireDistinct(List.of(0.0, 90.0, 360.005)))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("found 0.0 and 360.005");
    CapturePlan.requireDistinct(List.of(0.0, 90.0, 359.98));
  }
}
