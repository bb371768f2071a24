import { useState } from "preact/hooks";
import type { Capture } from "../api";
import { NoReader, ReaderChoice } from "./ReaderChoice";
import { allowSound } from "./voice";

interface Props {
  capture: Capture;
  onBegin: (asked: object) => void;
  onResume: (survey: string) => void;
}

/** What is to be taken, and by which reader. */
export function BeginSurvey({ capture, onBegin, onResume }: Props) {
  const readers = capture.readers ?? [];
  const [reader, setReader] = useState("");
  const [angles, setAngles] = useState("24");
  const [order, setOrder] = useState("least-twist");
  const [expected, setExpected] = useState("300");
  const chosen = readers.includes(reader) ? reader : (readers[0] ?? "");
  const list = angles.split(/[\s,;]+/).filter((a) => a !== "").map(Number);
  const begin = (e: Event) => {
    e.preventDefault();
    allowSound();
    onBegin({
      reader: chosen,
      order,
      expected_ppm: Number(expected),
      ...(list.length > 1 ? { angles_deg: list } : { angles: list[0] ?? 0 }),
    });
  };
  return (
    <>
      {(capture.unfinished ?? []).map((survey) => (
        <div class="panel" key={survey}>
          <h2>{survey} was left unfinished</h2>
          <p class="note">Every reading taken so far is kept. It goes on where it stopped.</p>
          <button
            type="button"
            onClick={() => {
              allowSound();
              onResume(survey);
            }}
          >
            Go on with {survey}
          </button>
        </div>
      ))}
      {readers.length === 0 ? (
        <NoReader />
      ) : (
        <form class="panel" onSubmit={begin}>
          <h2>Begin a new survey</h2>
          <div class="ask">
            <ReaderChoice readers={readers} value={chosen} onChoose={setReader} />
            <label>
              Angles, or a list of them
              <input value={angles} onInput={(e) => setAngles(e.currentTarget.value)} inputMode="decimal" />
            </label>
            <label>
              Order
              <select value={order} onChange={(e) => setOrder(e.currentTarget.value)}>
                <option value="least-twist">least twist of the cable</option>
                <option value="there-and-back">there and back</option>
                <option value="natural">as listed</option>
              </select>
            </label>
            <label>
              Inhomogeneity to expect, ppm
              <input type="number" min="1" step="any" value={expected} onInput={(e) => setExpected(e.currentTarget.value)} />
            </label>
            <button type="submit">Begin</button>
          </div>
          <p class="note">
            The first angle is read once more at the end, for the drift. Nothing here moves the array or drives a power supply.
          </p>
        </form>
      )}
    </>
  );
}
