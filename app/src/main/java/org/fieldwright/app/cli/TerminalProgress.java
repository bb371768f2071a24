package org.fieldwright.app.cli;

import java.util.Locale;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.fieldwright.core.Progress;

/**
 * Shows a long search on standard error and ends it when its time is over or the person presses
 * Ctrl-C. After Ctrl-C the process lives until this is closed, so that the best found so far still
 * gets out; close it after the answer. The shell then sees status 130, as after any interrupt.
 */
final class TerminalProgress implements Progress, AutoCloseable {
  private static final long NANOS = TimeUnit.SECONDS.toNanos(1);

  /** After Ctrl-C an answer that takes longer than this is given up. */
  private static final long PATIENCE_SECONDS = 10;

  private final Output output;
  private final boolean terminal;
  private final long start = System.nanoTime();
  private final long budgetNanos;
  private final CountDownLatch answered = new CountDownLatch(1);
  private final Thread hook = new Thread(this::interrupted, "interrupt");
  private long lastShown;
  private String lastStage = "";
  private volatile boolean stop;

  /**
   * @param seconds the time the search may take; infinity for one that ends by itself
   */
  TerminalProgress(Output output, double seconds) {
    this.output = output;
    this.terminal = Boolean.getBoolean("fieldwright.terminal"); // set by the launcher
    this.budgetNanos = (long) Math.min(seconds * NANOS, Long.MAX_VALUE);
    this.lastShown = start;
    Runtime.getRuntime().addShutdownHook(hook);
  }

  /** A line per second at most on a terminal, rewritten in place; elsewhere one per stage. */
  @Override
  public synchronized void report(String stage, double fraction, double bestSoFar) {
    long now = System.nanoTime();
    boolean newStage = !stage.equals(lastStage);
    if (!newStage && (!terminal || now - lastShown < NANOS / 4)) {
      return;
    }
    lastShown = now;
    lastStage = stage;
    StringBuilder line = new StringBuilder(stage);
    if (!Double.isNaN(fraction)) {
      line.append(String.format(Locale.ROOT, "  %3.0f %%", 100 * fraction));
    }
    if (!Double.isNaN(bestSoFar)) {
      line.append(String.format(Locale.ROOT, "  best %.4g", bestSoFar));
    }
    line.append(String.format(Locale.ROOT, "  (%.1f s)", (now - start) / (double) NANOS));
    if (terminal) {
      output.notes().print("\r\u001b[K" + line);
      output.notes().flush();
    } else {
      output.note(line.toString());
    }
  }

  @Override
  public boolean shouldStop() {
    return stop || System.nanoTime() - start >= budgetNanos;
  }

  @Override
  public void close() {
    if (terminal && !lastStage.isEmpty()) {
      output.note("");
    }
    answered.countDown();
    try {
      Runtime.getRuntime().removeShutdownHook(hook);
    } catch (IllegalStateException e) {
      stop = true; // the process is ending already, and the hook has been told
    }
  }

  private void interrupted() {
    stop = true;
    try {
      boolean inTime = answered.await(PATIENCE_SECONDS, TimeUnit.SECONDS);
      if (!inTime) {
        output.note("interrupted; no answer in " + PATIENCE_SECONDS + " s");
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
