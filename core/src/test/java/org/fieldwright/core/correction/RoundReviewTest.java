package org.fieldwright.core.correction;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeSet;
import java.util.function.UnaryOperator;
import java.util.stream.IntStream;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.correction.Suspicion.Kind;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.harmonic.Covariance;
import org.fieldwright.core.harmonic.Expansion;
import org.fieldwright.core.harmonic.FieldChange;
import org.fieldwright.core.harmonic.Term;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Rounds whose outcome is computed here by direct sums over dipoles and projected on harmonics, so
 * that the review is checked by code it does not share.
 */
class RoundReviewTest {
  private static final BodyMagnet MAGNET = BodyMagnet.P1;
  private static final int DEGREE = 10;

  /** Of one coefficient: 0.02 ppm readings on 24 × 24 points, by the mapping statistics of M1. */
  private static final double COEFFICIENT_SD = 0.02 * 0.16;

  private static final IronSystem.Errors ERRORS = new IronSystem.Errors(0.01, 0, 0.0003, 0.05);

  private static Loading sheet(SplittableRandom random) {
    Map<Place, Integer> counts = new HashMap<>();
    for (int tray = 1; tray <= BodyMagnet.TRAYS; tray++) {
      for (int pocket = 1; pocket <= BodyMagnet.POCKETS; pocket++) {
        if (random.nextInt(3) == 0) {
          counts.put(new Place(tray, pocket, "4 g"), 1 + random.nextInt(40));
        }
      }
    }
    return new Loading(counts);
  }

  /**
   * What a survey would find: every stack with its own mass and place error.
   *
   * @param really from what the sheet says to where pieces come to lie
   */
  private static FieldChange found(
      Loading sheet, double strength, UnaryOperator<Place> really, SplittableRandom random) {
    double[] c = new double[Term.count(DEGREE)];
    for (Map.Entry<Place, Integer> e : sheet.counts().entrySet()) {
      Place p = really.apply(e.getKey());
      if (p.pocket() == 0) {
        continue; // left out
      }
      double mass = e.getValue() + ERRORS.pieceMass() * Math.sqrt(e.getValue()) * gauss(random);
      Vec3 off = new Vec3(gauss(random), gauss(random), gauss(random)).times(ERRORS.position());
      add(c, strength * mass, BodyMagnet.place(p.tray(), p.pocket()).plus(off));
    }
    return measured(c, random);
  }

  private static void add(double[] c, double pieces, Vec3 at) {
    Expansion one = DirectProjection.of(q -> MAGNET.ppmPerPiece(at, q), DEGREE, MAGNET.radius());
    for (int i = 0; i < c.length; i++) {
      c[i] += pieces * one.coefficient(i);
    }
  }

  private static FieldChange measured(double[] c, SplittableRandom random) {
    double[] covariance = new double[c.length * c.length];
    for (int i = 1; i < c.length; i++) {
      c[i] += COEFFICIENT_SD * gauss(random);
      covariance[i * c.length + i] = COEFFICIENT_SD * COEFFICIENT_SD;
    }
    double shift = c[0];
    c[0] = 0;
    return new FieldChange(
        new Expansion(MAGNET.radius(), c),
        shift,
        0.001,
        new TreeSet<>(IntStream.range(1, c.length).boxed().toList()),
        new Covariance(c.length, covariance));
  }

  private static double gauss(SplittableRandom random) {
    return random.nextGaussian();
  }

  private static RoundReview review(FieldChange found, Loading sheet) {
    return RoundReview.of(
        MAGNET.iron().withErrors(ERRORS),
        Vec3.UNIT_Z,
        MAGNET.centreField(),
        found,
        Loading.EMPTY,
        sheet,
        WeighedStacks.NONE);
  }

  /** A right round: the strength within its uncertainty, the misfit what chance gives, no blame. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6})
  void learnsTheStrength(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    Loading sheet = sheet(random);
    RoundReview review = review(found(sheet, 0.96, p -> p, random), sheet);
    RoundReview.Strength s = review.strengths().get(0);
    assertThat(s.uncertainty()).isLessThan(0.003);
    assertThat(s.factor()).isCloseTo(0.96, within(3.5 * s.uncertainty()));
    assertThat(s.learned()).isEqualTo(s.factor());
    // χ² of ν degrees of freedom: ν ± √(2ν); five of those allowed
    int dof = review.degreesOfFreedom();
    assertThat(review.misfit())
        .isBetween(dof - 5 * Math.sqrt(2.0 * dof), dof + 5 * Math.sqrt(2.0 * dof));
    assertThat(review.suspicions())
        .as("seed %d", seed)
        .allSatisfy(x -> assertThat(x.evidence()).isLessThan(Suspicion.STRONG));
  }

  @ParameterizedTest
  @EnumSource(
      value = Kind.class,
      names = {
        "TRAY_REVERSED",
        "TRAYS_EXCHANGED",
        "ALL_REVERSED",
        "COUNTED_THE_OTHER_WAY",
        "COUNTED_ONE_ON",
        "COUNTED_ONE_BACK",
        "TRAY_NOT_CHANGED"
      })
  void namesTheMistake(Kind kind) {
    SplittableRandom random = new SplittableRandom(kind.name().length());
    Loading sheet = sheet(random);
    RoundReview review = review(found(sheet, 1.02, mistake(kind), random), sheet);
    Suspicion first = review.suspicions().get(0);
    assertThat(first.kind()).isEqualTo(kind);
    assertThat(first.evidence()).isGreaterThan(Suspicion.STRONG);
    if (first.tray() != null) {
      assertThat(first.tray()).isEqualTo(5);
    }
    if (first.otherTray() != null) {
      assertThat(first.otherTray()).isEqualTo(9);
    }
  }

  private static UnaryOperator<Place> mistake(Kind kind) {
    int n = BodyMagnet.TRAYS;
    return p -> {
      int tray = p.tray();
      int pocket = p.pocket();
      int other = BodyMagnet.POCKETS + 1 - pocket;
      return switch (kind) {
        case TRAY_REVERSED -> new Place(tray, tray == 5 ? other : pocket, p.piece());
        case ALL_REVERSED -> new Place(tray, other, p.piece());
        case TRAYS_EXCHANGED -> new Place(tray == 5 ? 9 : tray == 9 ? 5 : tray, pocket, p.piece());
        case COUNTED_THE_OTHER_WAY -> new Place(tray == 1 ? 1 : n + 2 - tray, pocket, p.piece());
        case COUNTED_ONE_ON -> new Place(tray % n + 1, pocket, p.piece());
        case COUNTED_ONE_BACK -> new Place((tray + n - 2) % n + 1, pocket, p.piece());
        case TRAY_NOT_CHANGED -> new Place(tray, tray == 5 ? 0 : pocket, p.piece());
        case STACK_NOT_CHANGED, STACK_DIFFERS -> p;
      };
    };
  }

  /** Twenty pieces left out of one pocket. */
  @Test
  void namesAMissingStack() {
    SplittableRandom random = new SplittableRandom(99);
    Map<Place, Integer> counts = new HashMap<>(sheet(random).counts());
    Place missing = new Place(7, 8, "4 g");
    counts.put(missing, 20);
    Loading sheet = new Loading(counts);
    FieldChange found =
        found(sheet, 0.99, p -> p.equals(missing) ? new Place(7, 0, "4 g") : p, random);
    Suspicion first = review(found, sheet).suspicions().get(0);
    assertThat(first.kind()).isEqualTo(Kind.STACK_NOT_CHANGED);
    assertThat(first.tray()).isEqualTo(7);
    assertThat(first.pocket()).isEqualTo(8);
    Suspicion counted =
        review(found, sheet).suspicions().stream()
            .filter(s -> s.kind() == Kind.STACK_DIFFERS)
            .findFirst()
            .orElseThrow();
    assertThat(counted.pocket()).isEqualTo(8);
    assertThat(counted.pieces()).isCloseTo(-20, within(3 * counted.piecesUncertainty()));
  }

  /**
   * Trays whose slots lie on one side of the isocentre, with heavier iron from an earlier round in
   * the tray that is reversed now: the mistake explains all of what is found, so what is left is
   * what chance gives.
   */
  @Test
  void aReversedTrayTurnsAboutItsOwnMiddleWithAllThatLiesInIt() {
    SplittableRandom random = new SplittableRandom(17);
    int last = 11; // pockets of z = −490 … +210 mm
    Map<Place, Integer> installed = new HashMap<>();
    Map<Place, Integer> sheet = new HashMap<>();
    sheet(random)
        .counts()
        .forEach(
            (p, n) -> {
              if (p.pocket() <= last) {
                sheet.put(p, n);
              }
            });
    for (int pocket = 1; pocket <= last; pocket += 3) {
      installed.put(new Place(5, pocket, "12 g"), 4 + pocket);
    }
    double[] c = new double[Term.count(DEGREE)];
    sheet.forEach(
        (p, n) -> {
          int pocket = p.tray() == 5 ? last + 1 - p.pocket() : p.pocket();
          add(c, n + 0.01 * Math.sqrt(n) * gauss(random), BodyMagnet.place(p.tray(), pocket));
        });
    installed.forEach(
        (p, n) -> {
          add(c, -3 * n, BodyMagnet.place(5, p.pocket()));
          add(c, 3 * n, BodyMagnet.place(5, last + 1 - p.pocket()));
        });
    sheet.putAll(installed);
    IronSystem iron = oneSided(last, new Loading(installed));
    RoundReview review =
        RoundReview.of(
            iron,
            Vec3.UNIT_Z,
            MAGNET.centreField(),
            measured(c, random),
            iron.installed(),
            new Loading(sheet),
            WeighedStacks.NONE);
    Suspicion first = review.suspicions().get(0);
    assertThat(first.kind()).isEqualTo(Kind.TRAY_REVERSED);
    assertThat(first.tray()).isEqualTo(5);
    int dof = review.degreesOfFreedom();
    double left = review.misfit() - first.evidence() - 2 * Math.log(BodyMagnet.TRAYS);
    assertThat(left).isLessThan(dof + 5 * Math.sqrt(2.0 * dof));
  }

  private static IronSystem oneSided(int last, Loading installed) {
    IronSystem all = MAGNET.iron();
    PieceType light = all.pieces().get(0);
    PieceType heavy =
        new PieceType("12 g", null, 3 * light.volume(), light.polarisation(), light.density());
    return new IronSystem(
        all.pockets().stream().filter(p -> p.number() <= last).toList(),
        List.of(light, heavy),
        all.capacity(),
        null,
        Set.of(),
        installed,
        Map.of(),
        null,
        ERRORS,
        null,
        IronSystem.Stack.CENTRED);
  }

  /**
   * Iron that no one loaded lies outside the pockets: no count answers it that a pocket cannot
   * hold.
   */
  @Test
  void namesOnlyCountsThatAPocketCanHold() {
    SplittableRandom random = new SplittableRandom(5);
    Loading sheet = sheet(random);
    double[] c = found(sheet, 1, p -> p, random).ppm().coefficients();
    add(c, 25, Vec3.cylindrical(0.40, Math.toRadians(40), 0.11));
    List<Suspicion> counted =
        review(measured(c, random), sheet).suspicions().stream()
            .filter(s -> s.kind() == Kind.STACK_DIFFERS)
            .toList();
    assertThat(counted).isNotEmpty();
    for (Suspicion s : counted) {
      int lies =
          sheet.count(
              new Place(
                  Objects.requireNonNull(s.tray()), Objects.requireNonNull(s.pocket()), "4 g"));
      assertThat(s.pieces()).isBetween((double) -lies, 60.0 - lies);
    }
  }

  /** Pieces that are off by a tenth each: what the scale says explains all that they do. */
  @Test
  void aWeighedRoundIsHeldAgainstItsMasses() {
    SplittableRandom random = new SplittableRandom(8);
    Loading sheet = sheet(random);
    double[] c = new double[Term.count(DEGREE)];
    Map<Place, WeighedStacks.Stack> stacks = new HashMap<>();
    sheet
        .counts()
        .forEach(
            (p, n) -> {
              double worth = n + 0.1 * Math.sqrt(n) * gauss(random);
              stacks.put(p, new WeighedStacks.Stack(n, worth));
              add(c, 1.03 * worth, BodyMagnet.place(p.tray(), p.pocket()));
            });
    IronSystem iron = MAGNET.iron().withErrors(new IronSystem.Errors(0.1, 0, 0, 0.05));
    RoundReview review =
        RoundReview.of(
            iron,
            Vec3.UNIT_Z,
            MAGNET.centreField(),
            measured(c, random),
            Loading.EMPTY,
            sheet,
            new WeighedStacks(stacks));
    RoundReview.Strength s = review.strengths().get(0);
    assertThat(s.factor()).isCloseTo(1.03, within(3.5 * s.uncertainty()));
    assertThat(s.uncertainty()).isLessThan(1e-4); // 0.003 ppm of a term, of some 100 ppm
    int dof = review.degreesOfFreedom();
    assertThat(review.misfit())
        .isBetween(dof - 5 * Math.sqrt(2.0 * dof), dof + 5 * Math.sqrt(2.0 * dof));
  }
}
