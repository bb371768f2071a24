package org.fieldwright.core.reading;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Locale;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * Hundreds of random surveys, vetted while they are taken: what is told that is not so, and what is
 * found of what is. Prints the table of docs/method/live.md.
 */
@Tag("slow")
class LiveVettingStudyTest {
  private static final int SOUND = 100;
  private static final int FAULTY = 60;

  @Test
  void soundSurveysAreLeftAlone() {
    System.out.println(
        "| field | places and angles | order | surveys | with anything told | remarks |");
    System.out.println("|---|---|---|---|---|---|");
    int surveys = 0;
    int wronged = 0;
    for (LiveSurveys.Field field : LiveSurveys.Field.values()) {
      for (boolean misplaced : new boolean[] {false, true}) {
        for (boolean back : new boolean[] {false, true}) {
          int here = 0;
          int remarks = 0;
          for (int seed = 0; seed < SOUND; seed++) {
            LiveSurveys s = new LiveSurveys(field, misplaced, back, LiveSurveys.Fault.NONE, seed);
            s.take();
            here += s.wrongRemarks() > 0 ? 1 : 0;
            remarks += s.wrongRemarks();
          }
          System.out.printf(
              Locale.ROOT,
              "| %s | %s | %s | %d | %d | %d |%n",
              field.words(),
              misplaced ? "off as stated" : "right",
              back ? "there and back" : "natural",
              SOUND,
              here,
              remarks);
          surveys += SOUND;
          wronged += here;
        }
      }
    }
    assertThat(wronged).isLessThanOrEqualTo(surveys / 50);
  }

  @Test
  void faultsAreFoundAndNothingBesideThem() {
    System.out.println(
        "| fault | field | order | could be known | found | at once | one or two settings later | surveys with good ones blamed | rms of error / u | beyond 3 u |");
    System.out.println("|---|---|---|---|---|---|---|---|---|---|");
    int wronged = 0;
    int surveys = 0;
    for (LiveSurveys.Fault fault : LiveSurveys.Fault.values()) {
      for (LiveSurveys.Field field : LiveSurveys.Field.values()) {
        for (boolean back : new boolean[] {false, true}) {
          if (fault != LiveSurveys.Fault.NONE) {
            Row row = new Row();
            for (int seed = 0; seed < FAULTY; seed++) {
              LiveSurveys s = new LiveSurveys(field, seed % 2 == 1, back, fault, 1000 + seed);
              s.take();
              row.add(s);
            }
            row.print(
                fault.words()
                    + " | "
                    + field.words()
                    + " | "
                    + (back ? "there and back" : "natural"));
            wronged += row.wronged;
            surveys += FAULTY;
            // Richer fields hide more: the table says how much.
            if (field == LiveSurveys.Field.SMOOTH) {
              assertThat(row.found).as("%s %s", fault, field).isGreaterThan(row.knowable / 3);
            }
            assertThat(row.beyond).as("%s %s", fault, field).isLessThanOrEqualTo(2);
          }
        }
      }
    }
    assertThat(wronged).isLessThanOrEqualTo(surveys / 40);
  }

  /** In natural order, one angle wrong in a field falling by 0.2 to 0.4 a degree. */
  @Test
  void howFarInTheTurnAWrongAngleIsFound() {
    Row[] quarters = {new Row(), new Row(), new Row(), new Row()};
    for (int seed = 0; seed < 2 * FAULTY; seed++) {
      LiveSurveys s =
          new LiveSurveys(
              LiveSurveys.Field.SMOOTH, false, false, LiveSurveys.Fault.ANGLE, 2000 + seed);
      s.take();
      quarters[(int) (4 * s.partOfTurn())].add(s);
    }
    for (int q = 0; q < 4; q++) {
      quarters[q].print("quarter " + (q + 1));
      assertThat(quarters[q].found).isGreaterThan(quarters[q].knowable * 3 / 4);
    }
  }

  /** One row of the table. */
  private static final class Row {
    private int knowable;
    private int found;
    private final int[] later = new int[3];
    private int wronged;
    private int told;
    private int beyond;
    private double squares;

    void add(LiveSurveys s) {
      wronged += s.wrongRemarks() > 0 ? 1 : 0;
      if (s.isKnowable()) {
        knowable++;
        found += s.isFound() ? 1 : 0;
        if (s.isFound() && s.delay() < later.length) {
          later[s.delay()]++;
        }
      }
      if (s.isFound()) {
        told++;
        squares += s.errorInUncertainties() * s.errorInUncertainties();
        beyond += Math.abs(s.errorInUncertainties()) > 3 ? 1 : 0;
      }
    }

    void print(String what) {
      System.out.printf(
          Locale.ROOT,
          "| %s | %d | %d | %d | %d | %d | %.2f | %d |%n",
          what,
          knowable,
          found,
          later[0],
          later[1] + later[2],
          wronged,
          Math.sqrt(squares / Math.max(1, told)),
          beyond);
    }
  }
}
