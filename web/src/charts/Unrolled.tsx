import { useEffect, useRef } from "preact/hooks";
import type { Surface } from "../api";
import { shades } from "../colours";
import { isDark } from "../settings";
import { contour, type Mark, type Place, roundStep, valueAt } from "./surface";

interface Props {
  surface: Surface;
  /** ppm at which the colours end, on either side. */
  scale: number;
  marks: Mark[];
  picked: Place | null;
  onPick: (place: Place) => void;
  description: string;
}

const HEIGHT = 260;

/** The surface unrolled: azimuth to the right, +z at the top. */
export function Unrolled(props: Props) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const { surface, scale, marks, picked } = props;
  const dark = isDark.value;
  useEffect(() => {
    const element = canvas.current;
    if (element) {
      const draw = () => paint(element, surface, scale, marks, picked, dark);
      draw();
      const watcher = new ResizeObserver(draw);
      watcher.observe(element);
      return () => watcher.disconnect();
    }
  }, [surface, scale, marks, picked, dark]);

  const pick = (event: MouseEvent) => {
    const box = (event.currentTarget as HTMLElement).getBoundingClientRect();
    props.onPick({
      polarDeg: (180 * (event.clientY - box.top)) / box.height,
      azimuthDeg: (360 * (event.clientX - box.left)) / box.width,
    });
  };
  const step = (event: KeyboardEvent) => {
    const from = picked ?? { polarDeg: 90, azimuthDeg: 0 };
    const moves: Record<string, [number, number]> = {
      ArrowUp: [-2.5, 0],
      ArrowDown: [2.5, 0],
      ArrowLeft: [0, -2.5],
      ArrowRight: [0, 2.5],
    };
    const move = moves[event.key];
    if (move) {
      event.preventDefault();
      props.onPick({
        polarDeg: Math.min(180, Math.max(0, from.polarDeg + move[0])),
        azimuthDeg: (from.azimuthDeg + move[1] + 360) % 360,
      });
    }
  };
  return (
    <div class="unrolled">
      <div class="unrolled-y" aria-hidden="true">
        <span>0°</span>
        <span>polar 90°</span>
        <span>180°</span>
      </div>
      <canvas
        ref={canvas}
        height={HEIGHT}
        tabIndex={0}
        role="img"
        aria-label={`${props.description} Arrow keys move the point that is looked at.`}
        onClick={pick}
        onKeyDown={step}
      />
      <div class="unrolled-x" aria-hidden="true">
        <span>0°</span>
        <span>90°</span>
        <span>azimuth 180°</span>
        <span>270°</span>
        <span>360°</span>
      </div>
    </div>
  );
}

/** All but the point picked, of the last few surfaces drawn: that point moves and nothing else. */
const backdrops = new WeakMap<Surface, { key: string; marks: Mark[]; picture: HTMLCanvasElement }>();

function backdrop(surface: Surface, scale: number, marks: Mark[], dark: boolean, width: number, ratio: number): HTMLCanvasElement {
  const key = `${width} ${ratio} ${scale} ${dark}`;
  const before = backdrops.get(surface);
  if (before?.key === key && before.marks === marks) {
    return before.picture;
  }
  const picture = document.createElement("canvas");
  picture.width = width * ratio;
  picture.height = HEIGHT * ratio;
  const context = picture.getContext("2d");
  if (context) {
    context.putImageData(coloured(context, picture, surface, scale, dark), 0, 0);
    context.scale(ratio, ratio);
    drawContours(context, surface, scale, dark, width);
    drawMarks(context, marks, dark, width);
  }
  backdrops.set(surface, { key, marks, picture });
  return picture;
}

function coloured(
  context: CanvasRenderingContext2D,
  { width, height }: HTMLCanvasElement,
  surface: Surface,
  scale: number,
  dark: boolean,
): ImageData {
  const shade = shades(dark);
  const picture = context.createImageData(width, height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const t = valueAt(surface, { polarDeg: (180 * (y + 0.5)) / height, azimuthDeg: (360 * (x + 0.5)) / width }) / scale;
      const [r, g, b] = shade(t);
      const at = 4 * (y * width + x);
      picture.data[at] = r;
      picture.data[at + 1] = g;
      picture.data[at + 2] = b;
      picture.data[at + 3] = 255;
    }
  }
  return picture;
}

function drawContours(context: CanvasRenderingContext2D, surface: Surface, scale: number, dark: boolean, width: number) {
  const dx = width / surface.azimuth_steps;
  const dy = HEIGHT / surface.polar_steps;
  const step = roundStep(2 * scale, 12);
  context.strokeStyle = dark ? "rgb(255 255 255 / 0.35)" : "rgb(0 0 0 / 0.3)";
  for (let level = Math.ceil(-scale / step) * step; level <= scale; level += step) {
    context.lineWidth = Math.abs(level) < step / 2 ? 1.6 : 0.7;
    context.beginPath();
    for (const [i0, j0, i1, j1] of contour(surface, level)) {
      context.moveTo(j0 * dx, i0 * dy);
      context.lineTo(j1 * dx, i1 * dy);
    }
    context.stroke();
  }
}

/** Each kind is one path: ten thousand of their own take ten times as long. */
function drawMarks(context: CanvasRenderingContext2D, marks: Mark[], dark: boolean, width: number) {
  const at = (mark: Mark): [number, number] => [
    (((mark.azimuthDeg % 360) + 360) % 360) * (width / 360),
    mark.polarDeg * (HEIGHT / 180),
  ];
  const path = (kind: Mark["kind"], trace: (x: number, y: number) => void) => {
    context.beginPath();
    for (const mark of marks) {
      if (mark.kind === kind) {
        trace(...at(mark));
      }
    }
  };
  path("used", (x, y) => context.rect(x - 1.1, y - 1.1, 2.2, 2.2));
  context.fillStyle = dark ? "rgb(255 255 255 / 0.5)" : "rgb(0 0 0 / 0.45)";
  context.fill();
  context.strokeStyle = dark ? "#fff" : "#111";
  context.lineWidth = 2;
  path("aside", (x, y) => {
    context.moveTo(x - 4, y - 4);
    context.lineTo(x + 4, y + 4);
    context.moveTo(x + 4, y - 4);
    context.lineTo(x - 4, y + 4);
  });
  context.stroke();
  path("extreme", (x, y) => {
    context.moveTo(x + 6, y);
    context.arc(x, y, 6, 0, 2 * Math.PI);
  });
  context.stroke();
}

function paint(
  canvas: HTMLCanvasElement,
  surface: Surface,
  scale: number,
  marks: Mark[],
  picked: Place | null,
  dark: boolean,
) {
  const ratio = window.devicePixelRatio || 1;
  const width = Math.max(200, canvas.clientWidth);
  canvas.width = width * ratio;
  canvas.height = HEIGHT * ratio;
  const context = canvas.getContext("2d");
  if (!context) {
    return;
  }
  context.drawImage(backdrop(surface, scale, marks, dark, width, ratio), 0, 0);
  if (picked) {
    context.scale(ratio, ratio);
    const x = picked.azimuthDeg * (width / 360);
    const y = picked.polarDeg * (HEIGHT / 180);
    context.strokeStyle = dark ? "#fff" : "#111";
    context.lineWidth = 1.5;
    context.beginPath();
    context.moveTo(x - 12, y);
    context.lineTo(x + 12, y);
    context.moveTo(x, y - 12);
    context.lineTo(x, y + 12);
    context.stroke();
  }
}
