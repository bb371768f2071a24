package org.fieldwright.adapters.files;

import java.nio.charset.StandardCharsets;
import java.util.Locale;
import org.fieldwright.core.stability.FieldLog;

/** A field log as comma-separated text: time, frequency to 0.01 Hz, temperature where logged. */
public final class FieldLogWriter {
  private FieldLogWriter() {}

  /**
   * The whole file.
   *
   * @param gammaMHzPerT of the sample, which turns the fields back into frequencies
   */
  public static byte[] write(FieldLog log, double gammaMHzPerT) {
    double[] temperature = log.temperature();
    StringBuilder text = new StringBuilder("time,frequency_MHz");
    text.append(temperature == null ? "\n" : ",temperature_C\n");
    for (int i = 0; i < log.size(); i++) {
      text.append(log.at(log.time()[i])).append(',');
      text.append(number("%.8f", log.field()[i] * gammaMHzPerT));
      if (temperature != null) {
        text.append(',').append(number("%.2f", temperature[i]));
      }
      text.append('\n');
    }
    return text.toString().getBytes(StandardCharsets.UTF_8);
  }

  private static String number(String format, double value) {
    return Double.isNaN(value) ? "" : String.format(Locale.ROOT, format, value);
  }
}
