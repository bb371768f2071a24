package org.fieldwright.app.notebook;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.fieldwright.adapters.files.FileKind;
import org.fieldwright.adapters.store.Kind;
import org.fieldwright.app.TemporaryFolder;

/** What a file is filed as, told by its name and its header. */
final class FileKinds {
  private FileKinds() {}

  static Kind of(Path file) {
    String name = String.valueOf(file.getFileName());
    if (name.matches("plan-[0-9]+\\.(csv|json)")) {
      return Kind.PLAN;
    }
    return switch (FileKind.of(file)) {
      case MAGNET -> Kind.MAGNET;
      case SURVEY -> Kind.SURVEY;
      case FIELD_LOG -> Kind.FIELD_LOG;
      case LOADING, LOADING_RECORD -> Kind.LOADING;
      case SCENARIO, READER, EVENTS, UNKNOWN_TABLE, OTHER -> Kind.OTHER;
    };
  }

  /** Of a content that lies nowhere yet. */
  static Kind of(String name, byte[] content) throws IOException {
    try (TemporaryFolder work = TemporaryFolder.make()) {
      return of(Files.write(work.path().resolve(name), content));
    }
  }
}
