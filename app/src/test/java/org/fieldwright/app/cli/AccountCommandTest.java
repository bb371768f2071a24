package org.fieldwright.app.cli;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import com.networknt.schema.InputFormat;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class AccountCommandTest {
  private static final String PASSWORD = "quiet harbour, seven lamps";
  private final InputStream standard = System.in;

  @TempDir Path data;

  @AfterEach
  void giveBack() {
    System.setIn(standard);
  }

  private CommandLineCall call(String input, Object... words) {
    System.setIn(new ByteArrayInputStream(input.getBytes(UTF_8)));
    Object[] all = new Object[words.length + 3];
    all[0] = "account";
    System.arraycopy(words, 0, all, 1, words.length);
    all[words.length + 1] = "--data";
    all[words.length + 2] = data;
    return CommandLineCall.run(all);
  }

  @Test
  void accountsComeAndGoAndNoPasswordIsSaid() throws IOException {
    CommandLineCall added =
        call(PASSWORD + "\n", "add", "m.keller", "--person", "M. Keller", "--role", "sign");
    assertThat(added.status()).as(added.notes()).isEqualTo(ExitStatus.DONE);
    assertThat(added.answer() + added.notes()).contains("m.keller").doesNotContain(PASSWORD);
    assertThat(call("", "role", "m.keller", "--role", "see").status()).isEqualTo(ExitStatus.DONE);
    String listed = call("", "list", "--json").answer();
    String schema = Files.readString(Path.of("..", "docs", "schemas", "account.schema.json"));
    assertThat(
            SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                .getSchema(schema)
                .validate(listed, InputFormat.JSON))
        .isEmpty();
    assertThat(listed).contains("\"M. Keller\"", "\"see\"").doesNotContain("pbkdf2");
    assertThat(call("", "list").answer()).contains("m.keller", "see", "M. Keller");
    assertThat(call("", "remove", "m.keller").status()).isEqualTo(ExitStatus.DONE);
    assertThat(call("", "list").answer()).contains("no account");
  }

  @Test
  void mistakesAreTold() {
    String[][] wrong = {
      {"list, add, role", "what"},
      {"NAME is needed", "add", "--person", "A"},
      {"--role is needed", "add", "a", "--person", "A"},
      {"see, measure, sign", "add", "a", "--person", "A", "--role", "admin"},
      {"15 to 200", "add", "a", "--person", "A", "--role", "see"},
      {"none of that name", "remove", "a"},
    };
    for (String[] w : wrong) {
      CommandLineCall call = call("too short\n", List.of(w).subList(1, w.length).toArray());
      assertThat(call.status()).as(w[0]).isEqualTo(ExitStatus.BAD_INPUT);
      assertThat(call.notes()).contains(w[0]).doesNotContain("too short");
    }
    assertThat(CommandLineCall.run("serve", "--listen", "0.0.0.0", "--data", data).notes())
        .contains("--team");
    assertThat(
            CommandLineCall.run("serve", "--team", "https://m.example.org", "--data", data).notes())
        .contains("account add");
  }
}
