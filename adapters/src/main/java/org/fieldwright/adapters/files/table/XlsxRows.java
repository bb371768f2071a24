package org.fieldwright.adapters.files.table;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Iterator;
import java.util.stream.Stream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipFile;
import org.dhatim.fastexcel.reader.Cell;
import org.dhatim.fastexcel.reader.CellType;
import org.dhatim.fastexcel.reader.ExcelReaderException;
import org.dhatim.fastexcel.reader.ReadableWorkbook;
import org.dhatim.fastexcel.reader.Row;
import org.fieldwright.adapters.text.Utf8File;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/**
 * The first sheet of a workbook. Of a formula the value stored with it counts; none is computed.
 */
final class XlsxRows extends Rows {
  /** How a compound file begins ([MS-CFB] 2.2). */
  private static final byte[] OLD_BINARY = {
    (byte) 0xD0, (byte) 0xCF, 0x11, (byte) 0xE0, (byte) 0xA1, (byte) 0xB1, 0x1A, (byte) 0xE1
  };

  private final Path path;

  private final ReadableWorkbook workbook;
  private final Stream<Row> stream;
  private final Iterator<Row> rows;
  private @Nullable Row row;

  private XlsxRows(Path path, ReadableWorkbook workbook) throws IOException {
    this.path = path;
    this.workbook = workbook;
    this.stream = workbook.getFirstSheet().openStream();
    this.rows = stream.iterator();
  }

  static boolean isZip(Path path) {
    Utf8File.requireFile(path);
    if (!Files.isRegularFile(path)) {
      return false; // a pipe: looking would swallow its beginning
    }
    try (InputStream in = Files.newInputStream(path)) {
      byte[] head = in.readNBytes(OLD_BINARY.length);
      if (Arrays.equals(head, OLD_BINARY)) {
        throw new BadInput(
            path + ":1: found a spreadsheet of the old binary kind, expected .xlsx or CSV");
      }
      return head.length >= 4 && head[0] == 'P' && head[1] == 'K' && head[2] == 3 && head[3] == 4;
    } catch (IOException e) {
      throw Utf8File.unreadable(path, e);
    }
  }

  static XlsxRows ofWorkbook(Path path, long maxBytes) {
    requireHarmless(path, maxBytes);
    try {
      return new XlsxRows(path, new ReadableWorkbook(path.toFile()));
    } catch (IOException | RuntimeException e) {
      throw notReadable(path, e);
    }
  }

  /**
   * Unpacks everything once, within the bound, before the workbook reader does so without one; what
   * a zip archive says about its own sizes proves nothing. Document type declarations, the root of
   * entity bombs, are refused, and so is UTF-16, which would hide them.
   */
  private static void requireHarmless(Path path, long maxBytes) {
    try (ZipFile zip = new ZipFile(path.toFile())) {
      if (zip.getEntry("xl/workbook.xml") == null) {
        throw new BadInput(
            path + ":1: found a zip archive that is no .xlsx workbook, expected .xlsx or CSV");
      }
      long left = maxBytes;
      for (var entries = zip.entries(); entries.hasMoreElements(); ) {
        ZipEntry entry = entries.nextElement();
        boolean xml = !entry.getName().startsWith("xl/media/");
        try (InputStream in = zip.getInputStream(entry)) {
          left -= unpack(path, in, xml, left);
        }
      }
    } catch (IOException e) {
      throw notReadable(path, e);
    }
  }

  private static long unpack(Path path, InputStream in, boolean xml, long left) throws IOException {
    byte[] buffer = new byte[1 << 16];
    long total = 0;
    int before = 0;
    int last = 0;
    for (int n = in.read(buffer); n >= 0; n = in.read(buffer)) {
      total += n;
      if (total > left) {
        throw new BadInput(
            path + ": unpacks to more than the bound on its size, expected a smaller workbook");
      }
      for (int i = 0; xml && i < n; i++) {
        int c = buffer[i] & 0xff;
        boolean utf16 = total == n && i == 1 && (c ^ last) == (0xff ^ 0xfe) && c >= 0xfe;
        if (utf16 || (before == '<' && last == '!' && (c == 'D' || c == 'E'))) {
          throw new BadInput(path + ": found a document type declaration, which no workbook holds");
        }
        before = last;
        last = c;
      }
    }
    return total;
  }

  private static BadInput notReadable(Path path, Exception e) {
    return e instanceof BadInput known
        ? known
        : new BadInput(path + ": cannot be read as an .xlsx workbook (" + e.getMessage() + ")", e);
  }

  @Override
  protected boolean next() {
    try {
      while (rows.hasNext()) {
        Row r = rows.next();
        String first = r.getCellCount() == 0 ? "" : textOf(cellOf(r, 0));
        if (first.startsWith("#")) {
          remark(first.substring(1));
        } else if (r.stream().anyMatch(c -> !textOf(c).isBlank())) {
          row = r;
          return true;
        }
      }
    } catch (UncheckedIOException | ExcelReaderException e) {
      throw notReadable(path, e);
    }
    return false;
  }

  private static @Nullable Cell cellOf(Row r, int column) {
    return r.hasCell(column) ? r.getCell(column) : null;
  }

  private static String textOf(@Nullable Cell cell) {
    if (cell == null || cell.getType() == CellType.EMPTY) {
      return "";
    }
    String raw = cell.getType() == CellType.STRING ? cell.getText() : cell.getRawValue();
    return raw == null ? "" : raw.strip();
  }

  private Row current() {
    if (row == null) {
      throw new IllegalStateException("no row yet");
    }
    return row;
  }

  @Override
  public int number() {
    return current().getRowNum();
  }

  @Override
  public int width() {
    return current().getCellCount();
  }

  @Override
  public String cell(int column) {
    return textOf(cellOf(current(), column));
  }

  @Override
  public boolean ragged() {
    return true;
  }

  @Override
  public boolean allowsDecimalComma() {
    return false;
  }

  @Override
  public boolean isNumberCell(int column) {
    Cell cell = cellOf(current(), column);
    return cell != null && cell.getType() == CellType.NUMBER;
  }

  @Override
  public void close() {
    stream.close();
    try {
      workbook.close();
    } catch (IOException e) {
      throw notReadable(path, e);
    }
  }
}
