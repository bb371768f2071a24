package org.fieldwright.app.notebook;

import com.fasterxml.jackson.databind.node.ObjectNode;
import org.jspecify.annotations.Nullable;

/** A search for iron outside the bore. */
public final class OutsideLook extends Search {
  private final @Nullable String since;
  private @Nullable ObjectNode answer;

  /**
   * @param since survey that the other is held against; null = none
   */
  OutsideLook(String id, String magnet, String survey, @Nullable String since) {
    super(id, magnet, survey);
    this.since = since;
  }

  synchronized void done(ObjectNode document) {
    answer = document;
    finish();
  }

  /** With the answer once there is one. */
  @Override
  public synchronized ObjectNode json() {
    ObjectNode node = super.json().put("since", since);
    node.set("answer", answer);
    return node;
  }
}
