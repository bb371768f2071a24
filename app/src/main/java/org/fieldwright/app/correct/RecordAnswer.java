package org.fieldwright.app.correct;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.Locale;
import org.fieldwright.core.correction.LoadedRound;
import org.fieldwright.core.correction.LotStock;

/** The rounds of a magnet, as {@code loaded} answers. */
public final class RecordAnswer {
  private RecordAnswer() {}

  /**
   * One document.
   *
   * @param lots what is left of each now
   */
  public static ObjectNode json(List<LoadedRound> rounds, List<LotStock> lots) {
    ObjectNode root = JsonNodeFactory.instance.objectNode();
    ArrayNode list = root.putArray("rounds");
    for (LoadedRound r : rounds) {
      ObjectNode node = list.addObject();
      node.put("round", r.number());
      node.put("time", r.time().toString());
      node.put("by", r.by());
      node.put("takes_back", r.takesBack());
      node.put("note", r.note());
      ArrayNode steps = node.putArray("steps");
      for (LoadedRound.Step s : r.steps()) {
        steps
            .addObject()
            .put("tray", s.place().tray())
            .put("pocket", s.place().pocket())
            .put("piece", s.place().piece())
            .put("from", s.from())
            .put("to", s.to())
            .put("weighed_g", s.weighed())
            .put("lot", s.lot());
      }
    }
    ArrayNode left = root.putArray("lots");
    for (LotStock l : lots) {
      left.addObject()
          .put("lot", l.lot())
          .put("piece", l.piece())
          .put("delivered", l.delivered())
          .put("left", l.left());
    }
    return root;
  }

  /** For a person at a terminal. */
  public static String text(List<LoadedRound> rounds, List<LotStock> lots) {
    StringBuilder text = new StringBuilder();
    if (rounds.isEmpty()) {
      text.append("No round has been recorded beside this magnet file.\n");
    }
    for (LoadedRound r : rounds) {
      int in = r.steps().stream().mapToInt(s -> Math.max(0, s.count())).sum();
      int out = r.steps().stream().mapToInt(s -> Math.max(0, -s.count())).sum();
      long weighed = r.steps().stream().filter(s -> s.weighed() != null).count();
      text.append(
          String.format(
              Locale.ROOT,
              "Round %d, %s, %s: %d pieces in, %d out, %d places, %d weighed%s%s%n",
              r.number(),
              r.time(),
              r.by(),
              in,
              out,
              r.steps().size(),
              weighed,
              r.takesBack() == null ? "" : "; takes back round " + r.takesBack(),
              r.note().isEmpty() ? "" : "; " + r.note()));
    }
    for (LotStock l : lots) {
      text.append(
          String.format(
              Locale.ROOT,
              "Lot %s of %s: %d of %d left%n",
              l.lot(),
              l.piece(),
              l.left(),
              l.delivered()));
    }
    return text.toString();
  }
}
