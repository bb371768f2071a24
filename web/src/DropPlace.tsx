import { useRef, useState } from "preact/hooks";
import { may, whyNot } from "./session";

/** Where files can be dropped or chosen. */
export function DropPlace(props: { label: string; hint: string; onFiles: (files: File[]) => void }) {
  const input = useRef<HTMLInputElement>(null);
  const [over, setOver] = useState(false);
  const take = (list: FileList | null | undefined) => {
    if (list && list.length > 0) {
      props.onFiles([...list]);
    }
  };
  if (!may("measure")) {
    return <p class="note not-yours">{whyNot(props.label, "measure")}</p>;
  }
  return (
    <div
      class={over ? "drop panel drop-over" : "drop panel"}
      onDragOver={(e) => {
        e.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => setOver(false)}
      onDrop={(e) => {
        e.preventDefault();
        setOver(false);
        take(e.dataTransfer?.files);
      }}
    >
      <h2>{props.label}</h2>
      <p>{props.hint}</p>
      <button type="button" onClick={() => input.current?.click()}>
        Choose files
      </button>
      <input
        ref={input}
        type="file"
        multiple
        hidden
        aria-label={props.label}
        accept=".yaml,.yml,.csv,.txt,.xlsx"
        onChange={(e) => {
          take(e.currentTarget.files);
          e.currentTarget.value = "";
        }}
      />
    </div>
  );
}
