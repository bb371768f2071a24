import { useEffect, useRef } from "preact/hooks";
import type { Capture } from "../api";
import { someOf } from "../sentences";
import { degrees, same } from "./words";

interface Props {
  angle: number;
  capture: Capture;
  act: (action: string, more?: object) => void;
  onDone: () => void;
}

/** What can be done about one angle. */
export function Picked({ angle, capture, act, onDone }: Props) {
  const first = useRef<HTMLButtonElement>(null);
  useEffect(() => first.current?.focus(), [angle]);
  const found = capture.angles?.find((a) => same(a.angle_deg, angle));
  const silent = found?.silent ?? [];
  const does = (action: string) => () => {
    act(action, { angle_deg: angle });
    onDone();
  };
  return (
    <div class="panel caller-picked" role="group" aria-label={`What to do about ${degrees(angle)}`} onKeyDown={(e) => e.key === "Escape" && onDone()}>
      <strong>{degrees(angle)}</strong>
      {silent.length > 0 && (
        <button type="button" ref={first} onClick={does("repeat")}>
          {silent.length > 1 ? `Read only probes ${someOf(silent.map(String))} again` : `Read only probe ${silent[0]} again`}
        </button>
      )}
      {found?.taken ? (
        <button type="button" ref={silent.length > 0 ? undefined : first} onClick={does("retake")}>
          Take the whole angle again
        </button>
      ) : (
        <span>was not read yet; it is asked for in its turn.</span>
      )}
      <button type="button" class="plain" ref={found?.taken ? undefined : first} onClick={onDone}>
        Leave it
      </button>
    </div>
  );
}
