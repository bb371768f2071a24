package org.fieldwright.adapters.text;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * Units of columns. Case does not count, except between m (milli) and M (mega) where both could be
 * meant: MHz and mT are read, mHz and MT are not.
 */
public enum Unit {
  DEGREE(Quantity.ANGLE, "deg", Math.PI / 180),
  METRE(Quantity.LENGTH, "m", 1),
  CENTIMETRE(Quantity.LENGTH, "cm", 1e-2),
  MILLIMETRE(Quantity.LENGTH, "mm", 1e-3),
  HERTZ(Quantity.FREQUENCY, "Hz", 1),
  KILOHERTZ(Quantity.FREQUENCY, "kHz", 1e3),
  MEGAHERTZ(Quantity.FREQUENCY, "MHz", 1e6),
  TESLA(Quantity.FIELD, "T", 1),
  MILLITESLA(Quantity.FIELD, "mT", 1e-3),
  MICROTESLA(Quantity.FIELD, "uT", 1e-6),
  GAUSS(Quantity.FIELD, "G", 1e-4),
  AMPERE(Quantity.CURRENT, "A", 1),
  CELSIUS(Quantity.TEMPERATURE, "C", 1),
  HECTOPASCAL(Quantity.PRESSURE, "hPa", 1);

  /** What a unit measures. */
  public enum Quantity {
    ANGLE,
    LENGTH,
    FREQUENCY,
    FIELD,
    CURRENT,
    TEMPERATURE,
    PRESSURE;

    public List<Unit> units() {
      return Arrays.stream(Unit.values()).filter(u -> u.quantity == this).toList();
    }

    /** The unit of this spelling, or null. */
    public @Nullable Unit unit(String spelling) {
      String plain = spelling.replace('\u00b5', 'u').replace('\u03bc', 'u');
      for (Unit unit : units()) {
        if (unit.symbol.toLowerCase(Locale.ROOT).equals(plain.toLowerCase(Locale.ROOT))
            && (this == LENGTH || !unit.swapsMilliAndMega(plain))) {
          return unit;
        }
      }
      return null;
    }
  }

  private final Quantity quantity;
  private final String symbol;
  private final double factor;

  Unit(Quantity quantity, String symbol, double factor) {
    this.quantity = quantity;
    this.symbol = symbol;
    this.factor = factor;
  }

  public Quantity quantity() {
    return quantity;
  }

  public String symbol() {
    return symbol;
  }

  /** In SI units; temperature stays in °C and pressure in hPa, as a field log keeps them. */
  public double toSi(double value) {
    // Dividing by a whole number keeps 200 mm at 0.2 m exactly; 1e-3 itself is not exact.
    return factor < 1 && quantity != Quantity.ANGLE
        ? value / Math.rint(1 / factor)
        : value * factor;
  }

  private boolean swapsMilliAndMega(String spelling) {
    char first = symbol.charAt(0);
    return (first == 'm' || first == 'M') && spelling.charAt(0) != first;
  }
}
