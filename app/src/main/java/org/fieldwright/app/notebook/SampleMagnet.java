package org.fieldwright.app.notebook;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.TreeMap;
import org.fieldwright.adapters.files.LoadingFile;
import org.fieldwright.adapters.files.MagnetFile;
import org.fieldwright.app.TemporaryFolder;
import org.fieldwright.app.simulate.SimulateService;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.Loading;

/**
 * An invented magnet to try everything on: surveyed once, and surveyed again with what was planned
 * for it, as often as one likes.
 */
public final class SampleMagnet {
  /** A magnet folder that holds this can be surveyed again without a magnet. */
  static final String SCENARIO = "scenario.yaml";

  private static final String INSTALLED = "installed.csv";
  private static final String ID = "kestrel-ridge";

  private final NotebookService notebook;

  public SampleMagnet(NotebookService notebook) {
    this.notebook = notebook;
  }

  /**
   * Adds the magnet, surveyed once.
   *
   * @return its id; the one that is there already where it is
   */
  public String add() throws IOException, NotebookService.Changed {
    synchronized (notebook.lock(ID)) {
      if (notebook.magnets().contains(ID)) {
        return ID;
      }
      try (TemporaryFolder folder = TemporaryFolder.make()) {
        Path work = folder.path();
        Map<String, byte[]> files = new TreeMap<>();
        for (String name : List.of(SCENARIO, INSTALLED, NotebookService.MAGNET_FILE)) {
          try (InputStream in =
              Objects.requireNonNull(SampleMagnet.class.getResourceAsStream("/demo/" + name))) {
            files.put(name, in.readAllBytes());
          }
          Files.write(work.resolve(name), files.get(name));
        }
        Path out = Files.createDirectory(work.resolve("out"));
        new SimulateService().simulate(work.resolve(SCENARIO), out);
        for (String name : List.of("survey-1.csv", "log-1.csv")) {
          files.put(name, Files.readAllBytes(out.resolve(name)));
        }
        notebook.add(ID, files);
      }
      return ID;
    }
  }

  /**
   * Surveys a sample magnet again, loaded as a list of changes says, whether it was recorded as
   * loaded or not.
   *
   * @return the survey's file
   */
  public String surveyAgain(String magnet, String changes)
      throws IOException, NotebookService.Changed {
    Path scenario;
    try {
      scenario = notebook.existing(magnet, SCENARIO);
    } catch (java.nio.file.NoSuchFileException e) {
      throw new BadInput(
          "this is no sample magnet: survey it with its array and drop the readings here", e);
    }
    try (TemporaryFolder work = TemporaryFolder.make()) {
      Path made =
          new SimulateService()
              .next(scenario, after(magnet, changes), work.path())
              .surveys()
              .get(0);
      synchronized (notebook.lock(magnet)) {
        List<String> there = notebook.files(magnet);
        int number = 2;
        while (there.contains("survey-" + number + ".csv")) {
          number++;
        }
        String name = "survey-" + number + ".csv";
        notebook.save(magnet, name, Files.readAllBytes(made), null);
        return name;
      }
    }
  }

  private Loading after(String magnet, String changes) throws IOException {
    IronSystem iron = MagnetFile.read(notebook.magnetFile(magnet)).iron();
    if (iron == null) {
      throw new BadInput("the magnet file has no section 'iron': nothing can be loaded");
    }
    return LoadingFile.readRound(notebook.existing(magnet, changes), iron).after();
  }
}
