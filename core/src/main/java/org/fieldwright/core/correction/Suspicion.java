package org.fieldwright.core.correction;

import org.jspecify.annotations.Nullable;

/**
 * A way in which the loading may differ from its sheet, and how much better it explains what was
 * found than the sheet does.
 *
 * @param kind of mistake
 * @param tray concerned; null where all are
 * @param otherTray the second of two exchanged trays; null otherwise
 * @param pocket concerned; null where the whole tray is
 * @param piece kind of piece concerned; null where all are
 * @param pieces by how many the pocket would differ from the sheet; null where it is no count
 * @param piecesUncertainty one standard uncertainty of that count; null with it
 * @param evidence twice the logarithm of the odds against the sheet, after a price for the number
 *     of like mistakes that could have been made and for a count that was fitted (BIC); above
 *     {@link #STRONG} it is worth a look into the bore
 */
public record Suspicion(
    Kind kind,
    @Nullable Integer tray,
    @Nullable Integer otherTray,
    @Nullable Integer pocket,
    @Nullable String piece,
    @Nullable Double pieces,
    @Nullable Double piecesUncertainty,
    double evidence) {

  /** Kass and Raftery (1995): very strong, where twice the log odds exceed 10. */
  public static final double STRONG = 10;

  /** What may have gone wrong. */
  public enum Kind {
    STACK_NOT_CHANGED("the change of this stack was not made"),
    STACK_DIFFERS("this stack differs from the sheet"),
    TRAY_NOT_CHANGED("none of this tray's changes were made"),
    TRAY_REVERSED("this tray went in the other end first"),
    TRAYS_EXCHANGED("these two trays were exchanged"),
    ALL_REVERSED("all trays went in the other end first"),
    COUNTED_THE_OTHER_WAY("the trays were counted the other way round"),
    COUNTED_ONE_ON("the trays were counted one place too far on"),
    COUNTED_ONE_BACK("the trays were counted one place too far back");

    private final String words;

    Kind(String words) {
      this.words = words;
    }

    /** In words, for reports. */
    public String words() {
      return words;
    }

    /** In documents. */
    public String id() {
      return name().toLowerCase(java.util.Locale.ROOT);
    }
  }

  static Suspicion of(Kind kind, @Nullable Integer tray, @Nullable Integer other, double evidence) {
    return new Suspicion(kind, tray, other, null, null, null, null, evidence);
  }
}
