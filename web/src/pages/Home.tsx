import { useState } from "preact/hooks";
import { asProblem, get, type HistoryEntry, type MagnetSummary, post, type Problem } from "../api";
import { Spark } from "../charts/Spark";
import { addMagnet } from "../drop";
import { fixed } from "../format";
import { goTo } from "../Frame";
import { DropPlace } from "../DropPlace";
import { Needs, Trouble, useLoaded } from "../parts";
import { homeSentence } from "../sentences";

export function Home() {
  const [again, setAgain] = useState(0);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [busy, setBusy] = useState("");
  const magnets = useLoaded(`magnets ${again}`, (s) => get<{ magnets: MagnetSummary[] }>("magnets", s));

  const during = async (what: string, work: () => Promise<string>) => {
    setBusy(what);
    setProblem(null);
    try {
      goTo(await work());
    } catch (e) {
      setProblem(asProblem(e));
    } finally {
      setBusy("");
    }
  };
  const sample = () => during("Surveying the sample magnet …", async () => (await post<{ id: string }>("sample", {})).id);
  const list = magnets.value?.magnets ?? [];
  return (
    <main class="home">
      <h1>Your magnets</h1>
      {problem && <Trouble problem={problem} />}
      {magnets.problem && <Trouble problem={magnets.problem} onRetry={() => setAgain(again + 1)} />}
      {busy && (
        <p class="waiting" role="status">
          {busy}
        </p>
      )}
      {magnets.value && list.length === 0 && (
        <p class="answer">
          Nothing is kept here yet. A magnet begins with two files: one that describes it, one with its readings.
        </p>
      )}
      <ul class="cards">
        {list.map((m) => (
          <MagnetCard key={m.id} magnet={m} />
        ))}
      </ul>
      <div class="begin">
        <DropPlace
          label="Add a magnet"
          hint="Drop its magnet file (.yaml) here, with surveys (.csv, .xlsx) if you like, or choose them."
          onFiles={(files) => during("Adding …", () => addMagnet(files))}
        />
        <div class="panel">
          <h2>No magnet at hand?</h2>
          <p>
            The sample is an invented {fixed(0.55, 2)} T magnet, re-commissioned after a move: surveyed once, out of its limits. It
            can be loaded and surveyed again as often as you like.
          </p>
          <Needs role="measure" to="Adding it">
            <button type="button" onClick={sample} disabled={busy !== ""}>
              Open the sample magnet
            </button>
          </Needs>
        </div>
      </div>
    </main>
  );
}

function MagnetCard({ magnet }: { magnet: MagnetSummary }) {
  const history = useLoaded(magnet.complaint ? null : magnet.id, (s) =>
    get<{ surveys: HistoryEntry[] }>(`magnets/${magnet.id}/history`, s),
  );
  const surveys = history.value?.surveys ?? [];
  const first = surveys.flatMap((s) => s.limits?.[0]?.value_ppm ?? []);
  const limit = surveys.find((s) => s.limits?.[0])?.limits?.[0];
  const latest = first[first.length - 1];
  return (
    <li class="card">
      <a href={`#/${magnet.id}`}>
        <strong>{magnet.name}</strong>
        <span class="soft">
          {[magnet.serial, magnet.field_T ? `${fixed(magnet.field_T, 2)} T` : null].filter(Boolean).join(" · ")}
        </span>
        {magnet.complaint ? (
          <span class="complaint">{magnet.complaint}</span>
        ) : (
          <>
            <Spark
              values={first}
              limit={limit?.limit_ppm ?? null}
              label={`Homogeneity of ${first.length} surveys, last ${fixed(latest, 1)} ppm`}
            />
            <span class="soft">
              {history.busy
                ? "reading its surveys …"
                : surveys.length === 0
                  ? "no survey yet"
                  : homeSentence(surveys.length, limit?.id ?? "", latest)}
            </span>
          </>
        )}
      </a>
    </li>
  );
}
