package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import org.fieldwright.core.correction.IronSystem.PocketId;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.FieldModel;

/**
 * The part of a round that is loaded and weighed, while the rest can still be planned anew for what
 * was really loaded. A weighing tells what a stack is worth in pieces of the stated mass; it does
 * not tell the strength of the iron. The scale counts as exact.
 *
 * @param stacks by place; each stands for all that changes there
 */
public record WeighedStacks(Map<Place, Stack> stacks) {
  /** Nothing weighed. */
  public static final WeighedStacks NONE = new WeighedStacks(Map.of());

  private static final double DOUBTFUL = 0.5; // pieces

  public WeighedStacks {
    stacks = Map.copyOf(stacks);
  }

  /**
   * What was put in.
   *
   * @param pieces counted; negative for pieces taken out
   * @param worth the same by the scale, in pieces of the stated mass; of the sign of the count
   */
  public record Stack(int pieces, double worth) {}

  /** What lies in the pockets once these stacks do. */
  public Loading loaded(Loading installed) {
    Map<Place, Integer> counts = new TreeMap<>(installed.counts());
    stacks.forEach((place, s) -> counts.merge(place, s.pieces(), Integer::sum));
    return new Loading(counts);
  }

  /** The system as it is to be planned on: these pockets are done, what went in has left stock. */
  public IronSystem rest(IronSystem iron) {
    Set<PocketId> shut = new HashSet<>(iron.forbidden());
    Map<String, Integer> used = new HashMap<>();
    stacks.forEach(
        (place, s) -> {
          shut.add(new PocketId(place.tray(), place.pocket()));
          used.merge(place.piece(), s.pieces(), Integer::sum);
        });
    List<PieceType> left =
        iron.pieces().stream().map(p -> p.without(used.getOrDefault(p.id(), 0))).toList();
    return iron.with(left, shut).withInstalled(loaded(iron.installed()));
  }

  /**
   * The field once these stacks lie in their pockets, as uncertain as the survey before.
   *
   * @param outermost radius of the farthest point that matters, m
   */
  public FieldModel after(IronSystem iron, Vec3 fieldAxis, FieldModel model, double outermost) {
    Loading before = iron.installed();
    PlanForecast forecast = new PlanForecast(iron, fieldAxis);
    return PlanForecast.changed(
        model, forecast.changePpm(model.centreField(), before, loaded(before), this, outermost));
  }

  /**
   * What the scale makes doubtful: a stack that weighs half a piece more or less than it should.
   */
  public List<String> doubts(IronSystem iron) {
    List<String> doubts = new ArrayList<>();
    for (Map.Entry<Place, Stack> e : new TreeMap<>(stacks).entrySet()) {
      Stack s = e.getValue();
      if (Math.abs(s.worth() - s.pieces()) >= DOUBTFUL) {
        Place p = e.getKey();
        double grams =
            1e3
                * iron.pieces().stream()
                    .filter(k -> k.id().equals(p.piece()))
                    .mapToDouble(PieceType::mass)
                    .sum();
        doubts.add(
            String.format(
                Locale.ROOT,
                "tray %d pocket %d: %d pieces of %s should weigh %.2f g, weighed %.2f g: is the count right?",
                p.tray(),
                p.pocket(),
                Math.abs(s.pieces()),
                p.piece(),
                grams * Math.abs(s.pieces()),
                grams * Math.abs(s.worth())));
      }
    }
    return doubts;
  }

  /** How many pieces a change of the given count is worth; the count itself where not weighed. */
  double worth(Place place, int count) {
    Stack stack = stacks.get(place);
    return stack == null ? count : count * stack.worth() / stack.pieces();
  }
}
