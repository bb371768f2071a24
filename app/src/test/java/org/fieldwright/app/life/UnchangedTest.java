package org.fieldwright.app.life;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class UnchangedTest {
  @TempDir private Path folder;

  @Test
  void aFileIsReadOnceHoweverManyAskAtOnce() throws Exception {
    Path file = Files.writeString(folder.resolve("log.csv"), "1");
    Path beside = Files.writeString(folder.resolve("magnet.yaml"), "a");
    Unchanged<String> unchanged = new Unchanged<>();
    AtomicInteger readings = new AtomicInteger();
    CountDownLatch asked = new CountDownLatch(4);
    Callable<String> asking =
        () -> {
          asked.countDown();
          return unchanged.of(
              file,
              List.of(beside),
              p -> {
                readings.incrementAndGet();
                await(asked);
                return Files.readString(p);
              },
              text -> true);
        };
    ExecutorService askers = Executors.newFixedThreadPool(4);
    try {
      for (Future<String> answer : askers.invokeAll(List.of(asking, asking, asking, asking))) {
        assertThat(answer.get()).isEqualTo("1");
      }
    } finally {
      askers.shutdownNow();
    }
    assertThat(readings).hasValue(1);
    Files.writeString(file, "22");
    assertThat(asking.call()).isEqualTo("22");
    assertThat(readings).hasValue(2);
    Files.writeString(beside, "bb");
    asking.call();
    assertThat(readings).hasValue(3);
    asking.call();
    assertThat(readings).hasValue(3);
  }

  private static void await(CountDownLatch asked) {
    try {
      assertThat(asked.await(10, TimeUnit.SECONDS)).isTrue();
    } catch (InterruptedException e) {
      throw new IllegalStateException(e);
    }
  }
}
