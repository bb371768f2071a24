import { CylinderGeometry, DoubleSide, Matrix4, Mesh, MeshBasicMaterial, type Object3D, SphereGeometry, Vector3 } from "three";
import type { OutsideIron, Triple } from "../api";
import { scaleOf, semiAxes } from "./outside";
import { axes, label, NOMINAL, stageIn } from "./stage";

export interface Surroundings {
  show(found: OutsideIron, dark: boolean): void;
  dispose(): void;
}

/** z of the bore points up on the screen. */
function inScene([x, y, z]: Triple, scale: number): Vector3 {
  return new Vector3(x, z, -y).multiplyScalar(scale);
}

function glass(color: number, opacity: number) {
  return new MeshBasicMaterial({ color, opacity, transparent: true, side: DoubleSide, depthWrite: false });
}

/** Draws the bore, the sphere that was read and what was found outside, all at one scale. */
export function surroundingsIn(host: HTMLElement): Surroundings {
  const stage = stageIn(host);
  return {
    show(found, dark) {
      const scale = NOMINAL / scaleOf(found);
      const read = new Mesh(new SphereGeometry(found.read_to_mm * scale, 32, 24), glass(dark ? 0x8fb8e8 : 0x2b5f9e, 0.35));
      const content: Object3D[] = [read, ...axes(dark)];
      if (found.bore) {
        const { radius_mm, half_length_mm } = found.bore;
        const wall = new CylinderGeometry(radius_mm * scale, radius_mm * scale, 2 * half_length_mm * scale, 48, 1, true);
        content.push(new Mesh(wall, glass(dark ? 0xbfc7c2 : 0x6a746f, 0.18)));
      }
      found.sources.forEach((s, k) => {
        const colour = dark ? 0xffb86b : 0xb3410e;
        const [a, b, c] = semiAxes(s.ellipsoid_95_mm, 1 / scale).map((v) => inScene(v, scale)) as [Vector3, Vector3, Vector3];
        const ellipsoid = new Mesh(new SphereGeometry(1, 24, 16), glass(colour, 0.5));
        ellipsoid.applyMatrix4(new Matrix4().makeBasis(a, b, c).setPosition(inScene(s.at_mm, scale)));
        const middle = new Mesh(new SphereGeometry(2, 16, 12), new MeshBasicMaterial({ color: colour }));
        middle.position.copy(inScene(s.at_mm, scale));
        content.push(ellipsoid, middle, label(String(k + 1), middle.position.clone().add(new Vector3(0, 9, 0)), dark));
      });
      stage.show(content, dark);
    },
    dispose: stage.dispose,
  };
}
