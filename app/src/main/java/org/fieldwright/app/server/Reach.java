package org.fieldwright.app.server;

import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.URI;
import java.net.UnknownHostException;
import java.util.Locale;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/**
 * Where a server listens, and under which address it answers.
 *
 * @param at where it listens
 * @param origin scheme, host and port under which a team reaches it, without a slash; null = it
 *     serves one person, on this machine
 */
public record Reach(InetSocketAddress at, @Nullable String origin) {

  /** For one person on this machine. */
  static Reach loopback(int port) {
    return new Reach(new InetSocketAddress(InetAddress.getLoopbackAddress(), port), null);
  }

  /**
   * For a team.
   *
   * @param address as the team's browsers write it, {@code https://NAME} or {@code
   *     https://NAME:PORT}
   * @param listen name or number of this machine's to listen at; null = loopback, where whatever
   *     speaks TLS passes requests on from
   * @param port 0 = any free one
   */
  public static Reach team(String address, @Nullable String listen, int port) {
    try {
      InetAddress at =
          listen == null ? InetAddress.getLoopbackAddress() : InetAddress.getByName(listen);
      return new Reach(new InetSocketAddress(at, port), origin(address));
    } catch (UnknownHostException e) {
      throw new BadInput(
          "--listen: found '%s'; right is an address of this machine, such as 0.0.0.0"
              .formatted(listen),
          e);
    }
  }

  private static String origin(String address) {
    URI uri;
    try {
      uri = URI.create(address.toLowerCase(Locale.ROOT).replaceFirst("/$", ""));
    } catch (IllegalArgumentException e) {
      throw new BadInput(wrong(address), e);
    }
    String bare = "https://" + uri.getHost() + (uri.getPort() < 0 ? "" : ":" + uri.getPort());
    if (uri.getHost() == null || !bare.equals(uri.toString())) {
      throw new BadInput(wrong(address));
    }
    return bare.replaceFirst(":443$", "");
  }

  private static String wrong(String address) {
    return "--team: found '%s'; right is the address the team's browsers use, https://NAME or https://NAME:PORT. Without TLS passwords could be read on the way"
        .formatted(address);
  }
}
