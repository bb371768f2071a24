package org.fieldwright.adapters.files.bundle;

import java.io.BufferedInputStream;
import java.io.ByteArrayOutputStream;
import java.io.FilterInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.regex.Pattern;
import org.fieldwright.adapters.text.Utf8File;
import org.fieldwright.core.BadInput;
import org.jspecify.annotations.Nullable;

/**
 * A zip that the same contents make in one way only: stored, not compressed, in the order given,
 * without times, extra fields or comments. So every byte of it is either content, whose hash is
 * signed, or can be told from the content, and a reader needs no trust in anything else: it makes
 * every header again and compares. Nothing can be hidden between the entries, and nothing unpacks
 * to more than the file holds. Contents pass through a buffer in both directions.
 *
 * <p>Own code because a library's writer leaves the choice of such details to its version, and its
 * reader passes over what it does not expect.
 */
public final class BundleArchive {
  /** What a zip without the extension for large files can say. */
  public static final long MOST_BYTES = 0xFFFF_FFFEL;

  private static final int MOST_AT_ONCE = 64 << 20;
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

  private final Path path;
  private final Map<String, BundleEntry> entries = new LinkedHashMap<>();

  private BundleArchive(Path path) {
    this.path = path;
  }

  /** Whether a name may be an entry's: relative, plain, and going nowhere but down. */
  public static boolean isPlain(String name) {
    return name.length() <= 200 && NAME.matcher(name).matches() && !name.contains("..");
  }

  /** Writes the archive. */
  public static void write(OutputStream out, Collection<BundleEntry> entries) throws IOException {
    if (entries.size() > MOST_ENTRIES) {
      throw new BadInput(
          "found %d files for a bundle, expected at most %d"
              .formatted(entries.size(), MOST_ENTRIES));
    }
    for (BundleEntry e : entries) {
      if (!isPlain(e.name())) {
        throw new BadInput(
            "found the file name '%s', expected letters, digits, spaces and ._()+,- only"
                .formatted(e.name()));
      }
    }
    byte[] directory = directory(entries);
    for (BundleEntry e : entries) {
      out.write(local(e));
      e.copyTo(out);
    }
    out.write(directory);
  }

  private static byte[] local(BundleEntry e) {
    byte[] name = e.name().getBytes(StandardCharsets.UTF_8);
    byte[] local = new byte[LOCAL_BYTES + name.length];
    little(local).putInt(LOCAL).put(common(e, name)).putShort((short) 0).put(name);
    return local;
  }

  /** All that follows the contents. */
  private static byte[] directory(Collection<BundleEntry> entries) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    long offset = 0;
    for (BundleEntry e : entries) {
      byte[] name = e.name().getBytes(StandardCharsets.UTF_8);
      byte[] central = new byte[CENTRAL_BYTES];
      little(central)
          .putInt(CENTRAL)
          .putShort(VERSION)
          .put(common(e, name))
          .position(CENTRAL_BYTES - Integer.BYTES)
          .putInt((int) offset);
      out.writeBytes(central);
      out.writeBytes(name);
      offset += LOCAL_BYTES + name.length + e.size();
      if (offset > MOST_BYTES) {
        throw new BadInput(
            "%s: brings the bundle above %d MiB, expected less"
                .formatted(e.name(), MOST_BYTES >> 20));
      }
    }
    short count = (short) entries.size();
    byte[] end = new byte[END_BYTES];
    little(end)
        .putInt(END)
        .putInt(0)
        .putShort(count)
        .putShort(count)
        .putInt(out.size())
        .putInt((int) offset);
    out.writeBytes(end);
    return out.toByteArray();
  }

  /**
   * What local and central headers have in common, from the version needed to the name's length.
   */
  private static byte[] common(BundleEntry e, byte[] name) {
    byte[] common = new byte[COMMON_BYTES];
    little(common)
        .putShort(VERSION)
        .putShort(UTF8)
        .putInt(0) // stored, no time of day
        .putShort(FIRST_OF_1980)
        .putInt(e.crc())
        .putInt((int) e.size())
        .putInt((int) e.size())
        .putShort((short) name.length);
    return common;
  }

  private static ByteBuffer little(byte[] bytes) {
    return ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN);
  }

  /** An archive's contents, none of them held; refuses whatever it would not have written. */
  public static BundleArchive read(Path path) {
    Utf8File.requireFile(path);
    BundleArchive archive = new BundleArchive(path);
    try (Counted in = new Counted(new BufferedInputStream(Files.newInputStream(path), 1 << 16))) {
      if (Files.size(path) > MOST_BYTES) {
        throw new BadInput(
            "%s: found more than %d MiB, expected a bundle within that bound"
                .formatted(path, MOST_BYTES >> 20));
      }
      byte[] mark = in.readNBytes(Integer.BYTES);
      while (mark.length == Integer.BYTES && little(mark).getInt() == LOCAL) {
        archive.entry(in, mark);
        mark = in.readNBytes(Integer.BYTES);
      }
      archive.requireDirectory(in, mark);
    } catch (IOException e) {
      throw Utf8File.unreadable(path, e);
    }
    return archive;
  }

  private void requireDirectory(Counted in, byte[] mark) throws IOException {
    if (entries.isEmpty()) {
      throw new BadInput(path + ": found no evidence bundle, expected a zip that `evidence` wrote");
    }
    long from = in.position - mark.length;
    byte[] expected = directory(entries.values());
    byte[] found = Arrays.copyOf(mark, expected.length + 1);
    int read = mark.length + in.readNBytes(found, mark.length, found.length - mark.length);
    int at = Arrays.mismatch(found, 0, read, expected, 0, expected.length);
    if (at >= 0) {
      throw changed(from + at);
    }
  }

  private BadInput changed(long at) {
    return new BadInput(
        "%s: byte %d is not what the contents make it: the bundle was changed or cut off"
            .formatted(path, at));
  }

  private void entry(Counted in, byte[] mark) throws IOException {
    long at = in.position - mark.length;
    byte[] head = Arrays.copyOf(mark, LOCAL_BYTES);
    int rest = in.readNBytes(head, mark.length, LOCAL_BYTES - mark.length);
    ByteBuffer header = little(head);
    byte[] name = in.readNBytes(Short.toUnsignedInt(header.getShort(26)));
    long size = Integer.toUnsignedLong(header.getInt(18));
    long start = in.position;
    boolean whole = rest == LOCAL_BYTES - mark.length && start + size <= Files.size(path);
    if (header.getShort(8) != 0 || header.getShort(28) != 0 || !whole) {
      throw new BadInput(
          "%s: the entry at byte %d is compressed, cut off or has extra fields: not as `evidence` writes it"
              .formatted(path, at));
    }
    String text = decoded(name);
    if (!isPlain(text) || entries.containsKey(text) || entries.size() == MOST_ENTRIES) {
      throw new BadInput(
          "%s: found the entry '%s': a name that leaves the bundle, comes twice, or one of too many"
              .formatted(path, text));
    }
    BundleEntry.Sum sum = new BundleEntry.Sum();
    BundleEntry.pass(new Part(in, size), OutputStream.nullOutputStream(), sum);
    BundleEntry entry = new BundleEntry(text, () -> part(start, size), sum);
    byte[] again = local(entry);
    byte[] found = Arrays.copyOf(head, LOCAL_BYTES + name.length);
    System.arraycopy(name, 0, found, LOCAL_BYTES, name.length);
    if (!Arrays.equals(found, again)) {
      throw new BadInput("%s: %s or its header at byte %d was changed".formatted(path, text, at));
    }
    entries.put(text, entry);
  }

  private String decoded(byte[] name) {
    try {
      return StandardCharsets.UTF_8.newDecoder().decode(ByteBuffer.wrap(name)).toString();
    } catch (CharacterCodingException e) {
      throw new BadInput(path + ": found an entry's name that is not UTF-8", e);
    }
  }

  private InputStream part(long start, long size) throws IOException {
    InputStream in = Files.newInputStream(path);
    in.skipNBytes(start);
    return new Part(in, size);
  }

  /** In the order of the archive. */
  public List<BundleEntry> entries() {
    return List.copyOf(entries.values());
  }

  /** By name; null where there is none. */
  public @Nullable BundleEntry entry(String name) {
    return entries.get(name);
  }

  /** A document's bytes, held; null where there is none. */
  public byte @Nullable [] bytes(String name) throws IOException {
    BundleEntry entry = entries.get(name);
    if (entry == null) {
      return null;
    }
    if (entry.size() > MOST_AT_ONCE) {
      throw new BadInput(
          "%s: %s holds more than %d MiB, too much for a document"
              .formatted(path, name, MOST_AT_ONCE >> 20));
    }
    ByteArrayOutputStream out = new ByteArrayOutputStream((int) entry.size());
    entry.copyTo(out);
    return out.toByteArray();
  }

  /** Knows how far it is. */
  private static final class Counted extends FilterInputStream {
    private long position;

    Counted(InputStream in) {
      super(in);
    }

    @Override
    public int read() throws IOException {
      int b = super.read();
      position += b < 0 ? 0 : 1;
      return b;
    }

    @Override
    public int read(byte[] buffer, int from, int length) throws IOException {
      int n = super.read(buffer, from, length);
      position += Math.max(0, n);
      return n;
    }
  }

  /** Ends after so many bytes of another stream. */
  private static final class Part extends FilterInputStream {
    private long left;

    Part(InputStream in, long size) {
      super(in);
      this.left = size;
    }

    @Override
    public int read() throws IOException {
      int b = left == 0 ? -1 : super.read();
      left -= b < 0 ? 0 : 1;
      return b;
    }

    @Override
    public int read(byte[] buffer, int from, int length) throws IOException {
      if (left == 0 && length > 0) {
        return -1;
      }
      int n = super.read(buffer, from, (int) Math.min(length, left));
      left -= Math.max(0, n);
      return n;
    }
  }
}
