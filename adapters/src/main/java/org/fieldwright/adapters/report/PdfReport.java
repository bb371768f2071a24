package org.fieldwright.adapters.report;

import com.openhtmltopdf.outputdevice.helper.BaseRendererBuilder.FSFontUseCase;
import com.openhtmltopdf.outputdevice.helper.BaseRendererBuilder.FontStyle;
import com.openhtmltopdf.outputdevice.helper.ExternalResourceControlPriority;
import com.openhtmltopdf.pdfboxout.PdfBoxRenderer;
import com.openhtmltopdf.pdfboxout.PdfRendererBuilder;
import com.openhtmltopdf.pdfboxout.PdfRendererBuilder.PdfAConformance;
import com.openhtmltopdf.svgsupport.BatikSVGDrawer;
import com.openhtmltopdf.util.XRLog;
import java.awt.color.ColorSpace;
import java.awt.color.ICC_Profile;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.EnumSet;
import java.util.GregorianCalendar;
import java.util.HexFormat;
import java.util.List;
import java.util.Set;
import java.util.logging.Level;
import java.util.regex.Pattern;
import org.apache.pdfbox.cos.COSArray;
import org.apache.pdfbox.cos.COSString;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDDocumentInformation;
import org.apache.pdfbox.pdmodel.common.PDMetadata;
import org.fieldwright.adapters.report.VisitReport.Provenance;
import org.fieldwright.adapters.report.chart.EmbeddedFont;

/**
 * Writes a report as a PDF: A4, fonts embedded, nothing fetched from anywhere. The same report
 * gives the same bytes.
 */
public final class PdfReport {
  private static final Set<FSFontUseCase> EVERYWHERE =
      EnumSet.of(FSFontUseCase.DOCUMENT, FSFontUseCase.SVG);

  private static final Pattern CREATE_DATE =
      Pattern.compile("(<xmp:CreateDate>)[^<]*(</xmp:CreateDate>)");

  private PdfReport() {}

  /** A visit. */
  public static byte[] render(VisitReport report) {
    String number = number(report.provenance());
    return render(new ReportHtml(report, number).write(), report.provenance(), number);
  }

  /** A magnet's years. */
  public static byte[] render(YearReport report) {
    String number = number(report.provenance());
    return render(new YearHtml(report, number).write(), report.provenance(), number);
  }

  private static byte[] render(String html, Provenance provenance, String number) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    try {
      write(html, provenance, number, out);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return out.toByteArray();
  }

  private static void write(String html, Provenance provenance, String number, OutputStream out)
      throws IOException {
    XRLog.listRegisteredLoggers().forEach(logger -> XRLog.setLevel(logger, Level.SEVERE));
    PdfRendererBuilder builder = new PdfRendererBuilder();
    builder.withHtmlContent(html, null);
    builder.useSVGDrawer(new BatikSVGDrawer());
    builder.useExternalResourceAccessControl(
        (uri, type) -> false, ExternalResourceControlPriority.RUN_BEFORE_RESOLVING_URI);
    builder.useExternalResourceAccessControl(
        (uri, type) -> false, ExternalResourceControlPriority.RUN_AFTER_RESOLVING_URI);
    builder.usePdfAConformance(PdfAConformance.PDFA_2_A);
    builder.usePdfUaAccessibility(true);
    builder.useColorProfile(ICC_Profile.getInstance(ColorSpace.CS_sRGB).getData());
    builder.toStream(out);
    builder.withProducer(provenance.program());
    for (EmbeddedFont font : EmbeddedFont.values()) {
      builder.useFont(
          () -> stream(font), font.family(), font.weight(), FontStyle.NORMAL, true, EVERYWHERE);
    }
    try (PdfBoxRenderer renderer = builder.buildPdfRenderer()) {
      renderer.layout();
      renderer.createPDFWithoutClosing();
      PDDocument document = renderer.getPdfDocument();
      stamp(document, provenance, number);
      document.save(out);
    }
  }

  /** Dates and identity from the report itself, not from the moment of writing. */
  private static void stamp(PDDocument document, Provenance provenance, String number)
      throws IOException {
    ZonedDateTime time = provenance.generated().atZone(provenance.zone()).withNano(0);
    PDDocumentInformation information = document.getDocumentInformation();
    information.setCreationDate(GregorianCalendar.from(time));
    information.setModificationDate(GregorianCalendar.from(time));
    PDMetadata metadata = document.getDocumentCatalog().getMetadata();
    String xmp = new String(metadata.toByteArray(), StandardCharsets.UTF_8);
    String date = DateTimeFormatter.ISO_OFFSET_DATE_TIME.format(time);
    metadata.importXMPMetadata(
        CREATE_DATE.matcher(xmp).replaceAll("$1" + date + "$2").getBytes(StandardCharsets.UTF_8));
    COSString id = new COSString(number.getBytes(StandardCharsets.US_ASCII));
    document.getDocument().setDocumentID(new COSArray(List.of(id, id)));
  }

  /**
   * What identifies a report: the head of a digest of its inputs, program and options, so that the
   * same inputs treated the same way carry the same number.
   */
  public static String number(Provenance p) {
    try {
      MessageDigest digest = MessageDigest.getInstance("SHA-256");
      p.inputs().forEach(f -> update(digest, f.role(), f.sha256()));
      update(digest, p.program());
      p.options().forEach(o -> update(digest, o.name(), o.value()));
      String hex = HexFormat.of().formatHex(digest.digest());
      return hex.substring(0, 4) + "-" + hex.substring(4, 8) + "-" + hex.substring(8, 12);
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException(e);
    }
  }

  private static void update(MessageDigest digest, String... parts) {
    for (String part : parts) {
      digest.update(part.getBytes(StandardCharsets.UTF_8));
      digest.update((byte) 0);
    }
  }

  private static InputStream stream(EmbeddedFont font) {
    try {
      return font.open();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
