package org.fieldwright.adapters.report;

import java.util.ArrayList;
import java.util.List;
import java.util.TreeMap;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.IronSystem.Errors;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.correction.PieceType;
import org.fieldwright.core.correction.Plan;
import org.fieldwright.core.correction.Pocket;
import org.jspecify.annotations.Nullable;

/** A plan taken apart into what a hand does, with the masses a scale should show. */
final class LoadingSteps {
  private final Plan plan;
  private final IronSystem iron;

  LoadingSteps(Plan plan, IronSystem iron) {
    this.plan = plan;
    this.iron = iron;
  }

  /**
   * One kind of piece in one pocket.
   *
   * @param from count before
   * @param to count after
   */
  record Step(Pocket pocket, PieceType piece, int from, int to) {
    int change() {
      return to - from;
    }
  }

  /** Every step, kept pieces included, in the order tray, pocket, piece. */
  List<Step> all() {
    return iron.pockets().stream().flatMap(p -> of(p).stream()).toList();
  }

  /** The steps of a pocket that holds or will hold anything. */
  List<Step> of(Pocket pocket) {
    List<Step> steps = new ArrayList<>();
    for (PieceType piece : iron.pieces()) {
      Place place = new Place(pocket.tray(), pocket.number(), piece.id());
      int from = plan.installed().count(place);
      int to = plan.planned().count(place);
      if (from + to > 0) {
        steps.add(new Step(pocket, piece, from, to));
      }
    }
    return steps;
  }

  List<Pocket> pockets(int tray) {
    return iron.pockets().stream().filter(p -> p.tray() == tray).toList();
  }

  boolean touched(int tray) {
    return pockets(tray).stream().flatMap(p -> of(p).stream()).anyMatch(s -> s.change() != 0);
  }

  /** kg. */
  double massBefore(Pocket pocket) {
    return of(pocket).stream().mapToDouble(s -> s.from() * s.piece().mass()).sum();
  }

  /** kg. */
  double massAfter(Pocket pocket) {
    return of(pocket).stream().mapToDouble(s -> s.to() * s.piece().mass()).sum();
  }

  /** Iron in the tray before anything is changed, kg. */
  double trayMassBefore(int tray) {
    return pockets(tray).stream().mapToDouble(this::massBefore).sum();
  }

  /**
   * Within what the tray's iron may weigh more or less than it should, kg, about 95 %: twice the
   * standard deviation from the pieces' own errors, independent within a pile, and the lots',
   * common to a kind. Null where the magnet file states no errors.
   */
  @Nullable Double trayTolerance(int tray) {
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
    return Wording.COVERAGE * Math.sqrt(variance);
  }

  PieceType piece(String id) {
    return iron.pieces().stream().filter(p -> p.id().equals(id)).findFirst().orElseThrow();
  }

  /** "40 × 50 × 0.1 mm", or the volume of a piece without sides. */
  String describe(String id) {
    PieceType piece = piece(id);
    PieceType.Size size = piece.size();
    return size == null
        ? Wording.trimmed(piece.volume() * 1e9, 1) + " mm³"
        : "%s × %s × %s mm"
            .formatted(
                Wording.mm(size.tangential()), Wording.mm(size.axial()), Wording.mm(size.radial()));
  }
}
