package org.fieldwright.adapters.files;

import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import org.fieldwright.core.reading.Reading;
import org.fieldwright.core.reading.Survey;
import org.jspecify.annotations.Nullable;

/**
 * A turning array's survey as comma-separated text: angle, probe, frequency to 0.01 Hz, standard
 * deviation of one repeat, averages, locks and time. {@link SurveyFile} reads it back.
 */
public final class SurveyWriter {
  private SurveyWriter() {}

  /**
   * The whole file.
   *
   * @param gammaMHzPerT of the array's sample, which turns the fields back into frequencies
   */
  public static byte[] write(Survey survey, double gammaMHzPerT) {
    StringBuilder text = new StringBuilder();
    remarks(survey.remarks()).forEach(line -> text.append(line).append('\n'));
    text.append("angle_deg,probe,frequency_MHz,sd_Hz,averages,locked,time\n");
    for (Reading r : survey.readings()) {
      text.append(number(r.angleDeg(), 1, "%s")).append(',');
      text.append(r.probe()).append(',');
      text.append(number(r.field(), gammaMHzPerT, "%.8f")).append(',');
      text.append(number(r.sd(), gammaMHzPerT * 1e6, "%.3f")).append(',');
      text.append(orEmpty(r.averages())).append(',');
      text.append(orEmpty(r.locked())).append(',');
      text.append(orEmpty(r.time())).append('\n');
    }
    return text.toString().getBytes(StandardCharsets.UTF_8);
  }

  /** Remarks as the lines before the header of a table. */
  public static List<String> remarks(Map<String, String> remarks) {
    return new TreeMap<>(remarks)
        .entrySet().stream()
            .map(e -> ("# " + e.getKey() + ": " + e.getValue()).replaceAll("\\R", " "))
            .toList();
  }

  private static String number(@Nullable Double value, double factor, String format) {
    return value == null ? "" : String.format(Locale.ROOT, format, value * factor);
  }

  private static String orEmpty(@Nullable Object value) {
    return value == null ? "" : value.toString();
  }
}
