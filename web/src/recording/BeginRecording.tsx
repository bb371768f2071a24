import { useState } from "preact/hooks";
import type { Magnet, Recording } from "../api";
import { ReaderChoice } from "../caller/ReaderChoice";
import { allowSound } from "../caller/voice";

interface Props {
  magnet: Magnet;
  recording: Recording;
  onBegin: (asked: object) => void;
}

const number = (text: string) => (text.trim() === "" ? {} : Number(text));

/** What is to be recorded, and by which reader. */
export function BeginRecording({ magnet, recording, onBegin }: Props) {
  const readers = recording.readers ?? [];
  const currents = recording.current_readers ?? [];
  const probes = magnet.probes ?? [];
  const [reader, setReader] = useState("");
  const [probe, setProbe] = useState(String(probes[Math.floor(probes.length / 2)] ?? ""));
  const [interval, setInterval] = useState("1");
  const [alarm, setAlarm] = useState("");
  const [current, setCurrent] = useState("");
  const [target, setTarget] = useState("");
  const chosen = readers.includes(reader) ? reader : (readers[0] ?? "");
  const begin = (e: Event) => {
    e.preventDefault();
    allowSound();
    onBegin({
      reader: chosen,
      interval_s: Number(interval),
      ...(probe === "" ? {} : { probe: Number(probe) }),
      ...(alarm === "" ? {} : { alarm_ppm: number(alarm) }),
      ...(current === "" ? {} : { current_reader: current }),
      ...(target === "" ? {} : { target_MHz: number(target) }),
    });
  };
  return (
    <form class="panel" onSubmit={begin}>
      <div class="ask">
        <ReaderChoice readers={readers} value={chosen} onChoose={setReader} />
        <label>
          Probe
          <select value={probe} onChange={(e) => setProbe(e.currentTarget.value)}>
            <option value="">all, one after the other</option>
            {probes.map((p) => (
              <option key={p} value={String(p)}>
                {p}
              </option>
            ))}
          </select>
        </label>
        <label>
          Seconds between readings
          <input type="number" min="0" step="any" required value={interval} onInput={(e) => setInterval(e.currentTarget.value)} />
        </label>
        <label>
          Alarm beyond, ppm
          <input type="number" min="0" step="any" placeholder="none" value={alarm} onInput={(e) => setAlarm(e.currentTarget.value)} />
        </label>
        <button type="submit">Start recording</button>
      </div>
      <details>
        <summary>While the field is run up or down</summary>
        <div class="ask">
          <label>
            Current of the magnet
            <select value={current} onChange={(e) => setCurrent(e.currentTarget.value)}>
              <option value="">is not read</option>
              {currents.map((c) => (
                <option key={c}>{c}</option>
              ))}
            </select>
          </label>
          <label>
            Where it leads, MHz
            <input type="number" min="0" step="any" placeholder="nowhere" value={target} onInput={(e) => setTarget(e.currentTarget.value)} />
          </label>
        </div>
        <p class="note">
          With either, rates look back five minutes instead of an hour. A profile with value_unit A, added to this magnet, reads the
          current.
        </p>
      </details>
      <p class="caution">{recording.caution}</p>
    </form>
  );
}
