package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.function.UnaryOperator;
import org.fieldwright.core.Vectors;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.correction.Suspicion.Kind;
import org.jspecify.annotations.Nullable;

/**
 * Tries mistakes that are made in loading as explanations of a measured change. Each is a change of
 * the predicted field; the strengths are fitted anew with it, and the drop of the sum of squares is
 * its evidence, less 2 ln(number of like mistakes) for having looked at them all and ln(terms) for
 * a fitted count (Schwarz 1978). Iron that came to lie elsewhere and is of a kind that the round
 * did not change counts with the strength known before.
 */
final class MistakeSearch {
  private static final int MOST_NAMED = 10;

  private final LoadingFields fields;
  private final PocketRoom room;
  private final StrengthFit fit;
  private final List<String> kinds;
  private final double[][] predicted;
  private final int[] terms;
  private final Loading from;
  private final Loading to;
  private final List<Integer> trays;
  private final List<Suspicion> found = new ArrayList<>();

  /**
   * @param kinds of piece changed, in the order of the columns
   * @param predicted column of each kind, selected terms
   */
  MistakeSearch(
      LoadingFields fields,
      PocketRoom room,
      StrengthFit fit,
      List<String> kinds,
      double[][] predicted,
      int[] terms,
      Loading from,
      Loading to) {
    this.fields = fields;
    this.room = room;
    this.fit = fit;
    this.kinds = kinds;
    this.predicted = predicted;
    this.terms = terms;
    this.from = from;
    this.to = to;
    this.trays = List.copyOf(new TreeSet<>(fields.pockets().stream().map(Pocket::tray).toList()));
  }

  /**
   * All mistakes with positive evidence, the strongest first.
   *
   * @param misfit of the sheet itself
   */
  List<Suspicion> rank(double misfit) {
    stacks(misfit);
    counts(misfit);
    for (int tray : trays) {
      whole(Kind.TRAY_NOT_CHANGED, tray, null, undone(tray), trays.size(), misfit);
      whole(Kind.TRAY_REVERSED, tray, null, reversed(p -> p.tray() == tray), trays.size(), misfit);
    }
    int pairs = trays.size() * (trays.size() - 1) / 2;
    for (int a : trays) {
      for (int b : trays) {
        if (a < b && !content(a).equals(content(b))) {
          whole(Kind.TRAYS_EXCHANGED, a, b, moved(t -> t == a ? b : t == b ? a : t), pairs, misfit);
        }
      }
    }
    whole(Kind.ALL_REVERSED, null, null, reversed(p -> true), 1, misfit);
    int n = trays.size();
    if (n > 2 && trays.get(n - 1) == n) {
      whole(Kind.COUNTED_THE_OTHER_WAY, null, null, moved(t -> t == 1 ? 1 : n + 2 - t), 1, misfit);
      whole(Kind.COUNTED_ONE_ON, null, null, moved(t -> t % n + 1), 1, misfit);
      whole(Kind.COUNTED_ONE_BACK, null, null, moved(t -> (t + n - 2) % n + 1), 1, misfit);
    }
    found.removeIf(s -> s.evidence() <= 0);
    found.sort(Comparator.comparingDouble(Suspicion::evidence).reversed());
    return List.copyOf(found.subList(0, Math.min(MOST_NAMED, found.size())));
  }

  private void stacks(double misfit) {
    SortedSet<Place> changed = from.differences(to);
    for (Place place : changed) {
      double[][] delta = none();
      add(delta, place, from.count(place) - to.count(place), fields.of(place));
      double evidence = evidence(delta, misfit, changed.size());
      found.add(
          new Suspicion(
              Kind.STACK_NOT_CHANGED,
              place.tray(),
              null,
              place.pocket(),
              place.piece(),
              null,
              null,
              evidence));
    }
  }

  /** Any pocket, any kind that was changed: by how many pieces would it have to differ? */
  private void counts(double misfit) {
    int alternatives = fields.pockets().size() * kinds.size();
    double price = 2 * Math.log(alternatives) + Math.log(fit.size());
    for (Pocket pocket : fields.pockets()) {
      for (String kind : kinds) {
        Place place = new Place(pocket.tray(), pocket.number(), kind);
        found.add(count(pocket, place, misfit - price));
      }
    }
  }

  /** Never fewer than none and never more than fit in, whatever the field alone would say. */
  private Suspicion count(Pocket pocket, Place place, double priced) {
    double[][] columns = java.util.Arrays.copyOf(predicted, predicted.length + 1);
    double[] one = selected(fields.of(place));
    columns[predicted.length] = one;
    StrengthFit.Result result = fit.fit(columns);
    double free = result.factors()[predicted.length];
    double u = Math.sqrt(result.covariance().get(predicted.length, predicted.length));
    double pieces =
        Math.max(-to.count(place), Math.min(room.left(pocket, to, fields.piece(place)), free));
    double misfit = result.misfit();
    if (pieces != free) {
      double[] known = new double[one.length];
      Vectors.add(known, pieces, one);
      misfit = fit.fit(predicted, known).misfit();
    }
    return new Suspicion(
        Kind.STACK_DIFFERS,
        place.tray(),
        null,
        place.pocket(),
        place.piece(),
        pieces,
        u,
        priced - misfit);
  }

  private void whole(
      Kind kind,
      @Nullable Integer tray,
      @Nullable Integer other,
      double @Nullable [][] delta,
      int alternatives,
      double misfit) {
    if (delta != null) {
      found.add(Suspicion.of(kind, tray, other, evidence(delta, misfit, alternatives)));
    }
  }

  private double evidence(double[][] delta, double misfit, int alternatives) {
    double[][] columns = new double[predicted.length][];
    for (int k = 0; k < columns.length; k++) {
      columns[k] = predicted[k].clone();
      Vectors.add(columns[k], 1, delta[k]);
    }
    double[] known = delta[predicted.length];
    return misfit - fit.fit(columns, known).misfit() - 2 * Math.log(alternatives);
  }

  /** Adds pieces to the change of their kind, or to what is known if the round changed none. */
  private void add(double[][] delta, Place place, double pieces, double[] field) {
    int k = kinds.indexOf(place.piece());
    Vectors.add(delta[k < 0 ? predicted.length : k], pieces, selected(field));
  }

  /** Null where the tray has no changes. */
  private double @Nullable [][] undone(int tray) {
    double[][] delta = none();
    boolean any = false;
    for (Place p : from.differences(to)) {
      int change = to.count(p) - from.count(p);
      if (p.tray() == tray) {
        add(delta, p, -change, fields.of(p));
        any = true;
      }
    }
    return any ? delta : null;
  }

  private double[][] reversed(java.util.function.Predicate<Place> which) {
    double[][] delta = none();
    for (Map.Entry<Place, Integer> e : to.counts().entrySet()) {
      Place place = e.getKey();
      if (which.test(place)) {
        add(delta, place, -e.getValue(), fields.of(place));
        add(delta, place, e.getValue(), fields.reversed(place));
      }
    }
    return delta;
  }

  /** Trays put in other places; null where a pocket would have no counterpart. */
  private double @Nullable [][] moved(UnaryOperator<Integer> trayNow) {
    double[][] delta = none();
    for (Map.Entry<Place, Integer> e : to.counts().entrySet()) {
      Place place = e.getKey();
      Place now = new Place(trayNow.apply(place.tray()), place.pocket(), place.piece());
      if (now.equals(place)) {
        continue;
      }
      boolean exists =
          fields.pockets().stream()
              .anyMatch(p -> p.tray() == now.tray() && p.number() == now.pocket());
      if (!exists) {
        return null;
      }
      add(delta, place, -e.getValue(), fields.of(place));
      add(delta, place, e.getValue(), fields.of(now));
    }
    return delta;
  }

  private Map<Place, Integer> content(int tray) {
    Map<Place, Integer> content = new java.util.TreeMap<>();
    to.counts()
        .forEach(
            (p, count) -> {
              if (p.tray() == tray) {
                content.put(new Place(0, p.pocket(), p.piece()), count);
              }
            });
    return content;
  }

  /** A row for each kind that was changed, and one for all others. */
  private double[][] none() {
    return new double[predicted.length + 1][terms.length];
  }

  private double[] selected(double[] coefficients) {
    return RoundReview.select(coefficients, terms);
  }
}
