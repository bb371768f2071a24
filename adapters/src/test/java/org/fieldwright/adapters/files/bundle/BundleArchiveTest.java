package org.fieldwright.adapters.files.bundle;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.zip.ZipEntry;
import java.util.zip.ZipFile;
import java.util.zip.ZipOutputStream;
import org.fieldwright.core.BadInput;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The archive against the JDK's own zip reader and writer. */
class BundleArchiveTest {
  @TempDir private Path folder;

  private static byte[] text(String s) {
    return s.getBytes(StandardCharsets.UTF_8);
  }

  private static Map<String, byte[]> contents() {
    Map<String, byte[]> entries = new LinkedHashMap<>();
    entries.put("datapackage.json", text("{}\n"));
    entries.put("survey/Messung Ä 1.csv", text("angle_deg,probe,frequency_MHz\n0,1,23.4\n"));
    entries.put("empty", new byte[0]);
    return entries;
  }

  private static byte[] bytes(Map<String, byte[]> entries) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    try {
      BundleArchive.write(
          out,
          entries.entrySet().stream().map(e -> BundleEntry.of(e.getKey(), e.getValue())).toList());
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return out.toByteArray();
  }

  private Path write(byte[] bytes) throws IOException {
    return Files.write(folder.resolve("b.zip"), bytes);
  }

  @Test
  void anyZipReaderCanReadIt() throws IOException {
    Path file = write(bytes(contents()));
    try (ZipFile zip = new ZipFile(file.toFile())) {
      assertThat(zip.size()).isEqualTo(3);
      for (Map.Entry<String, byte[]> e : contents().entrySet()) {
        try (InputStream in = zip.getInputStream(zip.getEntry(e.getKey()))) {
          assertThat(in.readAllBytes()).isEqualTo(e.getValue());
        }
      }
    }
    BundleArchive archive = BundleArchive.read(file);
    assertThat(archive.entries().stream().map(BundleEntry::name))
        .containsExactlyElementsOf(contents().keySet());
    for (Map.Entry<String, byte[]> e : contents().entrySet()) {
      assertThat(archive.bytes(e.getKey())).isEqualTo(e.getValue());
    }
  }

  /**
   * Every byte of the structure, one bit after the other; contents are the signature's business.
   */
  @Test
  void noByteOfTheStructureCanBeChanged() throws IOException {
    byte[] good = bytes(contents());
    for (int at = 0; at < good.length; at++) {
      for (int bit = 0; bit < 8; bit++) {
        byte[] bad = good.clone();
        bad[at] ^= (byte) (1 << bit);
        Path file = write(bad);
        assertThatThrownBy(() -> BundleArchive.read(file)).isInstanceOf(BadInput.class);
      }
    }
  }

  @Test
  void aCutOrLengthenedArchiveIsRefused() throws IOException {
    byte[] good = bytes(contents());
    for (int length = 0; length < good.length; length++) {
      Path file = write(java.util.Arrays.copyOf(good, length));
      assertThatThrownBy(() -> BundleArchive.read(file)).isInstanceOf(BadInput.class);
    }
    Path longer = write(java.util.Arrays.copyOf(good, good.length + 1));
    assertThatThrownBy(() -> BundleArchive.read(longer)).isInstanceOf(BadInput.class);
  }

  /** A name that leaves, or an entry that is a link, put into a good archive byte by byte. */
  @Test
  void namesThatLeaveAndLinksAreRefused() throws IOException {
    for (String name : new String[] {"../x/y/z", "/tmp/abcd", "..\\up/ab"}) {
      String good = "plain/names".substring(0, name.length());
      Map<String, byte[]> entries = new LinkedHashMap<>();
      entries.put(good, text("x"));
      String changed = new String(bytes(entries), StandardCharsets.ISO_8859_1).replace(good, name);
      Path file = write(changed.getBytes(StandardCharsets.ISO_8859_1));
      assertThatThrownBy(() -> BundleArchive.read(file))
          .isInstanceOf(BadInput.class)
          .hasMessageContaining("leaves the bundle");
    }
    byte[] link = bytes(contents());
    int central = new String(link, StandardCharsets.ISO_8859_1).indexOf("PK\u0001\u0002");
    link[central + 5] = 3; // made on Unix
    link[central + 41] = (byte) 0xA1; // the mode of a symbolic link, APPNOTE 4.4.15
    Path file = write(link);
    assertThatThrownBy(() -> BundleArchive.read(file))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("was changed");
  }

  /** A file that changes between its hash and its copy is not bundled with the wrong hash. */
  @Test
  void aFileThatChangesMeanwhileIsRefused() throws IOException {
    Path file = write(text("one"));
    BundleEntry entry = BundleEntry.of("log", file);
    write(text("two"));
    assertThatThrownBy(() -> BundleArchive.write(new ByteArrayOutputStream(), List.of(entry)))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("changed while");
  }

  /** What unpacks to more than it is: 64 MiB of zeros in 64 kB. */
  @Test
  void compressedEntriesAreRefused() throws IOException {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    try (ZipOutputStream zip = new ZipOutputStream(out)) {
      zip.putNextEntry(new ZipEntry("datapackage.json"));
      zip.write(new byte[64 << 20]);
    }
    Path file = write(out.toByteArray());
    assertThatThrownBy(() -> BundleArchive.read(file))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("compressed");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "../up",
        "a/../../up",
        "/etc/passwd",
        "C:\\x",
        "a\\b",
        "",
        "a//b",
        "a/",
        ".hidden",
        "a\nb",
        "~x"
      })
  void namesThatLeaveAreNotPlain(String name) {
    assertThat(BundleArchive.isPlain(name)).isFalse();
    Map<String, byte[]> entries = new LinkedHashMap<>();
    entries.put(name, text("x"));
    assertThatThrownBy(() -> bytes(entries)).isInstanceOf(BadInput.class);
  }

  /** RFC 8032, 7.1, test 2: the secret key 4ccd…, message 72. */
  @Test
  void signsAsTheStandardDoes() throws IOException {
    String pkcs8 = "302e020100300506032b657004220420";
    String secret = "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb";
    String spki = "302a300506032b6570032100";
    String open = "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c";
    Path key = folder.resolve("k.pem");
    Files.writeString(key, pem("PRIVATE KEY", pkcs8 + secret));
    Files.writeString(folder.resolve("k.pub.pem"), pem("PUBLIC KEY", spki + open));
    byte[] signature = SigningKeys.sign(key, new byte[] {0x72});
    assertThat(java.util.HexFormat.of().formatHex(signature))
        .isEqualTo(
            "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da"
                + "085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00");
    byte[] publicKey = SigningKeys.publicBeside(key);
    assertThat(SigningKeys.verify(publicKey, new byte[] {0x72}, signature, "k")).isTrue();
    assertThat(SigningKeys.verify(publicKey, new byte[] {0x73}, signature, "k")).isFalse();
  }

  private static String pem(String kind, String hex) {
    return "-----BEGIN %s-----\n%s\n-----END %s-----\n"
        .formatted(
            kind,
            java.util.Base64.getEncoder().encodeToString(java.util.HexFormat.of().parseHex(hex)),
            kind);
  }

  @Test
  void aKeyIsNeverReplaced() {
    Path key = folder.resolve("mine.pem");
    SigningKeys.make(key);
    assertThatThrownBy(() -> SigningKeys.make(key))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("never replaced");
    assertThatThrownBy(() -> SigningKeys.sign(folder.resolve("mine.pub.pem"), new byte[1]))
        .isInstanceOf(BadInput.class)
        .hasMessageContaining("PRIVATE KEY");
  }
}
