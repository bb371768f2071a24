package org.fieldwright.adapters.instrument.simulated;

import java.util.ArrayDeque;
import java.util.Deque;

/**
 * Status byte, standard event status register and error queue as IEEE 488.2-1992 (chapter 11) and
 * SCPI-1999 (volume 2, chapter 21.8) have them: error numbers set the bit of their class, the queue
 * is first in first out, and when it is full its last entry says so.
 */
final class StatusModel {
  static final int OPERATION_COMPLETE = 1;
  private static final int QUERY_ERROR = 1 << 2;
  private static final int DEVICE_ERROR = 1 << 3;
  private static final int EXECUTION_ERROR = 1 << 4;
  private static final int COMMAND_ERROR = 1 << 5;
  private static final int POWER_ON = 1 << 7;

  private static final int ERROR_AVAILABLE = 1 << 2;
  private static final int MESSAGE_AVAILABLE = 1 << 4;
  private static final int EVENT_SUMMARY = 1 << 5;
  private static final int MASTER_SUMMARY = 1 << 6;

  private static final int LONGEST_QUEUE = 20;
  private static final String OVERFLOW = "-350,\"Queue overflow\"";
  private static final String NO_ERROR = "0,\"No error\"";

  private final Deque<String> errors = new ArrayDeque<>();
  private int events = POWER_ON;
  private int eventsEnabled;
  private int serviceEnabled;

  void error(int number, String text) {
    events |=
        switch (-number / 100) {
          case 1 -> COMMAND_ERROR;
          case 2 -> EXECUTION_ERROR;
          case 4 -> QUERY_ERROR;
          default -> DEVICE_ERROR;
        };
    if (errors.size() < LONGEST_QUEUE) {
      errors.add(number + ",\"" + text + "\"");
    } else {
      errors.removeLast();
      errors.add(OVERFLOW);
    }
  }

  void event(int bit) {
    events |= bit;
  }

  /** The oldest error, which leaves the queue. */
  String nextError() {
    return errors.isEmpty() ? NO_ERROR : errors.remove();
  }

  int errorCount() {
    return errors.size();
  }

  /** What *CLS does. */
  void clear() {
    events = 0;
    errors.clear();
  }

  /** What *ESR? answers; reading empties the register. */
  int takeEvents() {
    int taken = events;
    events = 0;
    return taken;
  }

  /**
   * What *STB? answers.
   *
   * @param answerWaiting whether an answer to this line is already waiting
   */
  int statusByte(boolean answerWaiting) {
    int status = errors.isEmpty() ? 0 : ERROR_AVAILABLE;
    status |= answerWaiting ? MESSAGE_AVAILABLE : 0;
    status |= (events & eventsEnabled) != 0 ? EVENT_SUMMARY : 0;
    return (status & serviceEnabled) != 0 ? status | MASTER_SUMMARY : status;
  }

  int eventsEnabled() {
    return eventsEnabled;
  }

  void enableEvents(int mask) {
    eventsEnabled = mask;
  }

  int serviceEnabled() {
    return serviceEnabled;
  }

  void enableService(int mask) {
    serviceEnabled = mask & ~MASTER_SUMMARY; // the bit cannot ask for itself (11.3.2)
  }
}
