package org.fieldwright.adapters.files;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.fieldwright.core.BadInput;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.IronSystem.Capacity;
import org.fieldwright.core.correction.IronSystem.Stack;
import org.fieldwright.core.correction.Loading;
import org.fieldwright.core.correction.Loading.Place;
import org.fieldwright.core.correction.PieceType;
import org.fieldwright.core.correction.Pocket;
import org.fieldwright.core.geometry.Vec3;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class LoadingFileTest {
  private static final Place THIN = new Place(1, 2, "thin");
  private static final Place COMMA = new Place(2, 1, "5 x 5, \"cut\"");

  @TempDir Path folder;
  private final IronSystem iron = drum();

  private static IronSystem drum() {
    List<Pocket> pockets = new ArrayList<>();
    for (int tray = 1; tray <= 2; tray++) {
      for (int k = 1; k <= 2; k++) {
        pockets.add(new Pocket(tray, k, Vec3.ZERO, null));
      }
    }
    List<PieceType> pieces =
        List.of(
            new PieceType("thin", null, 1e-9, 2.1, 7850),
            new PieceType(COMMA.piece(), null, 1e-9, 2.1, 7850));
    return new IronSystem(
        pockets,
        pieces,
        new Capacity(null, 9),
        null,
        Set.of(),
        Loading.EMPTY,
        Map.of(),
        null,
        null,
        null,
        Stack.CENTRED);
  }

  private Path file(String text) throws IOException {
    Path path = folder.resolve("l.csv");
    Files.writeString(path, text);
    return path;
  }

  @Test
  void writtenLoadingReadsBack() {
    Loading loading = new Loading(Map.of(THIN, 4, COMMA, 1));
    Path path = folder.resolve("out.csv");
    LoadingFile.write(path, loading);
    assertThat(LoadingFile.read(path, iron)).isEqualTo(loading);
  }

  @Test
  void changesListChangedPlacesOnlyAndReadBack() throws IOException {
    Loading from = new Loading(Map.of(THIN, 4, COMMA, 1, new Place(2, 2, "thin"), 7));
    Loading to = new Loading(Map.of(THIN, 6, new Place(2, 2, "thin"), 7));
    Path path = folder.resolve("changes.csv");
    LoadingFile.writeChanges(path, from, to, Map.of());
    assertThat(Files.readString(path))
        .isEqualTo(
            "tray,pocket,piece,count,from,to\n"
                + "1,2,thin,2,4,6\n"
                + "2,1,\"5 x 5, \"\"cut\"\"\",-1,1,0\n");
    assertThat(LoadingFile.readChanges(path, iron)).isEqualTo(Map.of(THIN, 2, COMMA, -1));
    assertThatThrownBy(() -> LoadingFile.read(path, iron))
        .isInstanceOf(BadInput.class)
        .hasMessage(
            path
                + ":2: from: found '4', expected 0: this is a list of changes, not of what lies in"
                + " the pockets");
  }

  @Test
  void changesWithoutFromAndToAreTheirCount() throws IOException {
    Path path = file("tray,pocket,piece,count\n1,2,thin,-3\n");
    assertThat(LoadingFile.readChanges(path, iron)).isEqualTo(Map.of(THIN, -3));
    assertThatThrownBy(() -> LoadingFile.read(path, iron))
        .hasMessage(path + ":2: count: found '-3', expected a whole number from 0 to 1000000");
  }

  /** A spreadsheet would compute a cell that begins with one of = + - @. */
  @Test
  void textIsNeverAFormula() {
    Loading hostile =
        new Loading(
            Map.of(
                new Place(1, 1, "=1+1"),
                1,
                new Place(1, 2, "@SUM(A1)"),
                1,
                new Place(2, 1, "-x"),
                1,
                new Place(2, 2, "+x"),
                1));
    assertThat(LoadingFile.changes(Loading.EMPTY, hostile).lines().skip(1))
        .containsExactly(
            "1,1,'=1+1,1,0,1", "1,2,'@SUM(A1),1,0,1", "2,1,'-x,1,0,1", "2,2,'+x,1,0,1");
  }

  @Test
  void unknownPlacesAndPiecesAreNamed() throws IOException {
    Path path = file("tray,pocket,piece,count\n3,1,thin,1\n");
    assertThatThrownBy(() -> LoadingFile.read(path, iron))
        .hasMessage(
            path + ":2: found tray 3, pocket 1, expected a pocket that the magnet file describes");
    file("tray,pocket,piece,count\n1,1,thn,1\n");
    assertThatThrownBy(() -> LoadingFile.read(path, iron))
        .hasMessageStartingWith(
            path
                + ":2: piece: found 'thn', expected a piece of the magnet file; did you mean thin?");
    file("tray,pocket,piece,count\n1,1,thin,1\n1,1,thin,2\n");
    assertThatThrownBy(() -> LoadingFile.read(path, iron))
        .hasMessage(
            path
                + ":3: found tray 1, pocket 1, piece thin a second time, expected one row for each");
    file("tray,pocket,count\n1,1,1\n");
    assertThatThrownBy(() -> LoadingFile.read(path, iron))
        .hasMessage(path + ":1: found no column piece, expected it beside 'tray,pocket,count'");
  }

  /** SHA-256 of "abc": FIPS 180-4, example of its companion document. */
  @Test
  void digestIsSha256() throws IOException {
    assertThat(InputDigest.sha256(file("abc")))
        .isEqualTo("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  }
}
