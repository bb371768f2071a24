package org.fieldwright.adapters.instrument.simulated;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.regex.Pattern;
import org.fieldwright.adapters.text.Numbers;
import org.jspecify.annotations.Nullable;

/**
 * Headers and what they do. Mnemonics are written {@code SENSe}: the capitals alone or the whole
 * word are understood, in any case; words in brackets may be left out (SCPI-1999, volume 1, 6.2).
 */
final class CommandTree {

  /** What a command does with its numbers; the answer of a query, null for other commands. */
  @FunctionalInterface
  interface Action {
    @Nullable String run(double[] arguments) throws Refused;
  }

  /** A command that is not carried out, with its SCPI error. */
  static final class Refused extends Exception {
    private static final long serialVersionUID = 1L;
    private final int number;

    Refused(int number, String text) {
      super(text);
      this.number = number;
    }

    int number() {
      return number;
    }

    String text() {
      return String.valueOf(getMessage());
    }
  }

  private record Entry(Pattern header, int arguments, Action action) {}

  private final List<Entry> entries = new ArrayList<>();

  /** Adds a command that takes so many numbers. */
  CommandTree add(String header, int arguments, Action action) {
    entries.add(new Entry(pattern(header), arguments, action));
    return this;
  }

  private static Pattern pattern(String header) {
    StringBuilder out = new StringBuilder(header.startsWith("*") ? "" : ":?");
    StringBuilder rest = new StringBuilder();
    for (char c : (header + "\n").toCharArray()) {
      if (Character.isLowerCase(c)) {
        rest.append(c);
        continue;
      }
      if (!rest.isEmpty()) {
        out.append('(').append(rest).append(")?");
        rest.setLength(0);
      }
      out.append(
          switch (c) {
            case '[' -> "(";
            case ']' -> ")?";
            case '*', '?' -> "\\" + c;
            case '\n' -> "";
            default -> String.valueOf(c);
          });
    }
    return Pattern.compile(out.toString(), Pattern.CASE_INSENSITIVE);
  }

  /** Carries out one command. */
  @Nullable String run(String command) throws Refused {
    String[] words = command.strip().split("\\s+", 2);
    for (Entry entry : entries) {
      if (entry.header().matcher(words[0]).matches()) {
        return entry.action().run(arguments(words.length > 1 ? words[1] : "", entry.arguments()));
      }
    }
    throw new Refused(-113, "Undefined header;" + words[0].toUpperCase(Locale.ROOT));
  }

  private static double[] arguments(String text, int count) throws Refused {
    String[] parts = text.isBlank() ? new String[0] : text.split(",", -1);
    if (parts.length < count) {
      throw new Refused(-109, "Missing parameter");
    }
    if (parts.length > count) {
      throw new Refused(-108, "Parameter not allowed");
    }
    double[] numbers = new double[count];
    for (int i = 0; i < count; i++) {
      numbers[i] = Numbers.parse(parts[i].strip(), '.');
      if (Double.isNaN(numbers[i])) {
        throw new Refused(-104, "Data type error");
      }
    }
    return numbers;
  }
}
