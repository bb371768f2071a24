package org.fieldwright.app.capture;

import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.jar.JarEntry;
import java.util.jar.JarOutputStream;
import java.util.stream.Stream;

/**
 * Starts the same Java program many times, to be killed. Its classes are put into jars and a class
 * archive first, as the launcher does, because most of the time of so many runs is that of
 * starting.
 */
final class KilledJava {
  private final List<String> command = new ArrayList<>();

  private KilledJava(String classPath) {
    command.addAll(
        List.of(
            Path.of(System.getProperty("java.home"), "bin", "java").toString(),
            "-XX:TieredStopAtLevel=1",
            "-XX:+UseSerialGC",
            "-Xshare:auto",
            "-cp",
            classPath));
  }

  /** Straight from the class path of the tests; for a few runs. */
  static KilledJava plain() {
    return new KilledJava(System.getProperty("java.class.path"));
  }

  /**
   * From an archive.
   *
   * @param words of a run that comes to an end by itself, whose classes are archived
   */
  static KilledJava archived(Path folder, String... words) throws Exception {
    List<String> entries = new ArrayList<>();
    for (String entry : System.getProperty("java.class.path").split(File.pathSeparator, -1)) {
      Path path = Path.of(entry);
      if (Files.isDirectory(path)) {
        Path jar = folder.resolve("classes-" + entries.size() + ".jar");
        pack(path, jar);
        entries.add(jar.toString());
      } else if (Files.exists(path)) {
        entries.add(entry);
      }
    }
    KilledJava java = new KilledJava(String.join(File.pathSeparator, entries));
    Path archive = folder.resolve("classes.jsa");
    List<String> rehearsal = new ArrayList<>(java.command);
    rehearsal.add(1, "-XX:ArchiveClassesAtExit=" + archive);
    rehearsal.addAll(List.of(words));
    Process process =
        new ProcessBuilder(rehearsal)
            .redirectErrorStream(true)
            .redirectOutput(ProcessBuilder.Redirect.DISCARD)
            .start();
    process.getOutputStream().close();
    process.waitFor();
    if (Files.exists(archive)) {
      java.command.add(1, "-XX:SharedArchiveFile=" + archive);
    }
    return java;
  }

  private static void pack(Path classes, Path jar) throws IOException {
    try (JarOutputStream out = new JarOutputStream(Files.newOutputStream(jar));
        Stream<Path> files = Files.walk(classes)) {
      for (Path file : files.filter(Files::isRegularFile).toList()) {
        out.putNextEntry(new JarEntry(classes.relativize(file).toString().replace('\\', '/')));
        Files.copy(file, out);
        out.closeEntry();
      }
    }
  }

  /** Runs a main class with these words. */
  Process start(String... words) throws IOException {
    List<String> whole = new ArrayList<>(command);
    whole.addAll(List.of(words));
    return new ProcessBuilder(whole).redirectErrorStream(true).start();
  }
}
