package org.fieldwright.core.stability;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Future;
import org.jspecify.annotations.Nullable;

/** Tasks that do not depend on each other, shared out if there is an executor. */
final class Parallel {

  private Parallel() {}

  /** The results, in the order of the tasks. */
  static <T> List<T> all(List<Callable<T>> tasks, @Nullable ExecutorService executor) {
    List<T> results = new ArrayList<>();
    try {
      if (executor == null) {
        for (Callable<T> task : tasks) {
          results.add(task.call());
        }
      } else {
        for (Future<T> done : executor.invokeAll(tasks)) {
          results.add(done.get());
        }
      }
    } catch (InterruptedException e) {
      throw new IllegalStateException("interrupted while computing", e);
    } catch (ExecutionException e) {
      throw new IllegalStateException(e.getCause());
    } catch (RuntimeException e) {
      throw e;
    } catch (Exception e) {
      throw new IllegalStateException(e);
    }
    return results;
  }
}
