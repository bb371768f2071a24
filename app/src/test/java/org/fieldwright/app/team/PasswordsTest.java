package org.fieldwright.app.team;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.charset.StandardCharsets;
import java.util.HexFormat;
import org.fieldwright.core.BadInput;
import org.junit.jupiter.api.Test;

class PasswordsTest {
  private static final String GOOD = "vier Wörter ohne Zusammenhang";

  /** Referee: {@code hashlib.pbkdf2_hmac('sha512', …)} of Python 3, which is OpenSSL's. */
  @Test
  void derivesAsOpenSslDoes() {
    assertThat(hex(Passwords.derived("password", "salt".getBytes(StandardCharsets.UTF_8), 1)))
        .isEqualTo(
            "867f70cf1ade02cff3752599a3a53dc4af34c7a669815ae5d513554e1c8cf252"
                + "c02d470a285a0501bad999bfe943c08f050235d7d68b1da55e63f73b60a57fce");
    byte[] salt = new byte[16];
    for (int i = 0; i < salt.length; i++) {
      salt[i] = (byte) i;
    }
    String decomposed = GOOD.replace("ö", "o\u0308");
    assertThat(hex(Passwords.derived(decomposed, salt, Passwords.ITERATIONS)))
        .isEqualTo(
            "fd1d85b6acf331b6b0e728365e8e4e7a6e1c1631ceac7adc2a8673913c12f258"
                + "8d9b5ccdff0ef88c78a9d2f54685d20fae59e9b048d7ed7011b7d9f3121c5ac6");
  }

  private static String hex(byte[] bytes) {
    return HexFormat.of().formatHex(bytes);
  }

  @Test
  void agreesWithItselfAlone() {
    String kept = Passwords.derive(GOOD);
    assertThat(kept).startsWith("pbkdf2-sha512$210000$").doesNotContain(GOOD);
    assertThat(kept).isNotEqualTo(Passwords.derive(GOOD));
    assertThat(Passwords.agrees(GOOD, kept)).isTrue();
    assertThat(Passwords.agrees(GOOD + " ", kept)).isFalse();
    assertThat(Passwords.agrees("", Passwords.OF_NOBODY)).isFalse();
  }

  @Test
  void refusesWhatIsEasilyGuessed() {
    Passwords.requireGood("m.keller", GOOD);
    for (String bad :
        new String[] {
          "fourteen chars",
          "aaaaaaaaaaaaaaaaaaaa",
          "really m.keller again",
          "Fieldwright-2026-x",
          "x".repeat(201)
        }) {
      assertThatThrownBy(() -> Passwords.requireGood("m.keller", bad))
          .as(bad)
          .isInstanceOf(BadInput.class)
          .hasMessageNotContaining(bad);
    }
  }
}
