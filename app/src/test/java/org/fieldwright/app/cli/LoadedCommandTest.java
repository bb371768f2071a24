package org.fieldwright.app.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.networknt.schema.InputFormat;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.stream.IntStream;
import org.fieldwright.app.correct.RecordService;
import org.fieldwright.core.correction.LoadedRound;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The record of a magnet folder, from its first round to one that is taken back. */
class LoadedCommandTest {
  private static final String EMPTY = "tray,pocket,piece,count\n";

  @TempDir private Path folder;
  private Path magnet;
  private Path installed;

  @BeforeEach
  void aMagnetFolder() throws IOException {
    String text = Files.readString(CommandLineCall.EXAMPLES.resolve("magnet.yaml"));
    magnet =
        Files.writeString(
            folder.resolve("magnet.yaml"),
            text.replaceFirst("(?m)^iron:\\s*$", "iron:\n  installed: installed.csv"));
    installed = Files.writeString(folder.resolve("installed.csv"), EMPTY);
  }

  private Path changes(String name, String text) throws IOException {
    return Files.writeString(folder.resolve(name), text);
  }

  private static CommandLineCall done(Object... words) {
    CommandLineCall call = CommandLineCall.run(words);
    assertThat(call.status()).as(call.notes()).isEqualTo(ExitStatus.DONE);
    return call;
  }

  /**
   * Counted by hand: 20 and 5 delivered, 3 + 4 go in, 2 come back to A7, the last round is undone.
   */
  @Test
  void stockIsKeptByLot() throws IOException {
    String piece = anyPiece();
    String text = Files.readString(magnet);
    Files.writeString(magnet, text.replaceFirst("(?m)^iron:", "iron:\n  lots: lots.csv"));
    changes("lots.csv", "lot,piece,delivered\nA7,%s,20\nB2,%s,5\n".formatted(piece, piece));
    String head = "tray,pocket,piece,count,from,to,lot\n";
    Path first =
        changes("1.csv", head + "1,1,%s,3,0,3,A7\n2,1,%s,4,0,4,A7\n".formatted(piece, piece));
    assertThat(done("loaded", first, "--magnet", magnet, "--by", "R. Oke").answer())
        .contains(
            "Lot A7 of %s: 13 of 20 left".formatted(piece),
            "Lot B2 of %s: 5 of 5 left".formatted(piece));
    Path second = changes("2.csv", head + "2,1,%s,-2,4,2,A7\n".formatted(piece));
    assertThat(done("loaded", second, "--magnet", magnet, "--by", "R. Oke").answer())
        .contains("15 of 20 left");
    done("loaded", "--take-back", "--magnet", magnet, "--by", "R. Oke");
    JsonNode lots =
        new ObjectMapper()
            .readTree(done("loaded", "--magnet", magnet, "--json").answer())
            .get("lots");
    assertThat(lots.at("/0/left").asInt()).isEqualTo(13);

    Path unnamed = changes("3.csv", head + "3,1,%s,1,0,1,\n".formatted(piece));
    assertThat(refused(unnamed)).contains("lot: found ''", "A7 (13 left), B2 (5 left)");
    Path many =
        changes("4.csv", head + "3,1,%s,4,0,4,B2\n3,2,%s,2,0,2,B2\n".formatted(piece, piece));
    assertThat(refused(many)).contains("takes 2", "lot B2, of which 1 are left");
    changes("lots.csv", "lot,piece,delivered\nA7,nothing,20\n");
    assertThat(refused(many)).contains("lots.csv:2", "piece", "nothing");
  }

  private String refused(Path list) {
    CommandLineCall call =
        CommandLineCall.run("loaded", list, "--magnet", magnet, "--by", "R. Oke");
    assertThat(call.status()).as(call.answer()).isEqualTo(ExitStatus.BAD_INPUT);
    return call.notes();
  }

  @Test
  void aRoundIsKeptAndCanBeTakenBack() throws IOException {
    String piece = anyPiece();
    Path first =
        changes(
            "first.csv",
            "tray,pocket,piece,count,from,to,weighed_g,lot\n1,1,%s,3,0,3,4.75,A7\n2,1,%s,2,0,2,,\n"
                .formatted(piece, piece));
    done("loaded", first, "--magnet", magnet, "--by", "R. Oke", "--note", "=first, at zero field");
    assertThat(Files.readString(installed))
        .isEqualTo(EMPTY + "1,1,%s,3\n2,1,%s,2\n".formatted(piece, piece));
    Path second = changes("second.csv", EMPTY + "1,1,%s,-1\n".formatted(piece));
    done("loaded", second, "--magnet", magnet, "--by", "R. Oke");
    done("loaded", "--take-back", "--magnet", magnet, "--by", "M. Lind");
    assertThat(Files.readString(installed)).contains("1,1,%s,3".formatted(piece));
    String answer = done("loaded", "--magnet", magnet, "--json").answer();
    assertThat(
            SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                .getSchema(Files.readString(Path.of("..", "docs", "schemas", "loaded.schema.json")))
                .validate(answer, InputFormat.JSON))
        .isEmpty();
    JsonNode rounds = new ObjectMapper().readTree(answer).get("rounds");
    assertThat(rounds).hasSize(3);
    assertThat(rounds.at("/0/steps/0/weighed_g").asDouble()).isEqualTo(4.75);
    assertThat(rounds.at("/0/steps/0/lot").asText()).isEqualTo("A7");
    assertThat(rounds.at("/2/takes_back").asInt()).isEqualTo(2);
    assertThat(rounds.at("/2/steps/0/to").asInt()).isEqualTo(3);
    done("loaded", "--take-back", "--magnet", magnet, "--by", "M. Lind");
    assertThat(Files.readString(installed)).isEqualTo(EMPTY);
    List<String> record = Files.readAllLines(folder.resolve("loadings.csv"));
    assertThat(record).filteredOn(l -> l.contains("4.75")).hasSize(1); // weighed once
    CommandLineCall more =
        CommandLineCall.run("loaded", "--take-back", "--magnet", magnet, "--by", "M. Lind");
    assertThat(more.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(Files.readString(folder.resolve("loadings.csv"))).contains("'=first");
  }

  /** The machine dies before the table takes its place: the next call makes up for it. */
  @Test
  void whatWasRecordedIsNeverLost() throws IOException {
    String piece = anyPiece();
    Path first = changes("first.csv", EMPTY + "1,1,%s,3\n".formatted(piece));
    done("loaded", first, "--magnet", magnet, "--by", "R. Oke");
    Files.move(installed, folder.resolve(".installed.csv.round-1"));
    Files.writeString(installed, EMPTY); // as it was before
    Path second = changes("second.csv", EMPTY + "1,1,%s,2\n".formatted(piece));
    done("loaded", second, "--magnet", magnet, "--by", "R. Oke");
    assertThat(Files.readString(installed)).isEqualTo(EMPTY + "1,1,%s,5\n".formatted(piece));
    assertThat(Files.exists(folder.resolve(".installed.csv.round-1"))).isFalse();
  }

  /** Whoever puts the table back by hand means it: no round is done again behind their back. */
  @Test
  void aTableRestoredByHandStays() throws IOException {
    String piece = anyPiece();
    Path first = changes("first.csv", EMPTY + "1,1,%s,3\n".formatted(piece));
    done("loaded", first, "--magnet", magnet, "--by", "R. Oke");
    Files.writeString(installed, EMPTY);
    Path second = changes("second.csv", EMPTY + "1,1,%s,2\n".formatted(piece));
    done("loaded", second, "--magnet", magnet, "--by", "R. Oke");
    assertThat(Files.readString(installed)).isEqualTo(EMPTY + "1,1,%s,2\n".formatted(piece));
  }

  @Test
  void callsAtTheSameTimeWaitForEachOther() throws Exception {
    Path one = changes("one.csv", EMPTY + "1,1,%s,1\n".formatted(anyPiece()));
    RecordService service = new RecordService(Clock.systemUTC());
    ExecutorService both = Executors.newFixedThreadPool(2);
    try {
      Callable<List<LoadedRound>> five =
          () ->
              IntStream.range(0, 5).mapToObj(i -> service.add(magnet, one, "R. Oke", "")).toList();
      for (Future<?> f : both.invokeAll(List.of(five, five))) {
        f.get();
      }
    } finally {
      both.shutdown();
    }
    assertThat(RecordService.rounds(magnet)).hasSize(10);
    assertThat(Files.readString(installed)).isEqualTo(EMPTY + "1,1,%s,10\n".formatted(anyPiece()));
  }

  @Test
  void theSameRoundIsNotRecordedTwice() throws IOException {
    String piece = anyPiece();
    Path sheet =
        changes("sheet.csv", "tray,pocket,piece,count,from,to\n1,1,%s,3,0,3\n".formatted(piece));
    done("loaded", sheet, "--magnet", magnet, "--by", "R. Oke");
    CommandLineCall again =
        CommandLineCall.run("loaded", sheet, "--magnet", magnet, "--by", "R. Oke");
    assertThat(again.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(again.notes()).contains("recorded already");
    assertThat(Files.readAllLines(folder.resolve("loadings.csv"))).hasSize(2);
  }

  @Test
  void saysHowLongTheIronSettles() throws IOException {
    String piece = anyPiece();
    Path sheet =
        changes("sheet.csv", EMPTY + "1,3,%s,48\n1,4,%s,48\n1,5,%s,48\n".replace("%s", piece));
    CommandLineCall call =
        done(
            "loaded",
            sheet,
            "--magnet",
            magnet,
            "--by",
            "R. Oke",
            "--iron-off-K",
            "-8",
            "--settling-min",
            "45");
    assertThat(call.notes()).containsPattern("Wait [1-9][0-9]* min before the next survey");
    CommandLineCall half = CommandLineCall.run("loaded", "--magnet", magnet, "--iron-off-K", "-8");
    assertThat(half.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(half.notes()).contains("--settling-min");
  }

  @Test
  void aRecordNeedsAName() throws IOException {
    Path sheet = changes("sheet.csv", EMPTY + "1,1,%s,3\n".formatted(anyPiece()));
    CommandLineCall call = CommandLineCall.run("loaded", sheet, "--magnet", magnet);
    assertThat(call.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(call.notes()).contains("--by");
    assertThat(Files.exists(folder.resolve("loadings.csv"))).isFalse();
  }

  @Test
  void aMagnetWithoutATableOfTheInstalledIsTold() throws IOException {
    Path bare = CommandLineCall.EXAMPLES.resolve("magnet.yaml");
    Path sheet = changes("sheet.csv", EMPTY + "1,1,%s,3\n".formatted(anyPiece()));
    CommandLineCall call = CommandLineCall.run("loaded", sheet, "--magnet", bare, "--by", "R. Oke");
    assertThat(call.status()).isEqualTo(ExitStatus.BAD_INPUT);
    assertThat(call.notes()).contains("installed: installed.csv");
  }

  private String anyPiece() throws IOException {
    List<String> lines = Files.readAllLines(magnet);
    return lines.stream()
        .filter(l -> l.contains("{id: ") && l.contains("polarisation_T"))
        .map(l -> l.replaceAll(".*\\{id: ([^,]+),.*", "$1"))
        .findFirst()
        .orElseThrow();
  }
}
