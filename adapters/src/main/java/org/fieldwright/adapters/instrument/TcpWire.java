package org.fieldwright.adapters.instrument;

import java.io.IOException;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.SocketTimeoutException;
import java.net.UnknownHostException;

/** A TCP socket. */
final class TcpWire implements Wire {
  private final Socket socket = new Socket();

  TcpWire(ReaderProfile.Transport.Tcp place, int timeoutMs) throws IOException {
    try {
      InetSocketAddress address = new InetSocketAddress(place.host(), place.port());
      if (address.isUnresolved()) {
        throw new UnknownHostException("no machine is called " + place.host());
      }
      socket.setTcpNoDelay(true); // questions are short, and each waits for its answer
      socket.setKeepAlive(true);
      socket.connect(address, timeoutMs);
    } catch (IOException e) {
      socket.close();
      throw e;
    }
  }

  @Override
  public void write(byte[] bytes) throws IOException {
    socket.getOutputStream().write(bytes);
  }

  @Override
  public int read(byte[] into, int timeoutMs) throws IOException {
    socket.setSoTimeout(timeoutMs);
    try {
      return socket.getInputStream().read(into);
    } catch (SocketTimeoutException e) {
      return 0;
    }
  }

  @Override
  public void close() throws IOException {
    socket.close();
  }
}
