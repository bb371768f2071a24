package org.fieldwright.app.cli;

import java.util.concurrent.Callable;
import java.util.function.Function;

/**
 * An entry in the list of commands.
 *
 * @param purpose one line, shown in the list and at the head of the command's own help
 * @param build makes the picocli-annotated object; its call answers an {@link ExitStatus}
 */
record Command(String name, String purpose, Function<Output, Callable<Integer>> build) {}
