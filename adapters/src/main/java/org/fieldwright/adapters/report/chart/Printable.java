package org.fieldwright.adapters.report.chart;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.BitSet;
import java.util.Locale;
import org.apache.fontbox.ttf.CmapLookup;
import org.apache.fontbox.ttf.TTFParser;
import org.apache.fontbox.ttf.TrueTypeFont;
import org.apache.pdfbox.io.RandomAccessReadBuffer;

/**
 * Makes any text fit to print. A character that an embedded font has no shape for, a control
 * character, and one that reorders or hides its neighbours become their code in braces, {@code
 * {U+202E}}: a file name on a signed page must be the file's name, neither a row of boxes nor a
 * disguise.
 */
final class Printable {
  /** No font here draws anything beyond the Supplementary Multilingual Plane. */
  private static final int LAST_LOOKED_AT = 0x1FFFF;

  private static final BitSet SHAPES = shapesOfEveryFont();

  private Printable() {}

  static String text(String text) {
    if (text.codePoints().allMatch(Printable::isPlain)) {
      return text;
    }
    StringBuilder out = new StringBuilder();
    text.codePoints()
        .forEach(
            c -> {
              if (isPlain(c)) {
                out.appendCodePoint(c);
              } else if (c == '\n' || c == '\t' || c == '\r') {
                out.append(' ');
              } else {
                out.append(String.format(Locale.ROOT, "{U+%04X}", c));
              }
            });
    return out.toString();
  }

  private static boolean isPlain(int c) {
    return switch (Character.getType(c)) {
      case Character.CONTROL,
          Character.FORMAT,
          Character.SURROGATE,
          Character.PRIVATE_USE,
          Character.UNASSIGNED,
          Character.LINE_SEPARATOR,
          Character.PARAGRAPH_SEPARATOR ->
          false;
      default -> SHAPES.get(c) && !isRightToLeft(c);
    };
  }

  /** The renderer does not reorder text, so such a word would come out backwards. */
  private static boolean isRightToLeft(int c) {
    byte d = Character.getDirectionality(c);
    return d == Character.DIRECTIONALITY_RIGHT_TO_LEFT
        || d == Character.DIRECTIONALITY_RIGHT_TO_LEFT_ARABIC;
  }

  private static BitSet shapesOfEveryFont() {
    BitSet common = new BitSet();
    common.set(0, LAST_LOOKED_AT + 1);
    for (EmbeddedFont font : EmbeddedFont.values()) {
      common.and(shapes(font));
    }
    return common;
  }

  private static BitSet shapes(EmbeddedFont font) {
    BitSet shapes = new BitSet();
    try (var in = font.open();
        var buffer = new RandomAccessReadBuffer(in);
        TrueTypeFont ttf = new TTFParser().parse(buffer)) {
      CmapLookup lookup = ttf.getUnicodeCmapLookup();
      for (int c = 0; c <= LAST_LOOKED_AT; c++) {
        if (lookup.getGlyphId(c) != 0) {
          shapes.set(c);
        }
      }
      return shapes;
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
