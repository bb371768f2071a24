import { useEffect, useRef } from "preact/hooks";
import uPlot from "uplot";
import "uplot/dist/uPlot.min.css";
import { fixed } from "../format";
import { isDark, numbers } from "../settings";

export interface Curve {
  label: string;
  values: (number | null)[];
  colour?: string;
  width?: number;
  dash?: number[];
  /** Points only, no line. */
  dots?: number;
}

interface Props {
  x: number[];
  xLabel: string;
  yLabel: string;
  curves: Curve[];
  /** Pairs of curves by index, the upper first, between which a band is drawn. */
  bands?: { upper: number; lower: number }[];
  /** Horizontal lines with a name. */
  rules?: { at: number; from?: number; to?: number; label: string }[];
  height?: number;
  /** What the plot shows, for who cannot see it. */
  description: string;
  onPick?: (index: number, curve: number | null) => void;
}

function cssValue(name: string): string {
  return getComputedStyle(document.documentElement).getPropertyValue(name).trim();
}

/** Curves over a common x, drawn on a canvas; ten thousand points stay smooth. */
export function Lines(props: Props) {
  const host = useRef<HTMLDivElement>(null);
  const drawn = useRef<uPlot | null>(null);
  const latest = useRef(props);
  latest.current = props;
  // What a plot is built of; new numbers and other units alone go into the plot that is there.
  const build = JSON.stringify([props.curves.map((c) => [c.label, c.colour, c.width, c.dots]), props.height]);
  const dark = isDark.value;
  const locale = numbers.value;
  useEffect(() => {
    const element = host.current;
    if (!element || latest.current.x.length === 0) {
      return;
    }
    const ink = cssValue("--ink-soft");
    const grid = { stroke: cssValue("--hairline"), width: 1 };
    const axis = { stroke: ink, grid, ticks: grid, font: "12px system-ui", labelFont: "12px system-ui" };
    const values = (_: uPlot, splits: number[]) => {
      const step = splits.length > 1 ? Math.abs((splits[1] ?? 0) - (splits[0] ?? 0)) : 1;
      const first = Math.max(0, Math.min(4, -Math.floor(Math.log10(step))));
      const decimals = Math.abs(step * 10 ** first - Math.round(step * 10 ** first)) > 1e-6 ? Math.min(4, first + 1) : first; // 2.5
      return splits.map((v) => fixed(v, decimals));
    };
    const plot = new uPlot(
      {
        width: element.clientWidth,
        height: props.height ?? 240,
        legend: { show: false },
        cursor: { drag: { x: true, y: false }, points: { size: 7 } },
        scales: { x: { time: false } },
        axes: [
          { ...axis, label: () => latest.current.xLabel, labelSize: 22, size: 34, values },
          { ...axis, label: () => latest.current.yLabel, labelSize: 22, size: 58, values },
        ],
        series: [
          {},
          ...props.curves.map((c) => ({
            label: c.label,
            stroke: c.colour ?? cssValue("--accent"),
            width: c.dots ? 0 : (c.width ?? 1.6),
            ...(c.dash ? { dash: c.dash } : {}),
            points: { show: Boolean(c.dots), size: c.dots ?? 5, fill: c.colour ?? cssValue("--accent") },
          })),
        ],
        bands: (props.bands ?? []).map((b) => ({
          series: [b.upper + 1, b.lower + 1] as [number, number],
          fill: cssValue("--band"),
        })),
        hooks: {
          draw: [
            (u) => {
              for (const rule of latest.current.rules ?? []) {
                const y = u.valToPos(rule.at, "y", true);
                const left = rule.from === undefined ? u.bbox.left : u.valToPos(rule.from, "x", true);
                const right = rule.to === undefined ? u.bbox.left + u.bbox.width : u.valToPos(rule.to, "x", true);
                if (y < u.bbox.top || y > u.bbox.top + u.bbox.height) {
                  continue;
                }
                u.ctx.save();
                u.ctx.strokeStyle = cssValue("--limit");
                u.ctx.lineWidth = 1.5 * devicePixelRatio;
                u.ctx.setLineDash([6 * devicePixelRatio, 4 * devicePixelRatio]);
                u.ctx.beginPath();
                u.ctx.moveTo(left, y);
                u.ctx.lineTo(right, y);
                u.ctx.stroke();
                u.ctx.fillStyle = cssValue("--limit");
                u.ctx.font = `${12 * devicePixelRatio}px system-ui`;
                u.ctx.textAlign = "left"; // the axes leave it otherwise
                u.ctx.textBaseline = "alphabetic";
                u.ctx.fillText(rule.label, left + 6 * devicePixelRatio, y - 5 * devicePixelRatio);
                u.ctx.restore();
              }
            },
          ],
        },
      },
      [props.x, ...props.curves.map((c) => c.values)] as uPlot.AlignedData,
      element,
    );
    const click = () => {
      const { onPick, curves } = latest.current;
      if (onPick && plot.cursor.idx !== null && plot.cursor.idx !== undefined) {
        const idx = plot.cursor.idx;
        const top = plot.cursor.top ?? 0;
        let nearest: number | null = null;
        let least = 18;
        curves.forEach((c, k) => {
          const v = c.values[idx];
          if (v !== null && v !== undefined) {
            const d = Math.abs(plot.valToPos(v, "y") - top);
            if (d < least) {
              least = d;
              nearest = k;
            }
          }
        });
        onPick(idx, nearest);
      }
    };
    plot.over.addEventListener("click", click);
    drawn.current = plot;
    const watcher = new ResizeObserver(() => plot.setSize({ width: element.clientWidth, height: props.height ?? 240 }));
    watcher.observe(element);
    return () => {
      watcher.disconnect();
      drawn.current = null;
      plot.destroy();
    };
  }, [build, props.x.length === 0, dark, locale]);
  useEffect(() => {
    drawn.current?.setData([props.x, ...props.curves.map((c) => c.values)] as uPlot.AlignedData);
  }, [props.x, props.curves, props.rules, props.xLabel, props.yLabel]);
  return <div class="plot" ref={host} role="img" aria-label={props.description} />;
}
