package org.fieldwright.adapters.report.chart;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import org.junit.jupiter.api.Test;

class MarkupTest {

  @Test
  void escapesTextAndAttributes() {
    String xml = new Markup().element("p", "<b>&\"", "title", "\"><script>").toString();
    assertThat(xml).isEqualTo("<p title=\"&quot;&gt;&lt;script&gt;\">&lt;b&gt;&amp;&quot;</p>");
  }

  @Test
  void showsWhatCannotBePrintedAsItsCode() {
    assertThat(Printable.text("µT ± γ θ Σ √ ≤ △ ✓ ✗ ▲")).isEqualTo("µT ± γ θ Σ √ ≤ △ ✓ ✗ ▲");
    assertThat(Printable.text("a\u0000b\u202Egnp.exe")).isEqualTo("a{U+0000}b{U+202E}gnp.exe");
    assertThat(Printable.text("磁\u05D0\u200B")).isEqualTo("{U+78C1}{U+05D0}{U+200B}");
    assertThat(Printable.text("x\uD800y")).isEqualTo("x{U+D800}y");
    assertThat(Printable.text("two\nlines")).isEqualTo("two lines");
  }

  @Test
  void refusesToEndHalfway() {
    assertThatThrownBy(() -> new Markup().open("p").toString())
        .isInstanceOf(IllegalStateException.class);
  }
}
