package org.fieldwright.adapters.instrument;

import java.nio.charset.StandardCharsets;
import org.jspecify.annotations.Nullable;

/**
 * CRC-16 with polynomial 0x1021, start 0xFFFF, nothing reflected ("CRC-16/IBM-3740" in the
 * Catalogue of parametrised CRC algorithms, with check value 0x29B1): every burst of up to 16 wrong
 * bits is noticed, and of all other changes all but one in 65,536.
 */
public final class Crc16 {
  private static final int POLYNOMIAL = 0x1021;

  private Crc16() {}

  /** The line with an asterisk and its checksum behind it. */
  public static String guarded(String line) {
    return line + "*" + of(line);
  }

  /** The line without its checksum; null if it has none or a wrong one. */
  public static @Nullable String unguarded(String line) {
    int star = line.lastIndexOf('*');
    boolean right = star >= 0 && of(line.substring(0, star)).equals(line.substring(star + 1));
    return right ? line.substring(0, star) : null;
  }

  /** As four hexadecimal digits. */
  static String of(String text) {
    int crc = 0xffff;
    for (byte b : text.getBytes(StandardCharsets.ISO_8859_1)) {
      crc ^= (b & 0xff) << 8;
      for (int bit = 0; bit < 8; bit++) {
        crc = (crc & 0x8000) != 0 ? (crc << 1) ^ POLYNOMIAL : crc << 1;
      }
      crc &= 0xffff;
    }
    return "%04X".formatted(crc);
  }
}
