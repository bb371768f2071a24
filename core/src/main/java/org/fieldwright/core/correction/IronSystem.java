package org.fieldwright.core.correction;

import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * The magnet's passive shim: where iron can go, which pieces there are, and the rules.
 *
 * @param pockets in the order tray, pocket
 * @param pieces kinds of piece
 * @param capacity how much a pocket holds
 * @param trayMassLimit kg; null if none
 * @param forbidden pockets that must not be changed
 * @param installed what lies there now
 * @param strength learned factor on the polarisation per piece id; absent = 1
 * @param temperatureC of the iron, °C; null if not stated
 * @param errors what to expect of pieces and places, for promises
 * @param plusZEnd what people call the +z end of the bore, printed on every sheet; null if not
 *     stated
 * @param stack from where a stack grows
 */
public record IronSystem(
    List<Pocket> pockets,
    List<PieceType> pieces,
    Capacity capacity,
    @Nullable Double trayMassLimit,
    Set<PocketId> forbidden,
    Loading installed,
    Map<String, Double> strength,
    @Nullable Double temperatureC,
    @Nullable Errors errors,
    @Nullable String plusZEnd,
    Stack stack) {

  public IronSystem {
    pockets = List.copyOf(pockets);
    pieces = List.copyOf(pieces);
    forbidden = Set.copyOf(forbidden);
    strength = Map.copyOf(strength);
  }

  /** Which pocket. */
  public record PocketId(int tray, int pocket) {
    // Written out: a record's own pair is linked at its first use, 10 ms of an assessment's start.
    @Override
    public int hashCode() {
      return 4099 * tray + pocket;
    }

    @Override
    public boolean equals(@Nullable Object other) {
      return other instanceof PocketId id && id.tray == tray && id.pocket == pocket;
    }
  }

  /**
   * How much a pocket holds; exactly one of the two is given.
   *
   * @param height of the stack, m
   * @param pieces count
   */
  public record Capacity(@Nullable Double height, @Nullable Integer pieces) {}

  /** From where a stack grows in its pocket. */
  public enum Stack {
    CENTRED,
    OUTSIDE_IN,
    INSIDE_OUT
  }

  /**
   * One standard deviation of each, as fractions of one or metres; 0 where not stated.
   *
   * @param pieceMass independent for every piece
   * @param lotMass common to all pieces of a kind
   * @param position of a pocket, each direction, m
   * @param strength of the polarisation
   */
  public record Errors(double pieceMass, double lotMass, double position, double strength) {}

  /** The same with something else installed. */
  public IronSystem withInstalled(Loading loading) {
    return with(loading, strength, errors);
  }

  /** The same with other learned strengths. */
  public IronSystem withStrength(Map<String, Double> learned) {
    return with(installed, learned, errors);
  }

  /** The same with other errors to expect. */
  public IronSystem withErrors(@Nullable Errors expected) {
    return with(installed, strength, expected);
  }

  private IronSystem with(Loading loading, Map<String, Double> factors, @Nullable Errors expected) {
    return new IronSystem(
        pockets,
        pieces,
        capacity,
        trayMassLimit,
        forbidden,
        loading,
        factors,
        temperatureC,
        expected,
        plusZEnd,
        stack);
  }

  /** What this pocket holds: its own capacity if it has one, else that of the whole set. */
  public Capacity capacityOf(Pocket pocket) {
    Double own = pocket.capacity();
    if (own == null) {
      return capacity;
    }
    return capacity.pieces() == null
        ? new Capacity(own, null)
        : new Capacity(null, (int) Math.floor(own));
  }

  /** Learned factor on the polarisation of a piece. */
  public double strengthOf(PieceType piece) {
    return strength.getOrDefault(piece.id(), 1.0);
  }
}
