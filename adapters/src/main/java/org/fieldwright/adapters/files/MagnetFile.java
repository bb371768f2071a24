package org.fieldwright.adapters.files;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.fieldwright.adapters.yaml.Expected;
import org.fieldwright.adapters.yaml.YamlFile;
import org.fieldwright.adapters.yaml.YamlMap;
import org.fieldwright.adapters.yaml.YamlNode;
import org.fieldwright.core.correction.Coil;
import org.fieldwright.core.correction.IronSystem;
import org.fieldwright.core.correction.LotStock;
import org.fieldwright.core.geometry.Vec3;
import org.fieldwright.core.homogeneity.Limit;
import org.fieldwright.core.magnet.Magnet;
import org.fieldwright.core.reading.ProbeArray;
import org.jspecify.annotations.Nullable;

/**
 * The magnet file: what the magnet should be, what measures it, what may correct it. Format version
 * 1, described in docs/formats/magnet.md and by docs/schemas/magnet.schema.json.
 */
public final class MagnetFile {
  private static final int FORMAT = 1;

  private MagnetFile() {}

  /**
   * A magnet and the files it was read from.
   *
   * @param sources the magnet file and the tables it names; their digests identify the input
   * @param installed the table of what lies in the pockets; null where the magnet file names none
   * @param lots what is left of the pieces delivered; empty where the magnet file names no lots
   */
  public record Loaded(
      Magnet magnet, List<Path> sources, @Nullable Path installed, List<LotStock> lots) {
    public Loaded {
      sources = List.copyOf(sources);
      lots = List.copyOf(lots);
    }
  }

  public static Magnet read(Path path) {
    return load(path).magnet();
  }

  public static Loaded load(Path path) {
    YamlMap root =
        YamlFile.read(path).map("fieldwright", "magnet", "array", "limits", "iron", "coils");
    YamlNode version = root.get("fieldwright");
    if (version != null) {
      version.integer(FORMAT, FORMAT);
    }
    YamlMap magnet = root.require("magnet").map("name", "serial", "field_T", "field_axis");
    String name = magnet.has("name") ? magnet.text("name") : nameOf(path);
    Vec3 fieldAxis = axis(magnet.get("field_axis"));
    ProbeArray array = ArraySection.read(root.get("array"), fieldAxis);
    List<Limit> limits = LimitsSection.read(root.get("limits"));
    List<Path> sources = new ArrayList<>(List.of(path));
    YamlNode ironNode = root.get("iron");
    IronSection section = new IronSection(new Companions(path, sources));
    IronSystem iron = ironNode == null ? null : section.read(ironNode);
    List<Coil> coils = CoilsSection.read(root.get("coils"));
    Magnet read =
        new Magnet(
            name,
            magnet.optionalText("serial"),
            magnet.number("field_T", Expected.POSITIVE),
            fieldAxis,
            array,
            limits,
            iron,
            coils);
    return new Loaded(read, sources, section.installedFile(), section.lots());
  }

  private static String nameOf(Path path) {
    String file = String.valueOf(path.getFileName());
    int dot = file.lastIndexOf('.');
    return dot > 0 ? file.substring(0, dot) : file;
  }

  private static Vec3 axis(@Nullable YamlNode node) {
    if (node == null) {
      return Vec3.UNIT_Z;
    }
    if (node.isList()) {
      double[] b = node.numbers(3, Expected.NUMBER);
      Vec3 direction = new Vec3(b[0], b[1], b[2]);
      double length = direction.norm();
      if (!(length > 0) || Double.isInfinite(length)) {
        throw node.complain("a direction [bx, by, bz] of some length");
      }
      return direction.unit();
    }
    return switch (node.oneOf(List.of("x", "y", "z"))) {
      case "x" -> Vec3.UNIT_X;
      case "y" -> Vec3.UNIT_Y;
      default -> Vec3.UNIT_Z;
    };
  }
}
