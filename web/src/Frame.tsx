import { signal } from "@preact/signals";
import { Home } from "./pages/Home";
import { MagnetPage } from "./pages/MagnetPage";
import { TakePage } from "./pages/TakePage";
import { VisitPage } from "./pages/VisitPage";
import { Door, SignedIn } from "./SignIn";
import { numbers, theme, unit } from "./settings";

// The address after # says where in the notebook one is: #/MAGNET/VISIT, or #/MAGNET/take.

const place = signal(parts());

function parts(): string[] {
  return location.hash
    .replace(/^#\/?/, "")
    .split("/")
    .filter((p) => p !== "")
    .map(decodeURIComponent);
}

window.addEventListener("hashchange", () => {
  place.value = parts();
  window.scrollTo(0, 0);
});

export function goTo(...names: string[]) {
  location.hash = `#/${names.map(encodeURIComponent).join("/")}`;
}

export function Frame() {
  const [magnet, visit] = place.value;
  return (
    <>
      <a class="skip" href="#content" onClick={(e) => { e.preventDefault(); document.getElementById("content")?.focus(); }}>
        Skip to the notebook
      </a>
      <header class="top">
        <a class="brand" href="#/">
          <img src="/mark.svg" alt="" width="24" height="24" />
          Fieldwright
        </a>
        <div class="settings">
          <label>
            Units
            <select value={unit.value} onChange={(e) => { unit.value = e.currentTarget.value as typeof unit.value; }}>
              <option value="ppm">ppm</option>
              <option value="MHz">MHz, Hz</option>
              <option value="T">T, µT</option>
            </select>
          </label>
          <label>
            Numbers
            <select value={numbers.value} onChange={(e) => { numbers.value = e.currentTarget.value as typeof numbers.value; }}>
              <option value="en">1,234.5</option>
              <option value="de">1.234,5</option>
              <option value="fr">1 234,5</option>
            </select>
          </label>
          <label>
            Paper
            <select value={theme.value} onChange={(e) => { theme.value = e.currentTarget.value as typeof theme.value; }}>
              <option value="auto">as the system</option>
              <option value="light">light</option>
              <option value="dark">dark</option>
            </select>
          </label>
          <SignedIn />
        </div>
      </header>
      <div id="content" tabIndex={-1}>
        <Door>
          {() =>
            magnet === undefined ? (
              <Home />
            ) : visit === undefined ? (
              <MagnetPage key={magnet} id={magnet} />
            ) : visit === "take" ? (
              <TakePage key={`${magnet}/take`} id={magnet} />
            ) : (
              <VisitPage key={`${magnet}/${visit}`} id={magnet} visitId={visit} />
            )
          }
        </Door>
      </div>
    </>
  );
}
