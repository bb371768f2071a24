package org.fieldwright.app.team;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.LinkedHashMap;
import java.util.Map;

/**
 * How long whoever tries names and passwords must wait. The first few attempts at a name are free;
 * each further one doubles the wait, up to a quarter of an hour, which leaves some hundred guesses
 * a day. Attempts are counted before they are looked at, so that many at once gain nothing; names
 * that nobody has are counted too, so that waiting tells nothing.
 */
final class Patience {
  private static final int FREE = 5;
  private static final Duration LONGEST = Duration.ofMinutes(15);

  /** Trying more names than this takes longer than the wait it would save. */
  private static final int REMEMBERED = 10_000;

  private final Clock clock;
  private final Map<String, Tried> tried =
      new LinkedHashMap<>(16, 0.75f, true) {
        private static final long serialVersionUID = 1L;

        @Override
        protected boolean removeEldestEntry(Map.Entry<String, Tried> eldest) {
          return size() > REMEMBERED;
        }
      };

  private record Tried(int times, Instant next) {}

  Patience(Clock clock) {
    this.clock = clock;
  }

  /** Counts an attempt, or says how many seconds are left until one is looked at again. */
  synchronized long attempt(String name) {
    Instant now = clock.instant();
    Tried before = tried.getOrDefault(name, new Tried(0, now));
    if (now.isBefore(before.next())) {
      return Duration.between(now, before.next()).toSeconds() + 1;
    }
    int times = before.times() + 1;
    tried.put(name, new Tried(times, now.plus(wait(times))));
    return 0;
  }

  private static Duration wait(int times) {
    if (times < FREE) {
      return Duration.ZERO;
    }
    long seconds = 1L << Math.min(times - FREE, 20);
    return seconds < LONGEST.toSeconds() ? Duration.ofSeconds(seconds) : LONGEST;
  }

  /** The last attempt was right. */
  synchronized void right(String name) {
    tried.remove(name);
  }
}
