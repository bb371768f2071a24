package org.fieldwright.adapters.report;

import java.util.ArrayList;
import java.util.List;

/** The page that is signed: what to mind, and who answers for it. */
final class ClosingSection {
  private static final List<String> CAUTIONS =
      List.of(
          "Local rules, the manufacturer's instructions and licensed practice come first. This"
              + " report advises; a qualified person decides.",
          "The static field turns loose iron into projectiles, and its pull grows suddenly near the"
              + " bore. Tools, trolleys, gas bottles and loose pieces stay outside unless checked.",
          "Shim iron is itself strongly pulled and turned. Trays are loaded at low or zero field"
              + " unless the maker's written procedure says otherwise.",
          "At field, hands are crushed between tray and bore. Never reach into the gap.",
          "People with implants stay outside the line that local law draws. IEC 60601-2-33 draws it"
              + " at 0.5 mT up to its third edition and at 0.9 mT since 2022.",
          "Superconducting magnets: a quench releases cold gas that displaces air. Know the way out,"
              + " and leave when the oxygen alarm sounds or gas is seen.",
          "Conducting loops and plates are turned and braked as they move through the field. Move"
              + " them slowly; wear no rings or chains.",
          "Coil currents are changed only within the limits of the coils and their supplies, by"
              + " people entitled to do so.");

  private final VisitReport report;

  ClosingSection(VisitReport report) {
    this.report = report;
  }

  void write(Page page) {
    page.heading(1, "cautions", "Cautions");
    page.list(CAUTIONS.stream().map(report.numerals()::prose).toList());
    page.heading(1, "signatures", "Signatures");
    List<String> roles = new ArrayList<>(List.of("measured by", "verdict accepted by"));
    if (report.lastPlan() != null) {
      roles.addAll(List.of("plan approved by", "loading done and checked by"));
    }
    new Frame(page.markup()).signatures(roles);
  }
}
