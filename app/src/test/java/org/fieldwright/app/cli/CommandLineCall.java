package org.fieldwright.app.cli;

import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;

/**
 * One command line, run in this process.
 *
 * @param answer what it wrote to standard output
 * @param notes what it wrote to standard error
 */
record CommandLineCall(int status, String answer, String notes) {

  /** The example that ships with the project. */
  static final Path EXAMPLES = Path.of("..", "docs", "examples").toAbsolutePath().normalize();

  static CommandLineCall run(Object... words) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ByteArrayOutputStream err = new ByteArrayOutputStream();
    String[] args = new String[words.length];
    for (int i = 0; i < words.length; i++) {
      args[i] = words[i].toString();
    }
    int status = Main.run(new Output(out, err), args);
    return new CommandLineCall(
        status, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
  }
}
