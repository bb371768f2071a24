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
 * @param gradient of the main field along the trays' way, covers every pocket; null if not known
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
    Stack stack,
    @Nullable FieldGradient gradient) {

  /** Of a magnet that iron cannot be loaded into. */
  public static final IronSystem NONE =
      new IronSystem(
          List.of(),
          List.of(),
          new Capacity(null, 0),
          null,
          Set.of(),
          Loading.EMPTY,
          Map.of(),
          null,
          null,
          null,
          Stack.CENTRED);

  private static final double STATED_AT_C = 20;

  /** Trays of which it is not known how the field pulls at them. */
  public IronSystem(
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
    this(
        pockets,
        pieces,
        capacity,
        trayMassLimit,
        forbidden,
        installed,
        strength,
        temperatureC,
        errors,
        plusZEnd,
        stack,
        null);
  }

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

  /** The same with the pieces' stock and the forbidden pockets otherwise. */
  IronSystem with(List<PieceType> kinds, Set<PocketId> shut) {
    return new IronSystem(
        pockets,
        kinds,
        capacity,
        trayMassLimit,
        shut,
        installed,
        strength,
        temperatureC,
        errors,
        plusZEnd,
        stack,
        gradient);
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
        stack,
        gradient);
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

  /**
   * Polarisation to reckon with: as stated, at the iron's temperature, times what was learned; T.
   */
  public double polarisationOf(PieceType piece) {
    double warmer = temperatureC == null ? 0 : temperatureC - STATED_AT_C;
    return piece.polarisation() * (1 + piece.perKelvin() * warmer) * strengthOf(piece);
  }

  /**
   * Where the pieces of one kind lie in a pocket, seen from its centre.
   *
   * @param filled height of what lies below them, from the wall where the stack begins, m
   * @param height of these pieces, m
   * @return distance of their middle from the pocket's centre, outwards, m
   */
  double outwards(Pocket pocket, double filled, double height) {
    Double room = capacityOf(pocket).height();
    if (room == null || stack == Stack.CENTRED) {
      return 0;
    }
    double fromWall = filled + height / 2 - room / 2;
    return stack == Stack.OUTSIDE_IN ? -fromWall : fromWall;
  }
}
