package org.fieldwright.app.life;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import org.fieldwright.adapters.AtomicFile;
import org.fieldwright.adapters.text.SafeCell;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.history.Year;
import org.fieldwright.core.homogeneity.Limit;

/** The yearly summary as a CSV table; the same columns in every year. */
public final class YearTable {
  private YearTable() {}

  /** Writes the file, whole or not at all. */
  public static void write(Path target, Life life) throws IOException {
    if (!target.toString().toLowerCase(Locale.ROOT).endsWith(".csv")) {
      throw new BadInput(
          "--years: found '%s'; the summary is written to a file that ends in .csv or .pdf"
              .formatted(target));
    }
    AtomicFile.write(target, csv(life).getBytes(StandardCharsets.UTF_8));
  }

  private static String csv(Life life) {
    List<Limit> limits = life.magnet().limits().stream().filter(l -> l.volume() != null).toList();
    List<String> head = new ArrayList<>(List.of("year", "visits", "surveys"));
    for (Limit l : limits) {
      head.add(l.id() + "_least_ppm");
      head.add(l.id() + "_last_ppm");
      head.add(l.id() + "_verdict");
    }
    head.addAll(
        List.of(
            "centre_field_T",
            "frequency_MHz",
            "drift_ppm_per_hour",
            "pieces_in",
            "pieces_out",
            "iron_in_g",
            "iron_out_g",
            "changes_found",
            "events"));
    StringBuilder text = new StringBuilder(row(head.stream().map(SafeCell::of).toList()));
    life.years().forEach(y -> text.append(row(cells(y, limits))));
    return text.toString();
  }

  private static String row(List<String> cells) {
    return String.join(",", cells) + "\n";
  }

  private static List<String> cells(Year y, List<Limit> limits) {
    List<String> cells = new ArrayList<>();
    cells.add(Integer.toString(y.year()));
    cells.add(Integer.toString(y.visits()));
    cells.add(Integer.toString(y.surveys()));
    for (Limit limit : limits) {
      Year.OfLimit of =
          y.limits().stream()
              .filter(l -> l.last().limit().id().equals(limit.id()))
              .findFirst()
              .orElse(null);
      cells.add(of == null ? "" : number(of.leastPpm(), 4));
      cells.add(of == null || of.last().valuePpm() == null ? "" : number(of.last().valuePpm(), 4));
      cells.add(of == null ? "" : of.last().verdict().id());
    }
    cells.add(y.fieldT() == null ? "" : number(y.fieldT(), 8));
    cells.add(y.frequencyMHz() == null ? "" : number(y.frequencyMHz(), 6));
    cells.add(y.drift() == null ? "" : number(y.drift().ppmPerHour().value(), 5));
    cells.add(Integer.toString(y.piecesIn()));
    cells.add(Integer.toString(y.piecesOut()));
    cells.add(number(y.ironInG(), 1));
    cells.add(number(y.ironOutG(), 1));
    cells.add(Integer.toString(y.changed().size()));
    cells.add(
        SafeCell.of(
            y.events().stream()
                .map(e -> "%s %s".formatted(e.time().toString().substring(0, 10), e.kind().id()))
                .collect(Collectors.joining("; "))));
    return cells;
  }

  private static String number(double value, int decimals) {
    return String.format(Locale.ROOT, "%." + decimals + "f", value);
  }
}
