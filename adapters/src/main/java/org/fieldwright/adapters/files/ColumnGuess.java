package org.fieldwright.adapters.files;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import org.fieldwright.adapters.text.Unit;
import org.fieldwright.adapters.text.Unit.Quantity;
import org.fieldwright.core.magnet.Magnet;
import org.jspecify.annotations.Nullable;

/**
 * Guesses what a column of a foreign table is, from the words and the unit in its header and, for
 * the value itself, from the magnet's nominal field. A guess is a name that {@link SurveyFile} and
 * {@link FieldLogFile} read; it is a person who confirms it.
 */
final class ColumnGuess {
  /** How far a value may lie from the nominal field and still tell the unit. */
  private static final double NEAR = 0.1;

  /** Words of a header, in English, German and French, and what they mean; longer ones first. */
  private static final Map<String, Role> WORDS = new LinkedHashMap<>();

  static {
    words(Role.SD, "standard deviation", "std", "stdev", "sigma", "scatter", "streuung", "sd");
    words(Role.FREQUENCY, "frequency", "frequenz", "frequence", "freq", "larmor", "f0");
    words(Role.POLAR, "polar", "theta", "inclination");
    words(Role.AZIMUTH, "azimuth", "azimut", "phi");
    words(Role.ANGLE, "angle", "winkel", "rotation", "turn angle", "position deg");
    words(Role.PROBE, "probe", "sonde", "channel", "kanal", "canal", "sensor", "ch");
    words(Role.RHO, "rho");
    words(Role.R, "radius", "r");
    words(Role.FIELD, "field", "feld", "champ", "induction", "flux density", "b0", "bz", "b");
    words(Role.AVERAGES, "averages", "repeats", "mittelungen", "n avg", "count");
    words(Role.LOCKED, "locked", "locks", "lock");
    words(Role.TIME, "time", "timestamp", "zeit", "date", "datum", "heure");
    words(Role.TURN, "order", "sequence", "index", "turn");
    words(Role.CURRENT, "current", "strom", "courant");
    words(Role.TEMPERATURE, "temperature", "temperatur", "temp");
    words(Role.PRESSURE, "pressure", "druck", "pression");
    words(Role.X, "x");
    words(Role.Y, "y");
    words(Role.Z, "z");
  }

  private static void words(Role role, String... words) {
    for (String word : words) {
      WORDS.put(word, role);
    }
  }

  private ColumnGuess() {}

  /** Every name a column can be given. */
  static List<String> meanings() {
    return Arrays.stream(Role.values()).flatMap(r -> r.names().stream()).distinct().toList();
  }

  /**
   * One name or null for each column; no name twice.
   *
   * @param samples the first cells of each column
   */
  static List<@Nullable String> of(String[] header, List<List<String>> samples, Magnet magnet) {
    List<@Nullable String> guesses = new ArrayList<>();
    Set<Role> taken = new HashSet<>();
    for (int i = 0; i < header.length; i++) {
      Role role = role(header[i]);
      String guess =
          role == null || taken.contains(role)
              ? null
              : name(role, header[i], samples.get(i), magnet);
      if (guess != null && role != null) {
        taken.add(role);
      }
      guesses.add(guess);
    }
    boolean anyValue = taken.contains(Role.FREQUENCY) || taken.contains(Role.FIELD);
    for (int i = 0; i < header.length && !anyValue; i++) {
      String byValue = guesses.get(i) == null ? byNominal(samples.get(i), magnet) : null;
      if (byValue != null) {
        guesses.set(i, byValue);
        anyValue = true;
      }
    }
    return guesses;
  }

  private static @Nullable Role role(String header) {
    String plain = " " + words(header) + " ";
    for (Map.Entry<String, Role> word : WORDS.entrySet()) {
      if (plain.contains(" " + word.getKey() + " ")) {
        return word.getValue();
      }
    }
    return null;
  }

  /** The header's words without a unit in brackets. */
  private static String words(String header) {
    return header
        .toLowerCase(Locale.ROOT)
        .replaceAll("[\\[(].*?[\\])]", " ")
        .replaceAll("[^\\p{L}0-9]+", " ")
        .strip();
  }

  private static @Nullable String name(
      Role role, String header, List<String> samples, Magnet magnet) {
    if (role.quantities().isEmpty()) {
      return role.base();
    }
    Unit unit = unit(role, header);
    if (unit == null && (role == Role.FREQUENCY || role == Role.FIELD)) {
      return byNominal(samples, magnet);
    }
    if (unit == null) {
      unit =
          role.quantities().get(0) == Quantity.LENGTH
              ? Unit.MILLIMETRE
              : role.quantities().get(0).units().get(0);
    }
    return role.base() + "_" + unit.symbol();
  }

  /** The unit that stands in brackets or at the end of a header, or null. */
  private static @Nullable Unit unit(Role role, String header) {
    for (String part : header.replace("°", "deg").split("[^\\p{L}µμ]+", -1)) {
      Unit unit = part.isEmpty() ? null : role.unit(part);
      if (unit != null) {
        return unit;
      }
    }
    return null;
  }

  /** The unit in which the values would be the magnet's nominal field, or its frequency. */
  private static @Nullable String byNominal(List<String> samples, Magnet magnet) {
    Double value = firstNumber(samples);
    if (value == null || value <= 0) {
      return null;
    }
    double frequency = magnet.nominalField() * magnet.array().gammaMHzPerT() * 1e6;
    for (Unit unit : Quantity.FREQUENCY.units()) {
      if (Math.abs(unit.toSi(value) / frequency - 1) < NEAR) {
        return Role.FREQUENCY.base() + "_" + unit.symbol();
      }
    }
    for (Unit unit : Quantity.FIELD.units()) {
      if (Math.abs(unit.toSi(value) / magnet.nominalField() - 1) < NEAR) {
        return Role.FIELD.base() + "_" + unit.symbol();
      }
    }
    return null;
  }

  private static @Nullable Double firstNumber(List<String> samples) {
    for (String sample : samples) {
      String text = sample.replace(',', '.');
      if (text.matches("[-+]?[0-9]+(\\.[0-9]*)?([eE][-+]?[0-9]+)?")) {
        return Double.valueOf(text);
      }
    }
    return null;
  }
}
