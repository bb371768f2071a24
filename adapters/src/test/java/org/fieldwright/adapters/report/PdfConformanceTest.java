package org.fieldwright.adapters.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayInputStream;
import java.util.stream.Collectors;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.verapdf.gf.foundry.VeraGreenfieldFoundryProvider;
import org.verapdf.pdfa.Foundries;
import org.verapdf.pdfa.PDFAParser;
import org.verapdf.pdfa.PDFAValidator;
import org.verapdf.pdfa.flavours.PDFAFlavour;
import org.verapdf.pdfa.results.ValidationResult;

/** The validator is veraPDF, the reference implementation for ISO 19005 and ISO 14289. */
class PdfConformanceTest {
  private static byte[] pdf;

  @BeforeAll
  static void render() {
    VeraGreenfieldFoundryProvider.initialise();
    pdf = PdfReport.render(DemoVisit.loaded());
  }

  @ParameterizedTest
  @EnumSource(
      value = PDFAFlavour.class,
      names = {"PDFA_2_A", "PDFUA_1"})
  void isWhatItClaimsToBe(PDFAFlavour flavour) throws Exception {
    try (PDFAParser parser =
            Foundries.defaultInstance().createParser(new ByteArrayInputStream(pdf), flavour);
        PDFAValidator validator = Foundries.defaultInstance().createValidator(flavour, false)) {
      ValidationResult result = validator.validate(parser);
      String failures =
          result.getTestAssertions().stream()
              .map(a -> a.getRuleId() + ": " + a.getMessage() + " " + a.getLocation())
              .distinct()
              .limit(30)
              .collect(Collectors.joining("\n"));
      assertThat(result.isCompliant()).as(failures).isTrue();
    }
  }
}
