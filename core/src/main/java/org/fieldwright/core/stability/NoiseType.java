package org.fieldwright.core.stability;

/**
 * Power-law noise of a field log: the power spectrum of the field goes as f^α. The two phase noises
 * are those of a differenced white record (rounding of a counter, for one).
 */
public enum NoiseType {
  WHITE_PHASE(2),
  FLICKER_PHASE(1),
  WHITE(0),
  FLICKER(-1),
  RANDOM_WALK(-2),
  FLICKER_WALK(-3),
  RANDOM_RUN(-4);

  private final int alpha;

  NoiseType(int alpha) {
    this.alpha = alpha;
  }

  /** Exponent of the power spectrum of the field. */
  public int alpha() {
    return alpha;
  }

  /** The noise of this exponent; exponents outside +2 … −4 give the nearest. */
  public static NoiseType ofAlpha(int alpha) {
    return values()[2 - Math.max(-4, Math.min(2, alpha))];
  }

  /** The name used in files. */
  public String id() {
    return switch (this) {
      case WHITE_PHASE -> "white_phase";
      case FLICKER_PHASE -> "flicker_phase";
      case WHITE -> "white";
      case FLICKER -> "flicker";
      case RANDOM_WALK -> "random_walk";
      case FLICKER_WALK -> "flicker_walk";
      case RANDOM_RUN -> "random_run";
    };
  }
}
