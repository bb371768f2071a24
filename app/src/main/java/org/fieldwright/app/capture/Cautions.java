package org.fieldwright.app.capture;

/** What is said to whoever works at the magnet while this program watches. */
public final class Cautions {
  /** Before a recording. */
  public static final String WATCHING =
      "This only watches: it drives no power supply, and no alarm of it protects anyone. During a"
          + " ramp and at field: strong static field, loose iron flies; implants and the 0.5 mT"
          + " line; quench and cryogen; conducting loops are turned. Local rules, the manufacturer's"
          + " instructions and licensed practice come first.";

  /** Before the array is moved. */
  public static final String AT_THE_BORE =
      "At the bore: strong static field, loose iron and tools fly; mind implants and the 0.5 mT"
          + " line. Local rules and the manufacturer's instructions come first; move the array by"
          + " hand, slowly, and only as its makers allow.";

  private Cautions() {}
}
