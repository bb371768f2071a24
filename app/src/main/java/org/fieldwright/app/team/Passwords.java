package org.fieldwright.app.team;

import java.security.GeneralSecurityException;
import java.security.MessageDigest;
import java.security.SecureRandom;
import java.text.Normalizer;
import java.util.Base64;
import java.util.Locale;
import javax.crypto.SecretKeyFactory;
import javax.crypto.spec.PBEKeySpec;
import org.fieldwright.core.BadInput;

/**
 * Keeps passwords as what is derived from them: PBKDF2 with HMAC-SHA-512 (RFC 8018, 5.2), 210,000
 * iterations (OWASP Password Storage Cheat Sheet, figures of December 2022), 16 random bytes of
 * salt, 64 bytes kept. docs/decisions.md says why not a function that is hard on memory.
 */
final class Passwords {
  static final int ITERATIONS = 210_000;
  private static final String SCHEME = "pbkdf2-sha512";
  private static final int SALT_BYTES = 16;
  private static final int KEPT_BYTES = 64;

  /** NIST SP 800-63B-4, 3.1.1.2: at least 15 where nothing but a password is asked for. */
  static final int SHORTEST = 15;

  /** The same: at least 64 must be possible. */
  static final int LONGEST = 200;

  private static final int FEWEST_LETTERS = 6;
  private static final SecureRandom RANDOM = new SecureRandom();

  /** Costs as much to compare with as any other, and no password agrees with it. */
  static final String OF_NOBODY = written(ITERATIONS, new byte[SALT_BYTES], new byte[KEPT_BYTES]);

  private Passwords() {}

  /**
   * Refuses a password that is easily guessed. What is asked for is length, not kinds of signs: the
   * same section of NIST's advises against those.
   */
  static void requireGood(String account, String password) {
    int length = normal(password).codePointCount(0, normal(password).length());
    if (length < SHORTEST || length > LONGEST) {
      throw new BadInput(
          "password: found %d characters; right are %d to %d, four words that do not belong together are well"
              .formatted(length, SHORTEST, LONGEST));
    }
    String small = password.toLowerCase(Locale.ROOT);
    if (small.chars().distinct().count() < FEWEST_LETTERS
        || small.contains(account)
        || small.contains("fieldwright")) {
      throw new BadInput(
          "password: found one that is easily guessed: it repeats few characters, or holds the"
              + " account's or the program's name");
    }
  }

  /** What to keep of a password. */
  static String derive(String password) {
    byte[] salt = new byte[SALT_BYTES];
    RANDOM.nextBytes(salt);
    return written(ITERATIONS, salt, derived(password, salt, ITERATIONS));
  }

  /** Takes as long whether it agrees or not. */
  static boolean agrees(String password, String kept) {
    String[] parts = kept.split("\\$", -1);
    if (parts.length != 4 || !parts[0].equals(SCHEME)) {
      throw new IllegalStateException("a password is kept in a form this program does not know");
    }
    byte[] now =
        derived(password, Base64.getDecoder().decode(parts[2]), Integer.parseInt(parts[1]));
    return MessageDigest.isEqual(now, Base64.getDecoder().decode(parts[3]));
  }

  private static String written(int iterations, byte[] salt, byte[] derived) {
    Base64.Encoder text = Base64.getEncoder();
    return String.join(
        "$",
        SCHEME,
        String.valueOf(iterations),
        text.encodeToString(salt),
        text.encodeToString(derived));
  }

  /** The same letters give the same bytes, however a keyboard composes them. */
  private static String normal(String password) {
    return Normalizer.normalize(password, Normalizer.Form.NFC);
  }

  static byte[] derived(String password, byte[] salt, int iterations) {
    PBEKeySpec spec =
        new PBEKeySpec(normal(password).toCharArray(), salt, iterations, KEPT_BYTES * Byte.SIZE);
    try {
      return SecretKeyFactory.getInstance("PBKDF2WithHmacSHA512").generateSecret(spec).getEncoded();
    } catch (GeneralSecurityException e) {
      throw new IllegalStateException("the platform has no PBKDF2", e);
    } finally {
      spec.clearPassword();
    }
  }
}
