package org.fieldwright.app.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.fieldwright.app.Version;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.NearestName;
import picocli.CommandLine;
import picocli.CommandLine.Help.Ansi;
import picocli.CommandLine.Help.ColorScheme;
import picocli.CommandLine.IFactory;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Model.OptionSpec;
import picocli.CommandLine.ParameterException;

/**
 * Finds the named command, runs it, and turns whatever goes wrong into one message and a status: a
 * person's mistake is told in words, a fault of the program leaves its trace in a file.
 */
final class CommandRunner {
  private static final ColorScheme NO_COLOUR = new ColorScheme.Builder(Ansi.OFF).build();

  private final List<Command> commands;
  private final Output output;
  private final Path traces;

  /**
   * @param traces folder for the trace of a fault
   */
  CommandRunner(List<Command> commands, Output output, Path traces) {
    this.commands = commands;
    this.output = output;
    this.traces = traces;
  }

  int run(List<String> args) {
    if (args.isEmpty()) {
      output.note(overview());
      return ExitStatus.BAD_INPUT;
    }
    String name = args.get(0);
    if (List.of("--help", "-h", "help").contains(name)) {
      output.answer(overview());
      return ExitStatus.DONE;
    }
    if (List.of("--version", "-V", "version").contains(name)) {
      output.answer("fieldwright " + Version.current());
      return ExitStatus.DONE;
    }
    for (Command command : commands) {
      if (command.name().equals(name)) {
        return run(command, args.subList(1, args.size()));
      }
    }
    output.note("fieldwright: unknown command '" + name + "'." + meant(name, commandNames()));
    output.note("`fieldwright --help` lists the commands.");
    return ExitStatus.BAD_INPUT;
  }

  private int run(Command command, List<String> args) {
    String title = "fieldwright " + command.name();
    try {
      Callable<Integer> task = command.build().apply(output);
      CommandLine line = new CommandLine(task, new Plain());
      line.setCommandName(title).setExpandAtFiles(false).setColorScheme(NO_COLOUR);
      CommandSpec spec = line.getCommandSpec();
      spec.usageMessage().description(command.purpose());
      spec.addOption(
          OptionSpec.builder("-h", "--help").usageHelp(true).description("Show this.").build());
      line.parseArgs(args.toArray(String[]::new));
      if (line.isUsageHelpRequested()) {
        output.answer(line.getUsageMessage());
        return ExitStatus.DONE;
      }
      return task.call();
    } catch (ParameterException e) {
      output.note(title + ": " + explain(e));
      output.note("`" + title + " --help` explains the options.");
      return ExitStatus.BAD_INPUT;
    } catch (BadInput e) {
      output.note(title + ": " + e.getMessage());
      return ExitStatus.BAD_INPUT;
    } catch (FileSystemException e) {
      output.note(title + ": " + explain(e));
      return ExitStatus.BAD_INPUT;
    } catch (IOException e) { // a full disk, a torn cable: nobody's mistake, and no trace helps
      output.note(title + ": reading or writing failed: " + e.getMessage());
      return ExitStatus.FAULT;
    } catch (OutOfMemoryError e) {
      output.note(title + ": out of memory. JDK_JAVA_OPTIONS=-Xmx8g gives it 8 GB.");
      return ExitStatus.FAULT;
    } catch (Exception | StackOverflowError | LinkageError | AssertionError e) {
      output.note(title + ": a fault of the program: " + e + traceNote(e));
      return ExitStatus.FAULT;
    }
  }

  /**
   * Makes what picocli needs by its plain constructor. Its own factory looks for a class that is
   * not here first, which opens every jar of the class path.
   */
  private static final class Plain implements IFactory {
    @Override
    public <K> K create(Class<K> type) throws Exception {
      if (type.isAssignableFrom(ArrayList.class)) { // an option that may be given several times
        return type.cast(new ArrayList<>());
      }
      if (type.isAssignableFrom(LinkedHashSet.class)) {
        return type.cast(new LinkedHashSet<>());
      }
      return type.getDeclaredConstructor().newInstance();
    }
  }

  private String overview() {
    int width = commands.stream().mapToInt(c -> c.name().length()).max().orElse(0);
    StringBuilder text = new StringBuilder("Usage: fieldwright COMMAND …\n\n");
    for (Command command : commands) {
      text.append("  ").append(command.name());
      text.append(" ".repeat(width + 2 - command.name().length()));
      text.append(command.purpose()).append('\n');
    }
    return text.append(
            "\n`fieldwright COMMAND --help` explains one; `--version` says which this is.")
        .toString();
  }

  private List<String> commandNames() {
    return commands.stream().map(Command::name).toList();
  }

  private static String meant(String found, List<String> known) {
    String near = NearestName.of(found, known);
    return near == null ? "" : " Did you mean '" + near + "'?";
  }

  private static String explain(ParameterException e) {
    // A misspelt option that is required counts as missing first; what was written helps more.
    List<String> strangers = e.getCommandLine().getUnmatchedArguments();
    if (!strangers.isEmpty()) {
      String found = strangers.get(0);
      if (!found.startsWith("-")) {
        return "'" + found + "' is one word more than this command takes.";
      }
      List<String> options = List.copyOf(e.getCommandLine().getCommandSpec().optionsMap().keySet());
      String name = found.contains("=") ? found.substring(0, found.indexOf('=')) : found;
      return "unknown option '" + name + "'." + meant(name, options);
    }
    return Optional.ofNullable(e.getMessage()).orElse("the words given make no command line");
  }

  private static String explain(FileSystemException e) {
    if (e instanceof NoSuchFileException) {
      return e.getFile() + ": no such file or folder";
    }
    if (e instanceof AccessDeniedException) {
      return e.getFile() + ": not allowed to open it";
    }
    String reason = e.getReason();
    return e.getFile() + ": " + (reason == null ? e.getClass().getSimpleName() : reason);
  }

  private String traceNote(Throwable fault) {
    StringWriter trace = new StringWriter();
    fault.printStackTrace(new PrintWriter(trace));
    try {
      Path file = Files.createTempFile(traces, "fieldwright-fault-", ".txt");
      Files.writeString(file, "fieldwright " + Version.current() + "\n" + trace);
      return "\nThe trace is in " + file + "; please send it with what you did.";
    } catch (IOException e) {
      return "\n" + trace;
    }
  }
}
