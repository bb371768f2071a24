package org.fieldwright.app.notebook;

import java.io.IOException;
import java.nio.file.NoSuchFileException;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.TimeUnit;
import java.util.function.Function;
import org.fieldwright.core.BadInput;

/**
 * Searches of one kind that go on while people look at something else: one at a time, others wait
 * their turn. The last hundred are remembered, as long as the process lives.
 */
final class SearchRoom<S extends Search> implements AutoCloseable {
  private static final int REMEMBERED = 100;
  private static final int MOST_WAITING = 20;
  private static final int PATIENCE_S = 5;

  private final NotebookService notebook;
  private final String unreadable;
  private final ExecutorService worker = Executors.newSingleThreadExecutor();
  private final Map<String, S> searches = new LinkedHashMap<>();
  private int count;

  /**
   * @param unreadable begins what is said where a file fails a search
   */
  SearchRoom(NotebookService notebook, String unreadable) {
    this.notebook = notebook;
    this.unreadable = unreadable;
  }

  /** What a search does; whatever it throws fails the search in words. */
  interface Work<S> {
    void search(S search) throws IOException;
  }

  /**
   * Lets a search in.
   *
   * @param made of its name
   * @param work goes on in the room's own thread; has to end the search where it succeeds
   */
  synchronized S start(Function<String, S> made, Work<S> work) {
    if (searches.values().stream().filter(s -> !s.hasEnded()).count() >= MOST_WAITING) {
      throw new BadInput(
          "%d searches are waiting already: let some end or stop them first"
              .formatted(MOST_WAITING));
    }
    S search = made.apply("search-" + ++count);
    searches.put(search.id(), search);
    forgetOld();
    worker.execute(
        () -> {
          if (search.shouldStop()) {
            search.fail("stopped before it began");
          } else {
            search.begin();
            search(search, work);
          }
        });
    return search;
  }

  private void search(S search, Work<S> work) {
    try {
      work.search(search);
    } catch (BadInput e) {
      search.fail(notebook.withoutPlace(String.valueOf(e.getMessage())));
    } catch (IOException e) {
      search.fail(unreadable + ": " + e.getMessage());
    } catch (NotebookService.Unreachable e) {
      search.fail(String.valueOf(e.getMessage()));
    } catch (RuntimeException e) {
      search.fail("a fault of the program: " + e.getClass().getSimpleName());
    }
  }

  private void forgetOld() {
    var all = searches.values().iterator();
    while (searches.size() > REMEMBERED && all.hasNext()) {
      if (all.next().hasEnded()) {
        all.remove();
      }
    }
  }

  synchronized S find(String id) throws NoSuchFileException {
    S search = searches.get(id);
    if (search == null) {
      throw new NoSuchFileException(id);
    }
    return search;
  }

  /** The searches of a magnet, the first one first. */
  synchronized List<S> of(String magnet) {
    return searches.values().stream().filter(s -> s.magnet().equals(magnet)).toList();
  }

  /** Stops every search and lets the one that runs keep its best so far. */
  @Override
  public void close() {
    synchronized (this) {
      searches.values().forEach(Search::stop);
    }
    worker.shutdown();
    try {
      if (!worker.awaitTermination(PATIENCE_S, TimeUnit.SECONDS)) {
        worker.shutdownNow();
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
