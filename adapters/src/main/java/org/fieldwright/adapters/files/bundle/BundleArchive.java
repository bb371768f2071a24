package org.fieldwright.adapters.files.bundle;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.regex.Pattern;
import java.util.zip.CRC32;
import org.fieldwright.adapters.text.Utf8File;
import org.fieldwright.core.BadInput;

/**
 * A zip that the same contents make in one way only: stored, not compressed, in the order given,
 * without times, extra fields or comments. So every byte of it is either content, whose hash is
 * signed, or can be told from the content, and a reader needs no trust in anything else: it writes
 * the archive again and compares. Nothing can be hidden between the entries, and nothing unpacks to
 * more than the file holds.
 *
 * <p>Own code because a library's writer leaves the choice of such details to its version, and its
 * reader passes over what it does not expect.
 */
public final class BundleArchive {
  /** Larger files are refused before they are read. */
  public static final long MOST_BYTES = 1L << 30;

  private static final int LOCAL = 0x04034b50;
  private static final int CENTRAL = 0x02014b50;
  private static final int END = 0x06054b50;
  private static final int LOCAL_BYTES = 30;
  private static final int CENTRAL_BYTES = 46;
  private static final int END_BYTES = 22;
  private static final int COMMON_BYTES = 24;
  private static final short VERSION = 20;
  private static final short UTF8 = 1 << 11;
  private static final short FIRST_OF_1980 = 0x21;
  private static final int MOST_ENTRIES = 1000;
  private static final Pattern NAME =
      Pattern.compile(
          "[\\p{L}\\p{N}_(][\\p{L}\\p{N} ._()+,-]*(/[\\p{L}\\p{N}_(][\\p{L}\\p{N} ._()+,-]*)*");

  private BundleArchive() {}

  /** Whether a name may be an entry's: relative, plain, and going nowhere but down. */
  public static boolean isPlain(String name) {
    return name.length() <= 200 && NAME.matcher(name).matches() && !name.contains("..");
  }

  /** The bytes of the archive. */
  public static byte[] bytes(Map<String, byte[]> entries) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ByteArrayOutputStream directory = new ByteArrayOutputStream();
    for (Map.Entry<String, byte[]> e : entries.entrySet()) {
      if (!isPlain(e.getKey())) {
        throw new BadInput(
            "found the file name '%s', expected letters, digits, spaces and ._()+,- only"
                .formatted(e.getKey()));
      }
      byte[] name = e.getKey().getBytes(StandardCharsets.UTF_8);
      int offset = out.size();
      byte[] common = common(name, e.getValue());
      byte[] local = new byte[LOCAL_BYTES];
      little(local).putInt(LOCAL).put(common);
      out.writeBytes(local);
      out.writeBytes(name);
      out.writeBytes(e.getValue());
      byte[] central = new byte[CENTRAL_BYTES];
      little(central)
          .putInt(CENTRAL)
          .putShort(VERSION)
          .put(common)
          .position(CENTRAL_BYTES - Integer.BYTES)
          .putInt(offset);
      directory.writeBytes(central);
      directory.writeBytes(name);
    }
    short count = (short) entries.size();
    byte[] end = new byte[END_BYTES];
    little(end)
        .putInt(END)
        .putInt(0)
        .putShort(count)
        .putShort(count)
        .putInt(directory.size())
        .putInt(out.size());
    out.writeBytes(directory.toByteArray());
    out.writeBytes(end);
    return out.toByteArray();
  }

  /**
   * What local and central headers have in common, from the version needed to the name's length.
   */
  private static byte[] common(byte[] name, byte[] content) {
    CRC32 crc = new CRC32();
    crc.update(content);
    byte[] common = new byte[COMMON_BYTES];
    little(common)
        .putShort(VERSION)
        .putShort(UTF8)
        .putInt(0) // stored, no time of day
        .putShort(FIRST_OF_1980)
        .putInt((int) crc.getValue())
        .putInt(content.length)
        .putInt(content.length)
        .putShort((short) name.length);
    return common;
  }

  private static ByteBuffer little(byte[] bytes) {
    return ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN);
  }

  /** The contents of an archive; refuses whatever it would not have written itself. */
  public static Map<String, byte[]> read(Path path) {
    byte[] all = readAll(path);
    Map<String, byte[]> entries = new LinkedHashMap<>();
    ByteBuffer in = little(all);
    while (in.remaining() >= LOCAL_BYTES && in.getInt(in.position()) == LOCAL) {
      entry(path, in, entries);
    }
    if (entries.isEmpty()) {
      throw new BadInput(path + ": found no evidence bundle, expected a zip that `evidence` wrote");
    }
    byte[] again = bytes(entries);
    if (!Arrays.equals(all, again)) {
      int at = Arrays.mismatch(all, again);
      throw new BadInput(
          "%s: byte %d is not what the contents make it (%d bytes found, %d expected): the bundle was changed or cut off"
              .formatted(path, at, all.length, again.length));
    }
    return Collections.unmodifiableMap(entries);
  }

  private static byte[] readAll(Path path) {
    Utf8File.requireFile(path);
    try {
      if (Files.size(path) > MOST_BYTES) {
        throw new BadInput(
            "%s: found more than %d MiB, expected a bundle within that bound"
                .formatted(path, MOST_BYTES >> 20));
      }
      return Files.readAllBytes(path);
    } catch (IOException e) {
      throw new BadInput(path + ": cannot be read (" + e.getMessage() + ")", e);
    }
  }

  private static void entry(Path path, ByteBuffer in, Map<String, byte[]> entries) {
    int at = in.position();
    int size = in.getInt(at + 18);
    int nameLength = Short.toUnsignedInt(in.getShort(at + 26));
    boolean fits = size >= 0 && (long) LOCAL_BYTES + nameLength + size <= in.remaining();
    if (in.getShort(at + 8) != 0 || in.getShort(at + 28) != 0 || !fits) {
      throw new BadInput(
          "%s: the entry at byte %d is compressed, cut off or has extra fields: not as `evidence` writes it"
              .formatted(path, at));
    }
    byte[] name = new byte[nameLength];
    in.position(at + LOCAL_BYTES);
    in.get(name);
    byte[] content = new byte[size];
    in.get(content);
    String text = decoded(path, name);
    if (!isPlain(text) || entries.put(text, content) != null || entries.size() > MOST_ENTRIES) {
      throw new BadInput(
          "%s: found the entry '%s': a name that leaves the bundle, comes twice, or one of too many"
              .formatted(path, text));
    }
  }

  private static String decoded(Path path, byte[] name) {
    try {
      return StandardCharsets.UTF_8.newDecoder().decode(ByteBuffer.wrap(name)).toString();
    } catch (CharacterCodingException e) {
      throw new BadInput(path + ": found an entry's name that is not UTF-8", e);
    }
  }
}
