package org.fieldwright.app.capture;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.Closeable;
import java.io.IOException;
import java.time.Clock;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/** The array being seated while people look on: the conversation of {@code seat}, over and over. */
public final class LiveSeat extends LiveWork {
  private static final long RETRY_MILLIS = 2000;
  private static final String GO_ON = "";

  private final SeatRequest request;
  private final Clock clock;
  private final BlockingQueue<String> typed = new LinkedBlockingQueue<>();
  private double angleDeg;
  private int probesRead;
  private int probes;
  private boolean tooFew;
  private long found;
  private @Nullable SeatAdvice advice;

  /**
   * Begins.
   *
   * @param angleDeg where the array stands
   * @param client who drives
   * @param atEnd closed when it has ended
   */
  public LiveSeat(
      SeatRequest request, double angleDeg, Clock clock, String client, Closeable atEnd) {
    super("seating by " + request.earlier().getFileName(), client, atEnd);
    this.request = request;
    this.clock = clock;
    this.angleDeg = angleDeg;
    begin();
  }

  @Override
  public String what() {
    return "the array is being seated in this magnet";
  }

  /** The array was turned, and not moved. */
  public synchronized void turned(String client, double toDeg) {
    requireDriver(client);
    requireLive();
    if (phase() == Phase.READY) {
      throw new BadInput("the array is to be moved first, as was said");
    }
    if (!Double.isFinite(toDeg)) {
      throw new BadInput("angle: found none, expected where the array stands now, in degrees");
    }
    typed.add(String.valueOf(toDeg));
  }

  /** The array was moved as was said. */
  public synchronized void moved(String client) {
    requireDriver(client);
    requireLive();
    if (phase() != Phase.READY) {
      throw new BadInput("nothing is waited for: the array is read over and over");
    }
    typed.add(GO_ON);
  }

  private void requireLive() {
    if (hasEnded()) {
      throw new BadInput("the array is not being seated any more");
    }
  }

  @Override
  public synchronized boolean hasEnded() {
    return super.hasEnded() || phase() == Phase.COMPLETE;
  }

  @Override
  void work() throws IOException, InterruptedException {
    try (Seat seat = Seat.open(request, clock, this::note)) {
      begun(seat.probeCount());
      while (!hasEnded()) {
        try {
          SeatAdvice last =
              new SeatConversation(seat, new Typed(), new Onlookers(), this::hasEnded).run(angle());
          end(last != null && last.seated() ? Phase.COMPLETE : Phase.STOPPED, null);
        } catch (IOException e) {
          tell(e.getMessage() + ". It is tried again by itself.");
          phase(Phase.LOST);
          TimeUnit.MILLISECONDS.sleep(RETRY_MILLIS);
        }
      }
    }
  }

  private synchronized void begun(int count) {
    probes = count;
    phase(Phase.READING);
  }

  private synchronized double angle() {
    return angleDeg;
  }

  /** What the person at the page does, as lines of the conversation. */
  private final class Typed implements SeatConversation.Lines {
    @Override
    public @Nullable String poll() {
      return typed.poll();
    }

    @Override
    public String take() throws InterruptedException {
      phase(Phase.READY);
      String line = typed.take();
      phase(Phase.READING);
      return line;
    }
  }

  /** What is found, for followers. */
  private final class Onlookers implements SeatConversation.Listener {
    @Override
    public void say(String words) {} // followers see the advice itself

    @Override
    public void reading(double at, int count) {
      synchronized (LiveSeat.this) {
        angleDeg = at;
        probesRead = count;
        tell(null);
        phase(Phase.READING);
      }
    }

    @Override
    public void found(@Nullable SeatAdvice now) {
      synchronized (LiveSeat.this) {
        tooFew = now == null;
        advice = now == null ? advice : now;
        found++;
        changed();
      }
    }
  }

  @Override
  public synchronized ObjectNode json() {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    put(node);
    node.put("reader", String.valueOf(request.instrumentFile().getFileName()));
    node.put("earlier", String.valueOf(request.earlier().getFileName()));
    node.put("to", request.asBefore() ? SeatRequest.AS_BEFORE : SeatRequest.CENTRE);
    node.put("tolerance_mm", 1e3 * request.tolerance()).put("angle_deg", angleDeg);
    node.put("probes_read", probesRead).put("probes", probes);
    node.put("too_few", tooFew).put("found", found);
    node.set("advice", advice == null ? null : advice.json());
    return node;
  }
}
