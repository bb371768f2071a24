package org.fieldwright.app.server;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.fieldwright.app.notebook.NotebookService;
import org.fieldwright.app.server.TeamRequest.Reply;
import org.fieldwright.app.team.AccountService;
import org.fieldwright.app.team.Role;
import org.fieldwright.app.team.SignIns;
import org.fieldwright.core.BadInput;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.snakeyaml.engine.v2.api.Load;
import org.snakeyaml.engine.v2.api.LoadSettings;

/** A server that a team reaches through a proxy, over its port. */
class TeamServerTest {
  private static final String PASSWORD = "quiet harbour, seven lamps";
  private static final String SESSION = "/api/v1/session";

  @TempDir static Path data;
  private static LocalServer server;
  private static final Map<Role, String> COOKIES = new EnumMap<>(Role.class);

  @BeforeAll
  static void start() throws IOException {
    try (AccountService accounts = AccountService.open(data, null, Clock.systemUTC())) {
      for (Role role : Role.values()) {
        accounts.add(role.word() + ".er", "Person who may " + role.word(), role, PASSWORD);
      }
      accounts.add("spare", "A spare one", Role.SEE, PASSWORD);
    }
    server = serve(Clock.systemUTC());
    for (Role role : Role.values()) {
      COOKIES.put(role, signIn(role.word() + ".er", PASSWORD).cookie());
    }
  }

  private static LocalServer serve(Clock clock) throws IOException {
    return new LocalServer(
        data, null, clock, ZoneOffset.UTC, Reach.team(TeamRequest.ORIGIN, null, 0));
  }

  @AfterAll
  static void stop() {
    server.close();
  }

  private static Reply signIn(String name, String password) throws IOException {
    return new TeamRequest("POST", SESSION)
        .body("{\"name\":\"%s\",\"password\":\"%s\"}".formatted(name, password))
        .send(server.port());
  }

  private static int status(TeamRequest request) throws IOException {
    return request.send(server.port()).status();
  }

  /** Every route there is: unknown visitors and too low a role are turned away, and no others. */
  @Test
  void everyRouteAsksForItsRole() throws Exception {
    try (NotebookService notebook = NotebookService.open(data, null, Clock.systemUTC())) {
      Desk desk = Desk.over(notebook, data, Clock.systemUTC(), ZoneOffset.UTC);
      for (Route route : new Routes(desk).all()) {
        String path =
            route.path().replaceAll("\\{[a-z]+}", "x.csv").replace("magnets/x.csv", "magnets/x");
        String what = route.method() + " " + path;
        int unknown = status(new TeamRequest(route.method(), path));
        if (route.needs() == null) {
          assertThat(path.startsWith("/api/") ? path : SESSION).isEqualTo(SESSION);
          continue;
        }
        assertThat(unknown).as(what).isEqualTo(401);
        for (Role role : Role.values()) {
          if (!role.covers(route.needs())) {
            assertThat(status(new TeamRequest(route.method(), path).as(COOKIES.get(role))))
                .as(what + " " + role)
                .isEqualTo(403);
          } else if (!path.equals("/api/v1/sample")) {
            assertThat(status(new TeamRequest(route.method(), path).as(COOKIES.get(role))))
                .as(what + " " + role)
                .isNotIn(401, 403, 500);
          }
        }
        boolean isReading = route.method().equals("GET");
        assertThat(route.needs())
            .as(what)
            .isIn(
                isReading || path.startsWith(SESSION)
                    ? List.of(Role.SEE)
                    : List.of(Role.MEASURE, Role.SIGN));
      }
    }
  }

  /** The description says of each operation what the server asks for. */
  @Test
  @SuppressWarnings("unchecked")
  void theDescriptionNamesTheRoles() throws Exception {
    String text =
        new String(Routes.resource("openapi.yaml"), java.nio.charset.StandardCharsets.UTF_8);
    var document =
        (Map<String, Object>) new Load(LoadSettings.builder().build()).loadFromString(text);
    var paths = (Map<String, Map<String, Map<String, Object>>>) document.get("paths");
    try (NotebookService notebook = NotebookService.open(data, null, Clock.systemUTC())) {
      for (Route r :
          new Routes(Desk.over(notebook, data, Clock.systemUTC(), ZoneOffset.UTC)).all()) {
        Role needs = r.needs();
        assertThat(paths.get(r.path()).get(r.method().toLowerCase(Locale.ROOT)).get("x-needs"))
            .as(r.method() + " " + r.path())
            .isEqualTo(needs == null ? "nobody" : needs.word());
      }
    }
  }

  @Test
  void aSignInHoldsUntilItIsEnded() throws Exception {
    Reply reply = signIn("  Spare ", PASSWORD);
    assertThat(reply.status()).isEqualTo(200);
    assertThat(reply.text())
        .contains("\"person\":\"A spare one\"", "\"role\":\"see\"")
        .containsPattern(
            "Set-cookie: __Host-fieldwright=[A-Za-z0-9_-]{43}; Path=/; Max-Age=43200; Secure; HttpOnly;"
                + " SameSite=Strict");
    String cookie = reply.cookie();
    TeamRequest look = new TeamRequest("GET", "/api/v1/magnets").as("a=b; " + cookie);
    assertThat(status(look)).isEqualTo(200);
    assertThat(status(look.as(cookie.substring(0, cookie.length() - 1)))).isEqualTo(401);

    assertThat(status(new TeamRequest("DELETE", SESSION).as(cookie))).isEqualTo(200);
    assertThat(status(look.as(cookie))).isEqualTo(401);
    for (Path file : List.of(data.resolve("fieldwright.db"), data.resolve("fieldwright.db-wal"))) {
      assertThat(new String(Files.readAllBytes(file), java.nio.charset.StandardCharsets.ISO_8859_1))
          .doesNotContain(cookie.substring(cookie.indexOf('=') + 1))
          .doesNotContain(PASSWORD);
    }
  }

  @Test
  void aSignInRunsOut() throws Exception {
    Instant later = Instant.now().plus(SignIns.HOLDS).plusSeconds(5);
    try (LocalServer tomorrow = serve(Clock.fixed(later, ZoneOffset.UTC))) {
      TeamRequest look = new TeamRequest("GET", "/api/v1/magnets").as(COOKIES.get(Role.SIGN));
      assertThat(look.send(tomorrow.port()).status()).isEqualTo(401);
      assertThat(look.send(server.port()).status()).isEqualTo(200);
    }
  }

  /** What browsers send of their own accord for a page elsewhere, and what programs leave out. */
  @Test
  void requestsThatOthersCauseAreRefused() throws Exception {
    String cookie = COOKIES.get(Role.SIGN);
    for (String method : List.of("POST", "PUT", "DELETE")) {
      for (String origin :
          new String[] {
            null,
            "null",
            "http://" + TeamRequest.HOST,
            "https://other.example",
            TeamRequest.ORIGIN + ".example",
            TeamRequest.ORIGIN + ":444"
          }) {
        assertThat(status(new TeamRequest(method, SESSION).as(cookie).header("Origin", origin)))
            .as(method + " " + origin)
            .isEqualTo(403);
      }
    }
    for (String site : List.of("cross-site", "same-site")) {
      assertThat(
              status(
                  new TeamRequest("GET", "/api/v1/magnets")
                      .as(cookie)
                      .header("Origin", null)
                      .header("Sec-Fetch-Site", site)))
          .isEqualTo(403);
    }
    for (String host : List.of("localhost:" + server.port(), "127.0.0.1", "other.example")) {
      assertThat(status(new TeamRequest("GET", "/").header("Host", host).header("Origin", null)))
          .as(host)
          .isEqualTo(403);
    }
    assertThat(status(new TeamRequest("GET", SESSION).as(cookie))).isEqualTo(200);
  }

  @Test
  void guessingIsRefusedAlikeWhetherTheNameExistsOrNot() throws Exception {
    String known = withoutDate(signIn("spare", "not the one it is at all").text());
    assertThat(known).startsWith("HTTP/1.1 401");
    assertThat(withoutDate(signIn("nobody", "not the one it is at all").text())).isEqualTo(known);
  }

  /** At a moment that stays, so that a slow machine does not wait out what it has to wait for. */
  @Test
  void tooManyGuessesAreNotLookedAt() throws Exception {
    try (LocalServer still = serve(Clock.fixed(Instant.now(), ZoneOffset.UTC))) {
      TeamRequest guess =
          new TeamRequest("POST", SESSION).body("{\"name\":\"guessed\",\"password\":\"x\"}");
      for (int i = 0; i < 5; i++) {
        assertThat(guess.send(still.port()).status()).isEqualTo(401);
      }
      Reply late = guess.send(still.port());
      assertThat(late.status()).isEqualTo(429);
      assertThat(late.text()).contains("Retry-after: 2");
    }
  }

  private static String withoutDate(String reply) {
    return reply.replaceFirst("Date: [^\r]*", "");
  }

  @Test
  void whoIsUnknownSendsNothingLarge() throws Exception {
    String large = "{\"name\":\"" + "x".repeat(5000) + "\"}";
    assertThat(status(new TeamRequest("POST", SESSION).body(large))).isEqualTo(413);
  }

  @Test
  void aPersonChangesTheirOwnPassword() throws Exception {
    try (AccountService accounts = AccountService.open(data, null, Clock.systemUTC())) {
      accounts.add("changer", "Somebody", Role.SEE, PASSWORD);
    }
    String cookie = signIn("changer", PASSWORD).cookie();
    String asked = "{\"old\":\"%s\",\"new\":\"%s\"}";
    String next = "other words for the same";
    TeamRequest change = new TeamRequest("POST", SESSION + "/password").as(cookie);
    assertThat(status(change.body(asked.formatted("wrong", next)))).isEqualTo(401);
    assertThat(status(change.body(asked.formatted(PASSWORD, "short")))).isEqualTo(422);
    assertThat(status(change.body(asked.formatted(PASSWORD, next)))).isEqualTo(200);
    assertThat(status(new TeamRequest("GET", "/api/v1/magnets").as(cookie))).isEqualTo(401);
    assertThat(signIn("changer", PASSWORD).status()).isEqualTo(401);
    assertThat(signIn("changer", next).status()).isEqualTo(200);
  }

  /** The account's person, whatever a request says. */
  @Test
  void recordsNameWhoeverIsSignedIn() throws Exception {
    String cookie = COOKIES.get(Role.MEASURE);
    String ridge = "/api/v1/magnets/kestrel-ridge";
    assertThat(status(new TeamRequest("POST", "/api/v1/sample").as(cookie))).isEqualTo(200);
    assertThat(
            status(
                new TeamRequest("PUT", ridge + "/files/list.csv")
                    .as(cookie)
                    .body("tray,pocket,piece,count,from,to\n1,1,thin,1,0,1\n")))
        .isEqualTo(200);
    assertThat(
            status(
                new TeamRequest("POST", ridge + "/rounds")
                    .as(cookie)
                    .body("{\"changes\":\"list.csv\",\"by\":\"Somebody else\"}")))
        .isEqualTo(200);
    assertThat(new TeamRequest("GET", ridge).as(COOKIES.get(Role.SEE)).send(server.port()).text())
        .contains("\"by\":\"Person who may measure\"")
        .doesNotContain("Somebody else");
    String choices = ridge + "/surveys/survey-1.csv/choices";
    TeamRequest decide = new TeamRequest("PUT", choices).as(cookie);
    assertThat(status(decide.body("{\"leave_out\":[7],\"by\":\"Somebody else\"}"))).isEqualTo(200);
    assertThat(new TeamRequest("GET", choices).as(COOKIES.get(Role.SEE)).send(server.port()).text())
        .contains("\"leave_out\":[7],\"keep\":[],\"by\":\"Person who may measure\"");
    String evidence = ridge + "/evidence?survey=survey-1.csv";
    assertThat(status(new TeamRequest("POST", evidence).as(COOKIES.get(Role.SIGN)))).isEqualTo(200);
    assertThat(
            new TeamRequest("GET", ridge + "/results")
                .as(COOKIES.get(Role.SEE))
                .send(server.port())
                .text())
        .contains("\"by\":\"Person who may sign\"");
  }

  @Test
  void nobodyIsReachedUnguarded() throws Exception {
    for (String address :
        List.of(
            "http://magnets.example.org",
            "magnets.example.org",
            "https://",
            "https://a/b",
            "https://u@a")) {
      assertThatThrownBy(() -> Reach.team(address, null, 0))
          .as(address)
          .isInstanceOf(BadInput.class)
          .hasMessageContaining("https://NAME");
    }
    assertThat(Reach.team("https://Magnets.example.org:443/", "0.0.0.0", 0).origin())
        .isEqualTo(TeamRequest.ORIGIN);
    Path empty = data.resolve("empty");
    assertThatThrownBy(
            () ->
                new LocalServer(
                    empty,
                    null,
                    Clock.systemUTC(),
                    ZoneOffset.UTC,
                    Reach.team(TeamRequest.ORIGIN, null, 0)))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("account add");
    assertThat(Duration.ofHours(12)).isEqualTo(SignIns.HOLDS);
  }
}
