package org.fieldwright.adapters.yaml;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import org.fieldwright.core.BadInput;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What is set is changed in the text, and nothing else is. */
class YamlEditTest {
  @TempDir private Path folder;

  private String edited(String text, Map<String, String> numbers) throws IOException {
    Path file = Files.writeString(folder.resolve("m.yaml"), text);
    YamlEdit.setNumbers(file, List.of("iron", "strength"), numbers);
    return Files.readString(file);
  }

  /** Before and after, lines parted by |. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '@',
      value = {
        "iron: # all of it|  strength: {thin: 0.97} # learned|  x: 1 @ iron: # all of it|  strength: {thin: 0.9812} # learned|  x: 1",
        "iron:|  strength:|    thick: 1 # as sold|    thin:  0.97 # µ learned|# end @ iron:|  strength:|    thick: 1 # as sold|    thin:  0.9812 # µ learned|# end",
        "iron:|  strength:|    thick: 1 # as sold||  x: 1 @ iron:|  strength:|    thick: 1 # as sold|    thin: 0.9812||  x: 1",
        "iron:|  pieces:|    - {id: thin}|    - {id: thick} # last|| # coils|coils: [] @ iron:|  pieces:|    - {id: thin}|    - {id: thick} # last|  strength: {thin: 0.9812}|| # coils|coils: []",
        "iron:|  strength: {} @ iron:|  strength: {thin: 0.9812}",
        "iron: {x: [1, 2], y: 𝛼 } @ iron: {x: [1, 2], y: 𝛼, strength: {thin: 0.9812} }",
        "iron: {strength: {thick: 1}} @ iron: {strength: {thick: 1, thin: 0.9812}}",
      })
  void commentsAndLayoutStay(String before, String after) throws IOException {
    assertThat(edited(before.replace('|', '\n'), Map.of("thin", "0.9812")))
        .isEqualTo(after.replace('|', '\n'));
  }

  @Test
  void lineEndsStayAsTheyAre() throws IOException {
    assertThat(edited("iron:\r\n  x: 1\r\nlast: 2\r\n", Map.of("4 g", "1.0100")))
        .isEqualTo("iron:\r\n  x: 1\r\n  strength: {\"4 g\": 1.0100}\r\nlast: 2\r\n");
  }

  /** A shared value cannot be changed in one place alone. */
  @Test
  void whatCannotBeChangedByItselfIsRefusedAndLeft() throws IOException {
    String text = "iron: {strength: &s {thin: 1}}\nother: *s\n";
    assertThatThrownBy(() -> edited(text, Map.of("thin", "0.9")))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("iron.strength");
    assertThat(folder.resolve("m.yaml")).hasContent(text);
    assertThatThrownBy(() -> edited("magnet: {}\n", Map.of("thin", "0.9")))
        .isInstanceOf(BadInput.class);
  }
}
