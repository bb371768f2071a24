import { useEffect, useRef, useState } from "preact/hooks";
import type { Surface } from "../api";
import { isDark } from "../settings";
import type { Ball as Drawn } from "./sphereScene";
import type { Mark, Place } from "./surface";

interface Props {
  surface: Surface;
  scale: number;
  marks: Mark[];
  picked: Place | null;
  onPick: (place: Place) => void;
  description: string;
}

/** The surface in three dimensions; what draws it is fetched only now. */
export function Ball(props: Props) {
  const host = useRef<HTMLDivElement>(null);
  const [drawn, setDrawn] = useState<Drawn | null>(null);
  const [failed, setFailed] = useState(false);
  const dark = isDark.value;
  useEffect(() => {
    let made: Drawn | null = null;
    let gone = false;
    import("./sphereScene")
      .then(({ ballIn }) => {
        if (host.current && !gone) {
          made = ballIn(host.current, props.onPick);
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
    drawn?.show(props.surface, props.scale, props.marks, dark);
  }, [drawn, props.surface, props.scale, props.marks, dark]);
  useEffect(() => {
    drawn?.pick(props.picked);
  }, [drawn, props.surface, props.scale, props.marks, dark, props.picked]);
  if (failed) {
    return <p class="note">This browser draws nothing in three dimensions; the unrolled picture shows the same.</p>;
  }
  return <div class="ball" ref={host} role="img" aria-label={props.description} />;
}
