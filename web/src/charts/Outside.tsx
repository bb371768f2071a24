import { useEffect, useRef, useState } from "preact/hooks";
import type { OutsideIron } from "../api";
import { isDark } from "../settings";
import type { Surroundings } from "./outsideScene";

/** The bore and what lies outside it in three dimensions; what draws it is fetched only now. */
export function Outside({ found, description }: { found: OutsideIron; description: string }) {
  const host = useRef<HTMLDivElement>(null);
  const [drawn, setDrawn] = useState<Surroundings | null>(null);
  const [failed, setFailed] = useState(false);
  const dark = isDark.value;
  useEffect(() => {
    let made: Surroundings | null = null;
    let gone = false;
    import("./outsideScene")
      .then(({ surroundingsIn }) => {
        if (host.current && !gone) {
          made = surroundingsIn(host.current);
          setDrawn(made);
        }
      })
      .catch(() => setFailed(true));
    return () => {
      gone = true;
      made?.dispose();
    };
  }, []);
  useEffect(() => {
    drawn?.show(found, dark);
  }, [drawn, found, dark]);
  if (failed) {
    return <p class="note">This browser draws nothing in three dimensions; the table tells the same.</p>;
  }
  return <div class="ball" ref={host} role="img" aria-label={description} />;
}
