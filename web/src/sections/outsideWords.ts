import type { OutsideIron, OutsideLook } from "../api";
import { decimalsFor, fixed } from "../format";

// What the page says of iron outside.

/** A mass given in grams, with its standard uncertainty where it has one. */
export function grams(mass: number, uncertainty: number | null = null): string {
  const [scale, unit] = mass >= 1000 ? [1e-3, "kg"] : [1, "g"];
  const decimals = decimalsFor(scale * (uncertainty ?? mass));
  const value = fixed(scale * mass, decimals);
  return uncertainty === null ? `${value} ${unit}` : `${value} ± ${fixed(scale * uncertainty, decimals)} ${unit}`;
}

/** The sentence that answers the question. */
export function answerOf(found: OutsideIron): string {
  const [first, ...rest] = found.sources;
  if (!first) {
    return found.stopped ? "Nothing outside was seen to disturb the field till the search was stopped." : "Nothing outside is seen to disturb the field.";
  }
  if (found.verdict === "not_located") {
    return "Something outside disturbs the field, but these readings cannot tell where it is.";
  }
  const about = `about ${grams(first.iron_g, first.iron_uncertainty_g)} of iron ${fixed(first.from_centre_mm / 1000, 2)} m from the centre`;
  return rest.length === 0
    ? `Yes: one piece, ${about}, on the ${side(first.at_mm[2])} side.`
    : `Yes: ${found.sources.length} pieces; the first is ${about}, on the ${side(first.at_mm[2])} side.`;
}

function side(z: number): string {
  return z < 0 ? "−z" : "+z";
}

/** How far a search is. */
export function lookingOf(look: OutsideLook): string {
  return look.state === "waiting" ? "Waiting for its turn." : `${look.stage || "Reading the surveys"}, ${fixed(look.seconds, 0)} s.`;
}

/** What to do about it. */
export function nextOf(found: OutsideIron): string {
  if (found.verdict === "located") {
    return "Look there for a tool, a trolley or building steel; take it away with the field's pull in mind, and survey again.";
  }
  if (found.verdict === "not_located") {
    return "Look in the direction drawn; a survey nearer the bore wall, or with less scatter, would narrow it down.";
  }
  if (found.stopped) {
    return "Look again and let it end: what is richer was not tried.";
  }
  return found.since === null
    ? "An earlier survey to hold it against would show far less iron."
    : "Nothing to do here.";
}
