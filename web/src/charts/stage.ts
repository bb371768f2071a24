import {
  AmbientLight,
  BufferGeometry,
  CanvasTexture,
  Color,
  Group,
  LineBasicMaterial,
  LineSegments,
  type Material,
  Mesh,
  type Object3D,
  PerspectiveCamera,
  Points,
  Scene,
  Sprite,
  SpriteMaterial,
  Vector3,
  WebGLRenderer,
} from "three";
import { OrbitControls } from "three/addons/controls/OrbitControls.js";

/** The largest radius of what is drawn, in units of the scene. */
export const NOMINAL = 100;

export interface Stage {
  renderer: WebGLRenderer;
  camera: PerspectiveCamera;
  show(content: Object3D[], dark: boolean): void;
  /** Draws once more, as soon as the browser has a frame for it. */
  draw(): void;
  dispose(): void;
}

/** A view that can be turned and zoomed, drawn on demand only: without a graphics card a frame takes long. */
export function stageIn(host: HTMLElement): Stage {
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
  let shown = new Group();
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

  return {
    renderer,
    camera,
    show(content, dark) {
      scene.remove(shown);
      release(shown);
      shown = new Group();
      scene.background = new Color(dark ? 0x1b201f : 0xfbf9f4);
      shown.add(...content);
      scene.add(shown);
      draw();
    },
    draw,
    dispose() {
      watcher.disconnect();
      cancelAnimationFrame(frame);
      release(shown);
      controls.dispose();
      renderer.dispose();
      renderer.domElement.remove();
    },
  };
}

/** Gives back what the graphics card holds of things that are drawn no more. */
function release(group: Group) {
  group.traverse((thing) => {
    if (thing instanceof Mesh || thing instanceof Points || thing instanceof LineSegments || thing instanceof Sprite) {
      thing.geometry.dispose();
      (thing.material as Material).dispose();
      (thing.material as SpriteMaterial).map?.dispose();
    }
  });
}

/** The three axes of the bore with their names, z upwards. */
export function axes(dark: boolean) {
  const reach = 1.35 * NOMINAL;
  const ends = [new Vector3(reach, 0, 0), new Vector3(0, 0, -reach), new Vector3(0, reach, 0)];
  const ink = dark ? 0xe8e4da : 0x2b3330;
  const lines = new BufferGeometry().setFromPoints(ends.flatMap((e) => [e.clone().negate(), e]));
  const segments = new LineSegments(lines, new LineBasicMaterial({ color: ink, transparent: true, opacity: 0.6 }));
  const names = ["+x", "+y", "+z"].map((name, k) => label(name, (ends[k] as Vector3).clone().multiplyScalar(1.08), dark));
  return [segments, ...names];
}

export function label(text: string, at: Vector3, dark: boolean): Sprite {
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
