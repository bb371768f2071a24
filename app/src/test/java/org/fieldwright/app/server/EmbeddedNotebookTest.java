package org.fieldwright.app.server;

class EmbeddedNotebookTest extends StoredNotebookContract {
  @Override
  String store() {
    return null;
  }
}
