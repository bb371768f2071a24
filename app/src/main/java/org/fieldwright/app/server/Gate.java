package org.fieldwright.app.server;

import com.sun.net.httpserver.Headers;
import java.util.List;
import java.util.Set;
import org.fieldwright.app.team.Member;
import org.fieldwright.app.team.SignIns;
import org.jspecify.annotations.Nullable;

/**
 * Tells requests of our own page from those that others make a browser send, and says who asks.
 *
 * <p>A page elsewhere that points its own name at this machine still sends that name as host. What
 * changes something must name our origin; browsers say it of their own accord and no page can make
 * them say another (Fetch standard, "append a request Origin header"). {@code Sec-Fetch-Site} says
 * the same of requests that only read. With a cookie that other sites' requests do not carry that
 * is three locks, and a token in every form would be a fourth to the same door.
 */
final class Gate {
  private static final String COOKIE = "__Host-fieldwright"; // the prefix: RFC 6265bis, 4.1.3.2
  private static final Set<String> READING = Set.of("GET", "HEAD");
  private static final Set<String> FROM_HERE = Set.of("same-origin", "none");

  private final List<String> origins;
  private final @Nullable SignIns signIns;

  /**
   * @param port at which the server listens
   * @param signIns null = one person on this machine
   */
  Gate(Reach reach, int port, @Nullable SignIns signIns) {
    this.origins =
        reach.origin() == null
            ? List.of("http://localhost:" + port, "http://127.0.0.1:" + port)
            : List.of(reach.origin());
    this.signIns = signIns;
  }

  boolean isOurs(String method, String path, Headers headers) {
    String host = headers.getFirst("Host");
    String own =
        origins.stream()
            .filter(o -> o.substring(o.indexOf("//") + 2).equals(host))
            .findFirst()
            .orElse(null);
    String origin = headers.getFirst("Origin");
    String site = headers.getFirst("Sec-Fetch-Site");
    boolean mayBeSilent = signIns == null || READING.contains(method);
    boolean isData = path.startsWith("/api/");
    return own != null
        && (origin == null ? mayBeSilent : origin.equals(own))
        && (site == null || !isData || FROM_HERE.contains(site));
  }

  Visitor visitor(Headers headers) {
    if (signIns == null) {
      return Visitor.ALONE;
    }
    String token = token(headers);
    Member member = token == null ? null : signIns.member(token).orElse(null);
    return member == null ? Visitor.UNKNOWN : new Visitor(member.role(), member, token);
  }

  private static @Nullable String token(Headers headers) {
    for (String line : headers.getOrDefault("Cookie", List.of())) {
      for (String pair : line.split(";", -1)) {
        String[] parts = pair.strip().split("=", 2);
        if (parts.length == 2 && parts[0].equals(COOKIE)) {
          return parts[1];
        }
      }
    }
    return null;
  }

  /** The cookie of a sign-in: out of reach of scripts, of plain HTTP and of other sites. */
  static String cookie(String token, long seconds) {
    return "%s=%s; Path=/; Max-Age=%d; Secure; HttpOnly; SameSite=Strict"
        .formatted(COOKIE, token, seconds);
  }
}
