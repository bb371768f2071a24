package org.fieldwright.core.correction;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.HashMap;
import java.util.Map;
import org.fieldwright.core.correction.IronSystem.PocketId;
import org.fieldwright.core.correction.Loading.Place;

/** Goes through a plan row by row, knowing only the iron, the request and the two loadings. */
record ConstraintCheck(IronSystem iron, ShimRequest request, Plan plan) {

  void assertKept(String what) {
    Map<PocketId, Integer> inPocket = new HashMap<>();
    Map<PocketId, Integer> wasInPocket = new HashMap<>();
    Map<Integer, Double> onTray = new HashMap<>();
    Map<Integer, Double> wasOnTray = new HashMap<>();
    int changes = 0;
    for (Pocket pocket : iron.pockets()) {
      for (PieceType piece : iron.pieces()) {
        Place place = new Place(pocket.tray(), pocket.number(), piece.id());
        PocketId id = new PocketId(pocket.tray(), pocket.number());
        int from = iron.installed().count(place);
        int to = plan.planned().count(place);
        changes += Math.abs(to - from);
        inPocket.merge(id, to, Integer::sum);
        wasInPocket.merge(id, from, Integer::sum);
        onTray.merge(pocket.tray(), to * piece.mass(), Double::sum);
        wasOnTray.merge(pocket.tray(), from * piece.mass(), Double::sum);
        if (iron.forbidden().contains(id)) {
          assertThat(to).as("%s: forbidden %s", what, place).isEqualTo(from);
        }
        if (!request.rules().removal()) {
          assertThat(to)
              .as("%s: nothing taken out of %s", what, place)
              .isGreaterThanOrEqualTo(from);
        }
      }
    }
    int capacity = iron.capacity().pieces() == null ? 0 : iron.capacity().pieces();
    inPocket.forEach(
        (id, count) ->
            assertThat(count)
                .as("%s: capacity of %s", what, id)
                .isLessThanOrEqualTo(Math.max(capacity, wasInPocket.getOrDefault(id, 0))));
    Double trayLimit = iron.trayMassLimit();
    if (trayLimit != null) {
      onTray.forEach(
          (tray, mass) ->
              assertThat(mass)
                  .as("%s: mass on tray %d", what, tray)
                  .isLessThanOrEqualTo(
                      Math.max(trayLimit, wasOnTray.getOrDefault(tray, 0.0)) + 1e-9));
    }
    Integer most = request.rules().mostChanges();
    if (most != null) {
      assertThat(changes).as("%s: changes", what).isLessThanOrEqualTo(most);
    }
  }
}
