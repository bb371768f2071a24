package org.fieldwright.app.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.BufferedReader;
import java.io.Console;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.time.Clock;
import java.util.Arrays;
import java.util.List;
import java.util.concurrent.Callable;
import org.fieldwright.app.team.AccountService;
import org.fieldwright.app.team.Member;
import org.fieldwright.app.team.Role;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code account list | add NAME | role NAME | password NAME | remove NAME}. */
@picocli.CommandLine.Command
final class AccountCommand implements Callable<Integer> {
  private final Output output;

  @Parameters(
      index = "0",
      paramLabel = "list|add|role|password|remove",
      description = "What to do.")
  private String what = "";

  @Parameters(
      index = "1",
      arity = "0..1",
      paramLabel = "NAME",
      description = "To sign in with: small letters, digits, . _ and -.")
  private @Nullable String name;

  @Option(
      names = "--role",
      paramLabel = "see|measure|sign",
      description =
          "For add and role: look, or also add and decide and record, or also make signed evidence.")
  private @Nullable String role;

  @Option(
      names = "--person",
      paramLabel = "\"FULL NAME\"",
      description = "For add: as records name whoever did something.")
  private @Nullable String person;

  @Option(names = "--json", description = "For list: print one JSON document.")
  private boolean json;

  @Mixin private StoreOptions kept = new StoreOptions();

  AccountCommand(Output output) {
    this.output = output;
  }

  @Override
  public Integer call() throws IOException {
    try (AccountService accounts =
        AccountService.open(kept.data(), kept.store(), Clock.systemUTC())) {
      switch (what) {
        case "list" -> list(accounts.all());
        case "add" ->
            said("added", accounts.add(name(), given(person, "--person"), role(), password()));
        case "role" -> said("changed", accounts.give(name(), role()));
        case "password" -> said("changed", accounts.setPassword(name(), password()));
        case "remove" -> {
          accounts.remove(name());
          output.answer(name() + " removed.");
        }
        default ->
            throw new BadInput(
                "account: found '%s'; right is list, add, role, password or remove"
                    .formatted(what));
      }
      return ExitStatus.DONE;
    }
  }

  private void said(String deed, Member member) {
    output.answer(
        "%s %s: %s, role %s."
            .formatted(member.name(), deed, member.person(), member.role().word()));
  }

  private void list(List<Member> members) {
    if (!json) {
      StringBuilder text = new StringBuilder();
      members.forEach(
          m -> text.append("%-20s %-8s %s%n".formatted(m.name(), m.role().word(), m.person())));
      output.answer(members.isEmpty() ? "There is no account." : text.toString());
      return;
    }
    ObjectNode root = JsonNodeFactory.instance.objectNode();
    ArrayNode list = root.putArray("accounts");
    for (Member m : members) {
      list.addObject().put("name", m.name()).put("person", m.person()).put("role", m.role().word());
    }
    output.answer(root);
  }

  private String name() {
    return given(name, "NAME");
  }

  private Role role() {
    return Role.named(given(role, "--role"));
  }

  private String given(@Nullable String value, String word) {
    if (value == null) {
      throw new BadInput("account %s: %s is needed".formatted(what, word));
    }
    return value;
  }

  /** Typed twice and unseen at a terminal, else the first line of standard input. */
  @SuppressWarnings("SystemConsoleNull") // the launcher asks later JDKs for what this one does
  private String password() throws IOException {
    Console console = System.console();
    if (console == null) {
      output.note("The password is the first line of standard input.");
      String line =
          new BufferedReader(new InputStreamReader(System.in, StandardCharsets.UTF_8)).readLine();
      return given(line, "a password on standard input");
    }
    char[] first = console.readPassword("Password for %s: ", name());
    char[] again = console.readPassword("The same again: ");
    if (first == null || !Arrays.equals(first, again)) {
      throw new BadInput("password: the two are not the same");
    }
    return new String(first);
  }
}
