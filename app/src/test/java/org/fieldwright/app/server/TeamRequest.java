package org.fieldwright.app.server;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.IOException;
import java.net.InetAddress;
import java.net.Socket;
import java.util.LinkedHashMap;
import java.util.Map;

/** One request as a proxy passes it on: the JDK's client would not say another's host. */
final class TeamRequest {
  static final String HOST = "magnets.example.org";
  static final String ORIGIN = "https://" + HOST;

  private final Map<String, String> headers = new LinkedHashMap<>();
  private final String line;
  private String body = "";

  TeamRequest(String method, String path) {
    this.line = method + " " + path + " HTTP/1.1";
    headers.put("Host", HOST);
    headers.put("Origin", ORIGIN);
    headers.put("Connection", "close");
  }

  /** Null leaves it out. */
  TeamRequest header(String name, String value) {
    if (value == null) {
      headers.remove(name);
    } else {
      headers.put(name, value);
    }
    return this;
  }

  TeamRequest as(String cookie) {
    return header("Cookie", cookie);
  }

  TeamRequest body(String text) {
    body = text;
    return this;
  }

  /** What came back, from the status line on. */
  record Reply(int status, String text) {
    /** Name and value of the cookie that was set. */
    String cookie() {
      String set = text.substring(text.indexOf("Set-cookie: ") + 12);
      return set.substring(0, set.indexOf(';'));
    }
  }

  Reply send(int port) throws IOException {
    StringBuilder text = new StringBuilder(line).append("\r\n");
    headers.forEach((name, value) -> text.append(name).append(": ").append(value).append("\r\n"));
    text.append("Content-Length: ").append(body.getBytes(UTF_8).length).append("\r\n\r\n");
    try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), port)) {
      socket.getOutputStream().write((text + body).getBytes(UTF_8));
      String all = new String(socket.getInputStream().readAllBytes(), UTF_8);
      return new Reply(Integer.parseInt(all.split(" ", 3)[1]), all);
    }
  }
}
