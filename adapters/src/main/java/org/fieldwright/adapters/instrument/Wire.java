package org.fieldwright.adapters.instrument;

import java.io.Closeable;
import java.io.IOException;

/** Bytes to a reader and back. */
interface Wire extends Closeable {

  void write(byte[] bytes) throws IOException;

  /**
   * Reads what has arrived, waiting for the first byte.
   *
   * @return how many bytes; 0 if none came in time, −1 at the end of the connection
   */
  int read(byte[] into, int timeoutMs) throws IOException;

  /** Connects as the profile says. */
  static Wire open(ReaderProfile profile) throws IOException {
    ReaderProfile.Transport transport = profile.transport();
    return transport instanceof ReaderProfile.Transport.Tcp tcp
        ? new TcpWire(tcp, profile.patience().timeoutMs())
        : new SerialWire((ReaderProfile.Transport.Serial) transport);
  }
}
