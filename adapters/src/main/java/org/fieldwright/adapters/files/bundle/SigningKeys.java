package org.fieldwright.adapters.files.bundle;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.PosixFilePermissions;
import java.security.GeneralSecurityException;
import java.security.KeyFactory;
import java.security.KeyPair;
import java.security.KeyPairGenerator;
import java.security.PrivateKey;
import java.security.PublicKey;
import java.security.Signature;
import java.security.spec.InvalidKeySpecException;
import java.security.spec.PKCS8EncodedKeySpec;
import java.security.spec.X509EncodedKeySpec;
import java.util.Base64;
import org.fieldwright.adapters.files.InputDigest;
import org.fieldwright.adapters.text.Utf8File;
import org.fieldwright.core.BadInput;

/**
 * Ed25519 keys (RFC 8032) that their owner keeps as PEM files (RFC 7468): the private key as PKCS#8
 * in NAME.pem, readable by its owner alone, the public one as SubjectPublicKeyInfo in NAME.pub.pem.
 */
public final class SigningKeys {
  private static final String ALGORITHM = "Ed25519";
  private static final String PRIVATE = "PRIVATE KEY";
  private static final String PUBLIC = "PUBLIC KEY";
  private static final int LINE = 64;

  private SigningKeys() {}

  /**
   * Makes a pair of keys; never replaces a file.
   *
   * @param privateFile ends in .pem
   * @return the file of the public key
   */
  public static Path make(Path privateFile) {
    String name = String.valueOf(privateFile.getFileName());
    if (!name.endsWith(".pem") || name.endsWith(".pub.pem")) {
      throw new BadInput(
          "--out: found '%s'; a private key goes to a file that ends in .pem"
              .formatted(privateFile));
    }
    Path publicFile =
        privateFile.resolveSibling(name.substring(0, name.length() - ".pem".length()) + ".pub.pem");
    for (Path file : new Path[] {privateFile, publicFile}) {
      if (Files.exists(file)) {
        throw new BadInput(file + ": is there already; a key is never replaced");
      }
    }
    try {
      KeyPair pair = KeyPairGenerator.getInstance(ALGORITHM).generateKeyPair();
      writePrivate(privateFile, pem(PRIVATE, pair.getPrivate().getEncoded()));
      Files.writeString(
          publicFile, pem(PUBLIC, pair.getPublic().getEncoded()), StandardOpenOption.CREATE_NEW);
      return publicFile;
    } catch (GeneralSecurityException e) {
      throw new IllegalStateException(e);
    } catch (IOException e) {
      throw new BadInput(privateFile + ": cannot be written (" + e.getMessage() + ")", e);
    }
  }

  private static void writePrivate(Path file, String text) throws IOException {
    if (file.getFileSystem().supportedFileAttributeViews().contains("posix")) {
      Files.createFile(
          file, PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rw-------")));
      Files.writeString(file, text);
    } else {
      Files.writeString(file, text, StandardOpenOption.CREATE_NEW);
    }
  }

  private static String pem(String kind, byte[] der) {
    return "-----BEGIN %s-----\n%s\n-----END %s-----\n"
        .formatted(
            kind,
            Base64.getMimeEncoder(LINE, "\n".getBytes(StandardCharsets.US_ASCII))
                .encodeToString(der),
            kind);
  }

  /** Signs with the private key in a file. */
  public static byte[] sign(Path privateFile, byte[] message) {
    try {
      PrivateKey key =
          KeyFactory.getInstance(ALGORITHM)
              .generatePrivate(new PKCS8EncodedKeySpec(der(privateFile, PRIVATE)));
      Signature signature = Signature.getInstance(ALGORITHM);
      signature.initSign(key);
      signature.update(message);
      return signature.sign();
    } catch (InvalidKeySpecException e) {
      throw new BadInput(privateFile + ": found no Ed25519 private key", e);
    } catch (GeneralSecurityException e) {
      throw new IllegalStateException(e);
    }
  }

  /** The public key in a file, encoded. */
  public static byte[] publicKey(Path publicFile) {
    byte[] der = der(publicFile, PUBLIC);
    decode(der, publicFile.toString());
    return der;
  }

  private static PublicKey decode(byte[] encoded, String where) {
    try {
      return KeyFactory.getInstance(ALGORITHM).generatePublic(new X509EncodedKeySpec(encoded));
    } catch (InvalidKeySpecException e) {
      throw new BadInput(where + ": found no Ed25519 public key", e);
    } catch (GeneralSecurityException e) {
      throw new IllegalStateException(e);
    }
  }

  /**
   * Whether a signature is that of the message.
   *
   * @param where named if the key is none
   */
  public static boolean verify(byte[] publicKey, byte[] message, byte[] signed, String where) {
    try {
      Signature signature = Signature.getInstance(ALGORITHM);
      signature.initVerify(decode(publicKey, where));
      signature.update(message);
      return signature.verify(signed);
    } catch (java.security.SignatureException e) {
      return false; // not even a signature's shape
    } catch (GeneralSecurityException e) {
      throw new BadInput(where + ": found no usable public key", e);
    }
  }

  /** SHA-256 of an encoded public key, in hexadecimal: what two people read to each other. */
  public static String fingerprint(byte[] publicKey) {
    return InputDigest.sha256(publicKey);
  }

  /**
   * The public key of a private one, found by its file beside it.
   *
   * @param privateFile NAME.pem; NAME.pub.pem must lie beside it
   */
  public static byte[] publicBeside(Path privateFile) {
    String name = String.valueOf(privateFile.getFileName());
    String stem = name.endsWith(".pem") ? name.substring(0, name.length() - 4) : name;
    return publicKey(privateFile.resolveSibling(stem + ".pub.pem"));
  }

  private static byte[] der(Path file, String kind) {
    Utf8File.requireFile(file);
    try {
      String text = Files.readString(file, StandardCharsets.US_ASCII);
      String begin = "-----BEGIN " + kind + "-----";
      int from = text.indexOf(begin);
      int to = text.indexOf("-----END " + kind + "-----");
      if (from < 0 || to < from) {
        throw new BadInput(
            "%s: found no %s, expected a PEM file that begins with %s"
                .formatted(file, kind, begin));
      }
      return Base64.getMimeDecoder().decode(text.substring(from + begin.length(), to).strip());
    } catch (IOException | IllegalArgumentException e) {
      throw new BadInput(file + ": cannot be read as a PEM file (" + e.getMessage() + ")", e);
    }
  }
}
