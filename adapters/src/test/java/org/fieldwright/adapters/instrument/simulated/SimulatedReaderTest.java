package org.fieldwright.adapters.instrument.simulated;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.net.InetAddress;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import org.fieldwright.adapters.instrument.Crc16;
import org.fieldwright.adapters.instrument.Rig;
import org.fieldwright.core.geometry.Vec3;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * What IEEE 488.2 and SCPI-1999 say, over a real socket and with a client that is only a socket.
 */
@Timeout(30) // a guard against hanging, not a measurement
class SimulatedReaderTest {
  @TempDir Path folder;

  private static String ask(Rig rig, String... lines) throws IOException {
    try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), rig.reader().port())) {
      StringBuilder text = new StringBuilder();
      for (String line : lines) {
        text.append(line).append('\n');
      }
      socket.getOutputStream().write(text.toString().getBytes(StandardCharsets.US_ASCII));
      return new BufferedReader(
              new InputStreamReader(socket.getInputStream(), StandardCharsets.US_ASCII))
          .readLine();
    }
  }

  @Test
  void headersAreUnderstoodShortLongAndInAnyCase() throws IOException {
    try (Rig rig = new Rig(folder, "seconds_per_reading: 0", "")) {
      assertThat(ask(rig, "*idn?")).isEqualTo("Fieldwright,Simulated reader,a pair of loops,test");
      for (String header : new String[] {"SYST:VERS?", ":system:version?", "SYSTem:VERS?"}) {
        assertThat(ask(rig, header)).isEqualTo("1999.0");
      }
      // Neither short nor long: no abbreviation in between (SCPI-1999, volume 1, 6.2.1).
      assertThat(ask(rig, "*CLS;SYSTE:VERS?", "SYST:ERR?"))
          .isEqualTo("-113,\"Undefined header;SYSTE:VERS?\"");
      assertThat(ask(rig, "SYST:ERR:NEXT?")).isEqualTo("0,\"No error\"");
      assertThat(ask(rig, "*OPC?;*TST?;SYST:VERS?")).isEqualTo("1;0;1999.0");
    }
  }

  /** Bits and classes of IEEE 488.2-1992, 11.5.1: 128 power on, 32 command, 16 execution. */
  @Test
  void errorsSetTheirBitsAndQueueUp() throws IOException {
    try (Rig rig = new Rig(folder, "seconds_per_reading: 0", "")) {
      assertThat(ask(rig, "*ESR?")).isEqualTo("128");
      assertThat(ask(rig, "*ESR?")).isEqualTo("0");
      assertThat(ask(rig, "NONSENSE", "*ESR?")).isEqualTo("32");
      assertThat(ask(rig, "MEAS:PROB? 99", "*ESR?")).isEqualTo("16");
      assertThat(ask(rig, "*ESE 48;*SRE 32", "NONSENSE", "*STB?")).isEqualTo("100"); // 4 + 32 + 64
      assertThat(ask(rig, "SYST:ERR:COUN?")).isEqualTo("3");
      assertThat(ask(rig, "SYST:ERR?")).startsWith("-113,");
      assertThat(ask(rig, "SYST:ERR?")).startsWith("-222,");
      assertThat(ask(rig, "*CLS;MEAS:PROB?", "SYST:ERR?")).startsWith("-109,");
      assertThat(ask(rig, "MEAS:PROB? 1,2", "SYST:ERR?")).startsWith("-108,");
      assertThat(ask(rig, "MEAS:PROB? one", "SYST:ERR?")).startsWith("-104,");
      assertThat(ask(rig, "NO;".repeat(1) + "*OPC?", "*OPC?;SYST:ERR:COUN?")).isEqualTo("1;1");
      String[] many = new String[23];
      java.util.Arrays.fill(many, 0, 22, "NO");
      many[22] = "SYST:ERR:COUN?";
      assertThat(ask(rig, many)).isEqualTo("20");
      for (int i = 0; i < 19; i++) {
        assertThat(ask(rig, "SYST:ERR?")).startsWith("-113,");
      }
      assertThat(ask(rig, "SYST:ERR?")).isEqualTo("-350,\"Queue overflow\"");
    }
  }

  @Test
  void probesShowTheFieldWhereTheyAre() throws IOException {
    try (Rig rig = new Rig(folder, "seconds_per_reading: 0", "dead_probes: [3]")) {
      String[] shown = ask(rig, "SIM:ANGL 45;MEAS:PROB? 2").split(",", -1);
      Vec3 at = Vec3.spherical(0.15, rig.scenario().magnet().array().probe(2).polar(), Math.PI / 4);
      double field = rig.scenario().bare().magnitude(at);
      assertThat(shown[0]).isEqualTo("2");
      assertThat(Double.parseDouble(shown[1])).isCloseTo(field * Rig.GAMMA, within(1e-8));
      assertThat(shown[4]).isEqualTo("4");
      assertThat(ask(rig, "MEAS:PROB? 3")).isEqualTo("3,9.91E+37,9.91E+37,4,0");
      assertThat(ask(rig, "MEAS:ARR?").split(",", -1)).hasSize(20);
      // Nothing locks outside the window; *RST opens it again.
      assertThat(ask(rig, "SENS:FREQ:WIND 22.3,22.4;MEAS:PROB? 2")).endsWith(",0");
      assertThat(ask(rig, "SENS:FREQ:WIND?")).isEqualTo("22.300000,22.400000");
      assertThat(ask(rig, "SENS:FREQ:WIND 20,22", "SYST:ERR?")).startsWith("-222,");
      assertThat(ask(rig, "*RST;MEAS:PROB? 2")).endsWith(",4");
    }
  }

  @Test
  void driftStickingAndFaultsOfTheFirstVisit() throws IOException {
    String survey =
        "drift_ppm_per_hour: 1000000, faults: {no_lock: [{probe: 1, angle_deg: 90}]}, seconds_per_reading: 0.01";
    String behaviour = "sticking_probes: [{probe: 4, after_readings: 2}]";
    try (Rig rig = new Rig(folder, survey, behaviour)) {
      double first = frequency(ask(rig, "MEAS:PROB? 2"));
      double second = frequency(ask(rig, "MEAS:PROB? 2"));
      assertThat((second - first) / first * 1e6).isGreaterThan(1e6 * 0.01 / 3600);
      ask(rig, "MEAS:PROB? 4");
      assertThat(ask(rig, "MEAS:PROB? 4")).isEqualTo(ask(rig, "SIM:ANGL 180;MEAS:PROB? 4"));
      assertThat(ask(rig, "SIM:ANGL 90;MEAS:PROB? 1")).endsWith(",0");
      assertThat(ask(rig, "SIM:ANGL 0;SIM:ANGL 90;MEAS:PROB? 1")).endsWith(",4");
    }
  }

  private static double frequency(String answer) {
    return Double.parseDouble(answer.split(",", -1)[1]);
  }

  @Test
  void aDamagedLineIsNotCarriedOut() throws IOException {
    try (Rig rig = new Rig(folder, "seconds_per_reading: 0", "")) {
      String answer = ask(rig, Crc16.guarded("*OPC?"));
      assertThat(Crc16.unguarded(answer)).isEqualTo("1");
      String damaged = Crc16.guarded("SIM:ANGL 45").replace("45", "75");
      assertThat(ask(rig, damaged, "SYST:ERR?;SIM:ANGL?"))
          .isEqualTo("-101,\"Invalid character\";0.000000");
    }
  }
}
