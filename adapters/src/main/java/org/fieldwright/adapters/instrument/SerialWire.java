package org.fieldwright.adapters.instrument;

import com.fazecast.jSerialComm.SerialPort;
import com.fazecast.jSerialComm.SerialPortInvalidPortException;
import java.io.IOException;

/** A serial port. */
final class SerialWire implements Wire {
  private final SerialPort port;

  SerialWire(ReaderProfile.Transport.Serial place) throws IOException {
    try {
      port = SerialPort.getCommPort(place.port());
    } catch (SerialPortInvalidPortException e) {
      throw new IOException("there is no serial port " + place.port(), e);
    }
    int parity =
        switch (place.parity()) {
          case "even" -> SerialPort.EVEN_PARITY;
          case "odd" -> SerialPort.ODD_PARITY;
          default -> SerialPort.NO_PARITY;
        };
    int stop = place.stopBits() == 2 ? SerialPort.TWO_STOP_BITS : SerialPort.ONE_STOP_BIT;
    port.setComPortParameters(place.baud(), place.dataBits(), stop, parity);
    if (!port.openPort()) {
      throw new IOException(
          "the serial port %s does not open (error %d at line %d)"
              .formatted(place.port(), port.getLastErrorCode(), port.getLastErrorLocation()));
    }
  }

  @Override
  public void write(byte[] bytes) throws IOException {
    for (int sent = 0; sent < bytes.length; ) {
      int now = port.writeBytes(bytes, bytes.length - sent, sent);
      if (now <= 0) {
        throw new IOException("the serial port took no more bytes");
      }
      sent += now;
    }
  }

  @Override
  public int read(byte[] into, int timeoutMs) {
    port.setComPortTimeouts(SerialPort.TIMEOUT_READ_SEMI_BLOCKING, timeoutMs, 0);
    int count = port.readBytes(into, into.length);
    return count >= 0 || port.isOpen() ? Math.max(count, 0) : -1;
  }

  @Override
  public void close() {
    port.closePort();
  }
}
