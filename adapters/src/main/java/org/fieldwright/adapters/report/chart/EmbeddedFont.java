package org.fieldwright.adapters.report.chart;

import java.io.FileNotFoundException;
import java.io.IOException;
import java.io.InputStream;

/** The fonts that travel inside every report (DejaVu, free to embed and to ship). */
public enum EmbeddedFont {
  SANS("DejaVuSansCondensed.ttf", "Sans", 400),
  SANS_BOLD("DejaVuSansCondensed-Bold.ttf", "Sans", 700),
  MONO("DejaVuSansMono.ttf", "Mono", 400);

  private final String file;
  private final String family;
  private final int weight;

  EmbeddedFont(String file, String family, int weight) {
    this.file = file;
    this.family = family;
    this.weight = weight;
  }

  /** The name by which style sheets and charts ask for it. */
  public String family() {
    return family;
  }

  /** CSS weight: 400 regular, 700 bold. */
  public int weight() {
    return weight;
  }

  /** The TrueType file; the caller closes it. */
  public InputStream open() throws IOException {
    InputStream in =
        EmbeddedFont.class.getResourceAsStream("/net/sf/jasperreports/fonts/dejavu/" + file);
    if (in == null) {
      throw new FileNotFoundException("the font " + file + " is missing from the program");
    }
    return in;
  }
}
