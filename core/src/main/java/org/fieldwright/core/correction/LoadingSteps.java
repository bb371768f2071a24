package org.fieldwright.core.correction;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.TreeMap;
import org.fieldwright.core.correction.IronSystem.Errors;
import org.fieldwright.core.correction.IronSystem.PocketId;
import org.fieldwright.core.correction.Loading.Place;
import org.jspecify.annotations.Nullable;

/**
 * A change of loading taken apart into what a hand does, with the masses a scale should show and
 * the order in which trays go in.
 */
public final class LoadingSteps {
  /** Standard deviations that a weighing is allowed, about 95 %. */
  private static final double COVERAGE = 2;

  private final Loading installed;
  private final Loading planned;
  private final IronSystem iron;

  public LoadingSteps(Loading installed, Loading planned, IronSystem iron) {
    this.installed = installed;
    this.planned = planned;
    this.iron = iron;
  }

  /**
   * One kind of piece in one pocket.
   *
   * @param from count before
   * @param to count after
   */
  public record Step(Pocket pocket, PieceType piece, int from, int to) {
    public int change() {
      return to - from;
    }
  }

  /** Every step, kept pieces included, in the order tray, pocket, piece. */
  public List<Step> all() {
    return iron.pockets().stream().flatMap(p -> of(p).stream()).toList();
  }

  /** The steps of a pocket that holds or will hold anything. */
  public List<Step> of(Pocket pocket) {
    List<Step> steps = new ArrayList<>();
    for (PieceType piece : iron.pieces()) {
      Place place = new Place(pocket.tray(), pocket.number(), piece.id());
      int from = installed.count(place);
      int to = planned.count(place);
      if (from + to > 0) {
        steps.add(new Step(pocket, piece, from, to));
      }
    }
    return steps;
  }

  public List<Pocket> pockets(int tray) {
    return iron.pockets().stream().filter(p -> p.tray() == tray).toList();
  }

  public boolean touched(int tray) {
    return pockets(tray).stream().flatMap(p -> of(p).stream()).anyMatch(s -> s.change() != 0);
  }

  /** kg. */
  public double massBefore(Pocket pocket) {
    return of(pocket).stream().mapToDouble(s -> s.from() * s.piece().mass()).sum();
  }

  /** kg. */
  public double massAfter(Pocket pocket) {
    return of(pocket).stream().mapToDouble(s -> s.to() * s.piece().mass()).sum();
  }

  /** Iron in the tray before anything is changed, kg. */
  public double trayMassBefore(int tray) {
    return pockets(tray).stream().mapToDouble(this::massBefore).sum();
  }

  /**
   * Within what the tray's iron may weigh more or less than it should, kg, about 95 %: twice the
   * standard deviation from the pieces' own errors, independent within a pile, and the lots',
   * common to a kind. Null where the magnet file states no errors.
   */
  public @Nullable Double trayTolerance(int tray) {
    Errors errors = iron.errors();
    if (errors == null) {
      return null;
    }
    TreeMap<String, Integer> counts = new TreeMap<>();
    for (Pocket p : pockets(tray)) {
      of(p).forEach(s -> counts.merge(s.piece().id(), s.to(), Integer::sum));
    }
    double variance = 0;
    for (var entry : counts.entrySet()) {
      double mass = piece(entry.getKey()).mass();
      int count = entry.getValue();
      variance += count * Math.pow(mass * errors.pieceMass(), 2);
      variance += Math.pow(count * mass * errors.lotMass(), 2);
    }
    return COVERAGE * Math.sqrt(variance);
  }

  public PieceType piece(String id) {
    return iron.pieces().stream().filter(p -> p.id().equals(id)).findFirst().orElseThrow();
  }

  /** Every tray, ascending. */
  public List<Integer> trays() {
    return iron.pockets().stream().map(Pocket::tray).distinct().sorted().toList();
  }

  /** Where a tray stands about the bore, degrees from 0 to 360. */
  public double azimuthDeg(int tray) {
    double degrees = Math.toDegrees(pockets(tray).get(0).centre().azimuth());
    return (degrees + 360) % 360;
  }

  /** Whether the magnet file forbids a pocket to be changed. */
  public boolean barred(Pocket pocket) {
    return iron.forbidden().contains(new PocketId(pocket.tray(), pocket.number()));
  }

  /** The tray that stands nearest to opposite. */
  public int opposite(int tray) {
    return trays().stream()
        .min(Comparator.comparingDouble(t -> 180 - apart(tray, t)))
        .orElseThrow();
  }

  /**
   * The touched trays in the order in which they go in, so that the pull on them stays balanced:
   * each is followed by the tray opposite, and the next pair is the one farthest around from all
   * that are in (common practice, no source).
   */
  public List<Integer> insertionOrder() {
    List<Integer> left = new ArrayList<>(trays().stream().filter(this::touched).toList());
    List<Integer> order = new ArrayList<>();
    while (!left.isEmpty()) {
      int next =
          left.stream().max(Comparator.comparingDouble(t -> distanceFrom(order, t))).orElseThrow();
      left.remove(Integer.valueOf(next));
      order.add(next);
      int opposite = opposite(next);
      if (left.remove(Integer.valueOf(opposite))) {
        order.add(opposite);
      }
    }
    return List.copyOf(order);
  }

  /**
   * When a tray is pushed in, counted from 1 over all pushes of a round.
   *
   * @param halfWay the push that brings it half way in; the same as {@code home} for a tray whose
   *     opposite one stays out, which goes home at once
   * @param home the push that brings it home
   */
  public record Insertion(int tray, int halfWay, int home) {}

  /**
   * The pushes, in the order in which the trays go in: of two opposite trays first one goes half
   * way in, then the other, then the first goes home, then the other.
   */
  public List<Insertion> insertions() {
    List<Integer> order = insertionOrder();
    List<Insertion> insertions = new ArrayList<>();
    int push = 0;
    for (int i = 0; i < order.size(); i++) {
      int tray = order.get(i);
      if (i + 1 < order.size() && order.get(i + 1) == opposite(tray)) {
        insertions.add(new Insertion(tray, push + 1, push + 3));
        insertions.add(new Insertion(order.get(++i), push + 2, push + 4));
        push += 4;
      } else {
        push++;
        insertions.add(new Insertion(tray, push, push));
      }
    }
    return List.copyOf(insertions);
  }

  /** The pocket nearest the +z end of a tray, by its number. */
  public int pocketAtPlusZ(int tray) {
    return pockets(tray).stream()
        .max(Comparator.comparingDouble(p -> p.centre().z()))
        .orElseThrow()
        .number();
  }

  /** Degrees to the nearest tray that is in; ties go to the lower number. */
  private double distanceFrom(List<Integer> in, int tray) {
    double nearest = in.stream().mapToDouble(t -> apart(tray, t)).min().orElse(180);
    return Math.rint(nearest * 1e6) - 1e-3 * tray;
  }

  private double apart(int a, int b) {
    return Math.abs(Math.IEEEremainder(azimuthDeg(a) - azimuthDeg(b), 360));
  }
}
