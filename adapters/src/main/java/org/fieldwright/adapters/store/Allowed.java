package org.fieldwright.adapters.store;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.cfg.JsonNodeFeature;
import com.fasterxml.jackson.databind.json.JsonMapper;
import java.nio.charset.StandardCharsets;
import java.util.regex.Pattern;
import org.fieldwright.adapters.text.Found;
import org.fieldwright.core.BadInput;

/** What names, texts and contents may be, so that both engines and any file system take them. */
final class Allowed {
  private static final int LONGEST_PART = 255;
  private static final int LONGEST_PATH = 1000;
  private static final Pattern ID = Pattern.compile("[A-Za-z0-9][A-Za-z0-9_-]{0,63}");

  /** No two differ only by how large a letter is written. */
  private static final Pattern ACCOUNT = Pattern.compile("[a-z0-9][a-z0-9._-]{0,63}");

  /** Numbers keep their digits, 0.10 stays 0.10. */
  static final ObjectMapper JSON =
      JsonMapper.builder()
          .enable(DeserializationFeature.USE_BIG_DECIMAL_FOR_FLOATS)
          .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
          .enable(DeserializationFeature.FAIL_ON_READING_DUP_TREE_KEY)
          .disable(JsonNodeFeature.STRIP_TRAILING_BIGDECIMAL_ZEROES)
          .build();

  private Allowed() {}

  static void id(String what, String id) {
    if (!ID.matcher(id).matches()) {
      throw Found.instead("store", what, id, "up to 64 letters, digits, - and _");
    }
  }

  static void accountName(String name) {
    if (!ACCOUNT.matcher(name).matches()) {
      throw Found.instead("store", "account", name, "up to 64 small letters, digits, ., - and _");
    }
  }

  static void text(String what, String text) {
    if (text.indexOf('\0') >= 0) {
      throw Found.instead("store", what, text, "a text without the character 0");
    }
  }

  static void path(String path) {
    if (path.length() > LONGEST_PATH) {
      throw Found.instead("store", "path", path, LONGEST_PATH + " characters at most");
    }
    String[] parts = path.split("/", -1);
    for (String part : parts) {
      if (part.isEmpty()
          || part.equals(".")
          || part.equals("..")
          || part.indexOf('\\') >= 0
          || part.chars().anyMatch(Character::isISOControl)
          || part.getBytes(StandardCharsets.UTF_8).length > LONGEST_PART) {
        throw Found.instead(
            "store", "path", path, "a file's name, or folders and a name separated by /");
      }
    }
    if (parts[0].equals(Store.OWN_FOLDER)) {
      throw Found.instead(
          "store",
          "path",
          path,
          "another folder: " + Store.OWN_FOLDER + " holds what the store adds");
    }
  }

  static void content(String path, long bytes) {
    if (bytes > Store.LARGEST) {
      throw new BadInput(
          "%s: found %d bytes; a file may have %d".formatted(path, bytes, Store.LARGEST));
    }
  }

  /** The same JSON object in one spelling, without blanks. */
  static String object(String what, String json) {
    return tree(what, json).toString();
  }

  static JsonNode tree(String what, String json) {
    try {
      JsonNode node = JSON.readTree(json);
      if (node.isObject()) {
        return node;
      }
      throw Found.instead("store", what, json, "a JSON object");
    } catch (JsonProcessingException e) {
      throw new BadInput(
          "store: %s: found no JSON (%s), expected a JSON object"
              .formatted(what, e.getOriginalMessage()),
          e);
    }
  }
}
