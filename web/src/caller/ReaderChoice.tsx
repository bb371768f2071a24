const SIMULATED = "simulated-reader.yaml";

/** Which reader is spoken to. */
export function ReaderChoice({ readers, value, onChoose }: { readers: string[]; value: string; onChoose: (reader: string) => void }) {
  return (
    <label>
      Reader
      <select value={value} onChange={(e) => onChoose(e.currentTarget.value)}>
        {readers.map((r) => (
          <option key={r} value={r}>
            {r === SIMULATED ? "simulated, to practise with" : r}
          </option>
        ))}
      </select>
    </label>
  );
}

/** Where there is none. */
export function NoReader() {
  return (
    <p class="answer">
      No reader is known here. Write its profile, as docs/formats/reader-profile.md says, and add the file to this magnet.
    </p>
  );
}
