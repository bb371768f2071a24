package org.fieldwright.core.outside;

import java.util.List;
import org.fieldwright.core.geometry.Vec3;

/**
 * Whether something outside disturbs the field.
 *
 * @param verdict in a word
 * @param sources that explain the readings best; empty where none is warranted
 * @param directionFree whether their moments were left any direction; else along the field axis
 * @param degree of the harmonics left free beside them
 * @param scatter of one reading of weight one that everything rests on, ppm
 * @param left root mean square of what is left, per degree of freedom, ppm
 * @param readings how many the search rests on
 * @param radius to which they reach, m
 * @param evidence for each number of sources, none first
 * @param elsewhere places of the same number of sources that explain the readings about as well
 * @param least what would have been seen, by distance
 */
public record OutsideFinding(
    Verdict verdict,
    List<OutsideSource> sources,
    boolean directionFree,
    int degree,
    double scatter,
    double left,
    int readings,
    double radius,
    List<Evidence> evidence,
    List<List<Vec3>> elsewhere,
    List<Least> least) {

  /** Kass and Raftery (1995): very strong, where twice the log odds exceed 10. */
  public static final double STRONG = 10;

  public OutsideFinding {
    sources = List.copyOf(sources);
    evidence = List.copyOf(evidence);
    elsewhere = List.copyOf(elsewhere);
    least = List.copyOf(least);
  }

  /** The answer. */
  public enum Verdict {
    /** No source is warranted by the readings. */
    NOTHING_SEEN("nothing_seen"),
    /** Sources are warranted, and the readings say where they are. */
    LOCATED("located"),
    /** Sources are warranted, but the readings do not say where they are. */
    NOT_LOCATED("not_located");

    private final String id;

    Verdict(String id) {
      this.id = id;
    }

    /** In documents. */
    public String id() {
      return id;
    }
  }

  /**
   * The best explanation with one number of sources.
   *
   * @param sources how many
   * @param directionFree of their moments
   * @param degree of the harmonics beside them
   * @param misfit sum of squares over the scatter's
   * @param unknowns fitted, of any size
   * @param againstNone twice the log odds against the best explanation without a source (Schwarz
   *     1978)
   */
  public record Evidence(
      int sources,
      boolean directionFree,
      int degree,
      double misfit,
      int unknowns,
      double againstNone) {}

  /**
   * The least piece that would have been seen.
   *
   * @param distance from the centre, m
   * @param iron in the direction where it shows least, magnetised along the field, kg
   */
  public record Least(double distance, double iron) {}
}
