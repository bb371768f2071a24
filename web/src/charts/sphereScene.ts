import {
  AmbientLight,
  BufferAttribute,
  BufferGeometry,
  CanvasTexture,
  Color,
  DoubleSide,
  Group,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshBasicMaterial,
  PerspectiveCamera,
  Points,
  PointsMaterial,
  Raycaster,
  Scene,
  Sprite,
  SpriteMaterial,
  Vector2,
  Vector3,
  WebGLRenderer,
} from "three";
import { OrbitControls } from "three/addons/controls/OrbitControls.js";
import type { Surface } from "../api";
import { diverging } from "../colours";
import type { Mark, Place } from "./surface";

export interface Ball {
  show(surface: Surface, scale: number, marks: Mark[], picked: Place | null, dark: boolean): void;
  dispose(): void;
}

const NOMINAL = 100; // the largest radius of what is drawn, in units of the scene

/** z of the bore points up on the screen. */
function direction(place: Place): Vector3 {
  const theta = (place.polarDeg * Math.PI) / 180;
  const phi = (place.azimuthDeg * Math.PI) / 180;
  return new Vector3(Math.sin(theta) * Math.cos(phi), Math.cos(theta), -Math.sin(theta) * Math.sin(phi));
}

/** Draws the surface in three dimensions, on demand only: without a graphics card a frame takes long. */
export function ballIn(host: HTMLElement, onPick: (place: Place) => void): Ball {
  const renderer = new WebGLRenderer({ antialias: true, preserveDrawingBuffer: true });
  renderer.setPixelRatio(Math.min(2, window.devicePixelRatio));
  host.append(renderer.domElement);
  const scene = new Scene();
  scene.add(new AmbientLight(0xffffff, 1));
  const camera = new PerspectiveCamera(35, 1, 1, 2000);
  camera.position.set(240, 150, -260);
  const controls = new OrbitControls(camera, renderer.domElement);
  controls.enablePan = false;
  controls.minDistance = 180;
  controls.maxDistance = 800;
  let content = new Group();
  let body: Mesh | null = null;
  let frame = 0;

  const draw = () => {
    cancelAnimationFrame(frame);
    frame = requestAnimationFrame(() => renderer.render(scene, camera));
  };
  const resize = () => {
    const width = Math.max(200, host.clientWidth);
    const height = Math.max(200, host.clientHeight);
    renderer.setSize(width, height);
    camera.aspect = width / height;
    camera.updateProjectionMatrix();
    draw();
  };
  const watcher = new ResizeObserver(resize);
  watcher.observe(host);
  controls.addEventListener("change", draw);

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
    show(surface, scale, marks, picked, dark) {
      scene.remove(content);
      content = new Group();
      scene.background = new Color(dark ? 0x1b201f : 0xfbf9f4);
      body = surfaceMesh(surface, scale, dark);
      content.add(body, ...axes(dark), ...points(surface, marks, picked, dark));
      scene.add(content);
      resize();
    },
    dispose() {
      watcher.disconnect();
      controls.dispose();
      renderer.dispose();
      renderer.domElement.remove();
    },
  };
}

function radiusAt(surface: Surface, index: number): number {
  const r = surface.r_mm;
  if (typeof r === "number") {
    return NOMINAL;
  }
  const largest = r.reduce((a, b) => Math.max(a, b), 0);
  return (NOMINAL * (r[index] ?? largest)) / largest;
}

function surfaceMesh(surface: Surface, scale: number, dark: boolean): Mesh {
  const rows = surface.polar_steps + 1;
  const columns = surface.azimuth_steps + 1;
  const positions = new Float32Array(3 * rows * columns);
  const colours = new Float32Array(3 * rows * columns);
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
      const c = new Color(`rgb(${diverging((surface.ppm[k] ?? 0) / scale, dark).join(",")})`);
      colours.set([c.r, c.g, c.b], 3 * k);
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

function axes(dark: boolean) {
  const reach = 1.35 * NOMINAL;
  const ends = [new Vector3(reach, 0, 0), new Vector3(0, 0, -reach), new Vector3(0, reach, 0)];
  const ink = dark ? 0xe8e4da : 0x2b3330;
  const lines = new BufferGeometry().setFromPoints(ends.flatMap((e) => [e.clone().negate(), e]));
  const segments = new LineSegments(lines, new LineBasicMaterial({ color: ink, transparent: true, opacity: 0.6 }));
  const names = ["+x", "+y", "+z"].map((name, k) => label(name, (ends[k] as Vector3).clone().multiplyScalar(1.08), dark));
  return [segments, ...names];
}

function label(text: string, at: Vector3, dark: boolean): Sprite {
  const canvas = document.createElement("canvas");
  canvas.width = 64;
  canvas.height = 32;
  const context = canvas.getContext("2d");
  if (context) {
    context.font = "600 24px system-ui";
    context.textAlign = "center";
    context.textBaseline = "middle";
    context.fillStyle = dark ? "#e8e4da" : "#2b3330";
    context.fillText(text, 32, 16);
  }
  const sprite = new Sprite(new SpriteMaterial({ map: new CanvasTexture(canvas), depthTest: false }));
  sprite.position.copy(at);
  sprite.scale.set(28, 14, 1);
  return sprite;
}

function points(surface: Surface, marks: Mark[], picked: Place | null, dark: boolean) {
  const kinds: [Mark["kind"] | "picked", number, number][] = [
    ["used", dark ? 0xdddddd : 0x222222, 3],
    ["aside", dark ? 0xffe08a : 0x7a1f5c, 9],
    ["extreme", dark ? 0xffffff : 0x000000, 12],
  ];
  const all: Points[] = [];
  const cloud = (places: Place[], colour: number, size: number) => {
    const geometry = new BufferGeometry().setFromPoints(
      places.map((p) => {
        const i = Math.round((p.polarDeg / 180) * surface.polar_steps);
        const j = Math.round((((p.azimuthDeg % 360) + 360) % 360) / 360 * surface.azimuth_steps);
        return direction(p).multiplyScalar(1.015 * radiusAt(surface, i * (surface.azimuth_steps + 1) + j));
      }),
    );
    all.push(new Points(geometry, new PointsMaterial({ color: colour, size, sizeAttenuation: false })));
  };
  for (const [kind, colour, size] of kinds) {
    cloud(
      marks.filter((m) => m.kind === kind),
      colour,
      size,
    );
  }
  if (picked) {
    cloud([picked], dark ? 0x8fe3c8 : 0x0a7f5e, 16);
  }
  return all;
}
