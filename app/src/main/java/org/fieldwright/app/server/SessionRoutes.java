package org.fieldwright.app.server;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.util.List;
import org.fieldwright.app.team.Member;
import org.fieldwright.app.team.Role;
import org.fieldwright.app.team.SignIns;

/** Who is signed in, where a team shares the server. */
final class SessionRoutes {
  private static final String SESSION = "/api/v1/session";

  private final Desk desk;

  SessionRoutes(Desk desk) {
    this.desk = desk;
  }

  List<Route> all() {
    return List.of(
        Route.open("GET", SESSION, call -> Answer.json(said(call.who()))),
        Route.open("POST", SESSION, this::signIn),
        Route.open("DELETE", SESSION, this::signOut),
        new Route("POST", SESSION + "/password", Role.SEE, this::changePassword));
  }

  private static ObjectNode said(Visitor who) {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    Member member = who.member();
    node.put("team", !who.isAlone());
    node.put("name", member == null ? null : member.name());
    node.put("person", member == null ? null : member.person());
    return node.put("role", who.role() == null ? null : who.role().word());
  }

  private Answer signIn(Call call) throws IOException {
    if (call.who().isAlone()) {
      return noTeam();
    }
    Asked asked = Asked.of(call, "name", "password");
    try {
      SignIns.Begun begun =
          desk.signIns().signIn(asked.text("name", ""), asked.text("password", ""));
      Member member = begun.member();
      Answer answer = Answer.json(said(new Visitor(member.role(), member, begun.token())));
      return answer.with("Set-Cookie", Gate.cookie(begun.token(), SignIns.HOLDS.toSeconds()));
    } catch (SignIns.Refused e) {
      return refused(e);
    }
  }

  private static Answer noTeam() {
    return Answer.problem(404, "Not found", "this server serves one person, who need not sign in");
  }

  private static Answer refused(SignIns.Refused e) {
    String message = String.valueOf(e.getMessage());
    return e.seconds() == 0
        ? Answer.unknown(message)
        : Answer.problem(429, "Too many attempts", message)
            .with("Retry-After", String.valueOf(e.seconds()));
  }

  private Answer signOut(Call call) {
    String token = call.who().token();
    if (token != null) {
      desk.signIns().end(token);
    }
    return Answer.json(said(call.who().isAlone() ? Visitor.ALONE : Visitor.UNKNOWN))
        .with("Set-Cookie", Gate.cookie("", 0));
  }

  private Answer changePassword(Call call) throws IOException {
    Member member = call.who().member();
    if (member == null) {
      return noTeam();
    }
    Asked asked = Asked.of(call, "old", "new");
    try {
      desk.signIns().changePassword(member, asked.text("old", ""), asked.text("new", ""));
      return Answer.json(said(Visitor.UNKNOWN)).with("Set-Cookie", Gate.cookie("", 0));
    } catch (SignIns.Refused e) {
      return refused(e);
    }
  }
}
