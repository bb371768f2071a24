package org.fieldwright.app.demo;

import java.util.function.Function;
import org.fieldwright.core.Progress;
import org.fieldwright.core.correction.Plan;

/** Whoever watches the demonstration. */
public interface Narrator {

  /** A step is done; what it came to. */
  void say(String line);

  /** Lets the search for whole pieces run for as long as this audience is willing to wait. */
  Plan watch(Function<Progress, Plan> search);
}
