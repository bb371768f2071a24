import { get, type Magnet, Problem, put } from "./api";

// Files that a person drops on the page become files of a magnet.

/** A name the server takes: letters, digits, - and _, with its ending kept. */
export function fileName(given: string): string {
  const own = given.slice(Math.max(given.lastIndexOf("/"), given.lastIndexOf("\\")) + 1);
  const cut = own.lastIndexOf(".");
  const base = cut > 0 ? own.slice(0, cut) : own;
  const ending = cut > 0 ? own.slice(cut + 1).toLowerCase() : "txt";
  const plain = base
    .normalize("NFKD")
    .replace(/[^A-Za-z0-9_-]+/g, "-")
    .replace(/^-+|-+$/g, "");
  return `${plain || "file"}.${ending.replace(/[^a-z0-9]/g, "") || "txt"}`;
}

/** A magnet's id from what its file calls it. */
export function magnetId(yaml: string): string {
  const serial = /^\s*serial:\s*["']?([^"'\n#]+)/m.exec(yaml)?.[1];
  const name = /^\s*name:\s*["']?([^"'\n#]+)/m.exec(yaml)?.[1];
  const id = (serial ?? name ?? "magnet")
    .trim()
    .normalize("NFKD")
    .replace(/[^A-Za-z0-9_-]+/g, "-")
    .replace(/^-+|-+$/g, "")
    .toLowerCase()
    .slice(0, 48);
  return id || "magnet";
}

function isMagnetFile(file: File): boolean {
  return /\.ya?ml$/i.test(file.name) && !/^scenario/i.test(file.name);
}

/** Adds a magnet with the files beside it; answers its id. */
export async function addMagnet(files: File[]): Promise<string> {
  const description = files.find(isMagnetFile);
  if (!description) {
    throw new Problem(
      422,
      "No magnet file among them",
      "A magnet begins with its magnet file (.yaml). Drop it, with its surveys if you like.",
    );
  }
  const id = magnetId(await description.text());
  await put(`magnets/${id}/files/magnet.yaml`, description, null).catch((e) => {
    throw e instanceof Problem && e.status === 412
      ? new Problem(412, "This magnet is here already", `Open ${id} and add the files there.`)
      : e;
  });
  await addFiles(
    id,
    files.filter((f) => f !== description),
  );
  return id;
}

/** Adds files to a magnet; one whose name is taken gets a number. Answers the names they lie under. */
export async function addFiles(magnet: string, files: File[]): Promise<string[]> {
  const there = new Set((await get<Magnet>(`magnets/${magnet}`)).files.map((f) => f.file));
  const added: string[] = [];
  for (const file of files) {
    let name = fileName(file.name);
    const tables = ["installed.csv", "pockets.csv"]; // the magnet file knows them by name
    for (let k = 2; there.has(name) && !tables.includes(name); k++) {
      name = fileName(file.name).replace(/(\.[a-z0-9]+)$/, `-${k}$1`);
    }
    await put(`magnets/${magnet}/files/${name}`, file, null);
    there.add(name);
    added.push(name);
  }
  return added;
}
