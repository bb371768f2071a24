import { BufferAttribute, BufferGeometry, Color, DoubleSide, Mesh, MeshBasicMaterial, Points, PointsMaterial, Raycaster, SRGBColorSpace, Vector2, Vector3 } from "three";
import type { Surface } from "../api";
import { shades } from "../colours";
import { axes, NOMINAL, stageIn } from "./stage";
import type { Mark, Place } from "./surface";

export interface Ball {
  show(surface: Surface, scale: number, marks: Mark[], dark: boolean): void;
  /** Marks a point of what is shown; nothing else is drawn anew. */
  pick(place: Place | null): void;
  dispose(): void;
}

/** z of the bore points up on the screen. */
function direction(place: Place): Vector3 {
  const theta = (place.polarDeg * Math.PI) / 180;
  const phi = (place.azimuthDeg * Math.PI) / 180;
  return new Vector3(Math.sin(theta) * Math.cos(phi), Math.cos(theta), -Math.sin(theta) * Math.sin(phi));
}

/** Draws the surface in three dimensions. */
export function ballIn(host: HTMLElement, onPick: (place: Place) => void): Ball {
  const stage = stageIn(host);
  const { renderer, camera } = stage;
  let body: Mesh | null = null;
  let pin: Points | null = null;
  let shown: Surface | null = null;

  let pressed: [number, number] | null = null;
  renderer.domElement.addEventListener("pointerdown", (e) => {
    pressed = [e.clientX, e.clientY];
  });
  renderer.domElement.addEventListener("pointerup", (e) => {
    const still = pressed && Math.hypot(e.clientX - pressed[0], e.clientY - pressed[1]) < 4;
    if (!still || !body) {
      return;
    }
    const box = renderer.domElement.getBoundingClientRect();
    const at = new Vector2(
      (2 * (e.clientX - box.left)) / box.width - 1,
      1 - (2 * (e.clientY - box.top)) / box.height,
    );
    const ray = new Raycaster();
    ray.setFromCamera(at, camera);
    const hit = ray.intersectObject(body)[0];
    if (hit) {
      const p = hit.point.clone().normalize();
      onPick({
        polarDeg: (180 * Math.acos(p.y)) / Math.PI,
        azimuthDeg: ((180 * Math.atan2(-p.z, p.x)) / Math.PI + 360) % 360,
      });
    }
  });

  return {
    show(surface, scale, marks, dark) {
      body = surfaceMesh(surface, scale, dark);
      pin = cloud([new Vector3()], dark ? 0x8fe3c8 : 0x0a7f5e, 16);
      pin.visible = false;
      shown = surface;
      stage.show([body, ...axes(dark), ...points(surface, marks, dark), pin], dark);
    },
    pick(place) {
      if (pin && shown) {
        pin.visible = place !== null;
        if (place) {
          pin.position.copy(above(shown, [place])[0] as Vector3);
        }
        stage.draw();
      }
    },
    dispose: stage.dispose,
  };
}

/** Points a little above the surface. */
function above(surface: Surface, places: Place[]): Vector3[] {
  const r = surface.r_mm;
  const largest = typeof r === "number" ? 1 : r.reduce((a, b) => Math.max(a, b), 0);
  return places.map((p) => {
    const i = Math.round((p.polarDeg / 180) * surface.polar_steps);
    const j = Math.round(((((p.azimuthDeg % 360) + 360) % 360) / 360) * surface.azimuth_steps);
    const own = typeof r === "number" ? 1 : (r[i * (surface.azimuth_steps + 1) + j] ?? largest);
    return direction(p).multiplyScalar((1.015 * NOMINAL * own) / largest);
  });
}

function cloud(points: Vector3[], colour: number, size: number): Points {
  const geometry = new BufferGeometry().setFromPoints(points);
  return new Points(geometry, new PointsMaterial({ color: colour, size, sizeAttenuation: false }));
}

function surfaceMesh(surface: Surface, scale: number, dark: boolean): Mesh {
  const rows = surface.polar_steps + 1;
  const columns = surface.azimuth_steps + 1;
  const positions = new Float32Array(3 * rows * columns);
  const colours = new Float32Array(3 * rows * columns);
  const shade = shades(dark);
  const colour = new Color();
  const radii = typeof surface.r_mm === "number" ? null : surface.r_mm;
  const largest = radii ? radii.reduce((a, b) => Math.max(a, b), 0) : 1;
  for (let i = 0; i < rows; i++) {
    for (let j = 0; j < columns; j++) {
      const k = i * columns + j;
      const r = radii ? (NOMINAL * (radii[k] ?? largest)) / largest : NOMINAL;
      const p = direction({
        polarDeg: (180 * i) / surface.polar_steps,
        azimuthDeg: (360 * j) / surface.azimuth_steps,
      }).multiplyScalar(r);
      positions.set([p.x, p.y, p.z], 3 * k);
      const [red, green, blue] = shade((surface.ppm[k] ?? 0) / scale);
      colour.setRGB(red / 255, green / 255, blue / 255, SRGBColorSpace);
      colours.set([colour.r, colour.g, colour.b], 3 * k);
    }
  }
  const index: number[] = [];
  for (let i = 0; i + 1 < rows; i++) {
    for (let j = 0; j + 1 < columns; j++) {
      const a = i * columns + j;
      index.push(a, a + columns, a + 1, a + 1, a + columns, a + columns + 1);
    }
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(positions, 3));
  geometry.setAttribute("color", new BufferAttribute(colours, 3));
  geometry.setIndex(index);
  return new Mesh(geometry, new MeshBasicMaterial({ vertexColors: true, side: DoubleSide }));
}

function points(surface: Surface, marks: Mark[], dark: boolean): Points[] {
  const kinds: [Mark["kind"], number, number][] = [
    ["used", dark ? 0xdddddd : 0x222222, 3],
    ["aside", dark ? 0xffe08a : 0x7a1f5c, 9],
    ["extreme", dark ? 0xffffff : 0x000000, 12],
  ];
  return kinds.map(([kind, colour, size]) =>
    cloud(
      above(
        surface,
        marks.filter((m) => m.kind === kind),
      ),
      colour,
      size,
    ),
  );
}
