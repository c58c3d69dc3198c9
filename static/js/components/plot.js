/**
 * One picture on a canvas: lines over what a sweep goes over, levels marked in words, and the place being read. By uPlot, a vendored
 * classic script that is fetched when the first picture is drawn.
 */

/** @typedef {import("../lib/present.js").View} View */
/** @typedef {{paper: string, ink: string, soft: string, line: string, mark: string, near: string, stop: string}} Colours */

const HEIGHT = 230;
const FONT = "14px system-ui, sans-serif";
/** The second line of a picture is told apart by its dashes, what is held by its dots. */
const DASHES = [[], [10, 6], [2, 5]];
const HELD_DASH = [2, 4];

/** @type {Promise<any> | null} */
let library = null;

/** The plotting library. @param {string} address  of its file @returns {Promise<any>} */
export function plotter(address) {
  library ??= new Promise((resolve, reject) => {
    const script = document.createElement("script");
    script.src = address;
    script.onload = () => resolve(/** @type {any} */ (window).uPlot);
    script.onerror = () => {
      library = null;
      reject(new Error("the plotting library did not come"));
    };
    document.head.append(script);
  });
  return library;
}

/** Colours of the theme in use; on paper, and where the system chooses them, plain ones. @param {boolean} [onPaper] @returns {Colours} */
export function colours(onPaper = false) {
  if (onPaper) return { paper: "#fff", ink: "#000", soft: "#333", line: "#bbb", mark: "#000", near: "#444", stop: "#000" };
  if (matchMedia("(forced-colors: active)").matches) {
    const text = "CanvasText";
    return { paper: "Canvas", ink: text, soft: text, line: "GrayText", mark: "Highlight", near: text, stop: text };
  }
  const style = getComputedStyle(document.documentElement);
  const one = (/** @type {string} */ name) => style.getPropertyValue(`--${name}`).trim();
  return { paper: one("paper"), ink: one("ink"), soft: one("soft"), line: one("line"), mark: one("mark"), near: one("near"), stop: one("stop") };
}

export class Plot {
  /**
   * @param {any} uPlot
   * @param {HTMLElement} place
   * @param {{write: (value: number) => string, read: (x: number) => void, colours: Colours, width?: number}} options
   *   write: a number as it stands on an axis; read: told of the place under a finger
   */
  constructor(uPlot, place, options) {
    this.uPlot = uPlot;
    this.place = place;
    this.options = options;
    /** @type {View | null} */
    this.picture = null;
    /** @type {any} */
    this.drawn = null;
    this.shape = "";
    /** Width of the picture's place, 0 while nothing tells of its changes: looking after something was written is a layout of its own. */
    this.wide = 0;
    this.watcher = typeof ResizeObserver === "function" ? new ResizeObserver(() => this.measure()) : null;
    this.watcher?.observe(place);
  }

  /** @param {number[]} x @param {View} picture @param {{x: number[], picture: View} | null} held  the same picture of what is held */
  show(x, picture, held) {
    /** @type {[number[], View, {x: number[], picture: View} | null]} */
    this.shown = [x, picture, held];
    this.picture = picture;
    const now = [x, ...ys(picture)];
    const before = held && [held.x, ...ys(held.picture)];
    // Two set-ups may begin and end at different places: then each line goes over its own.
    const isAlike = !before || String(before[0]) === String(x);
    const data = !before ? now : isAlike ? [...now, ...before.slice(1)] : this.uPlot.join([now, before]);
    const shape = JSON.stringify([picture.title, data.length, isAlike, this.width()]);
    if (this.drawn && shape === this.shape) this.drawn.setData(data);
    else this.make(lines(picture, held?.picture ?? null), data, !isAlike);
    this.shape = shape;
  }

  width() {
    return this.options.width ?? Math.max(240, this.wide || this.place.clientWidth);
  }

  /** Told of a place of another width, the picture is made anew. */
  measure() {
    this.wide = this.place.clientWidth;
    if (this.drawn && this.shown && this.wide && this.drawn.width !== this.width()) this.show(...this.shown);
  }

  /** @param {Line[]} drawn @param {(number | null)[][]} data @param {boolean} spanGaps  whether a line goes on where it has no place of its own */
  make(drawn, data, spanGaps) {
    this.clear();
    const { ink, line } = this.options.colours;
    const axis = { stroke: ink, font: FONT, grid: { stroke: line, width: 1 }, ticks: { stroke: line, width: 1 } };
    const values = (/** @type {any} */ _, /** @type {number[]} */ splits) => splits.map((value) => this.options.write(value));
    this.drawn = new this.uPlot({
      width: this.width(), height: HEIGHT, legend: { show: false },
      scales: { x: { time: false }, y: { range: (/** @type {any} */ _, /** @type {number} */ low, /** @type {number} */ high) => this.range(low, high) } },
      axes: [{ ...axis, values, size: 34 }, { ...axis, values, size: 56 }],
      series: [{}, ...drawn.map((one) => ({ ...this.series(one), spanGaps }))],
      cursor: { y: false, drag: { x: false, y: false }, points: { size: 9 } },
      hooks: {
        drawAxes: [(/** @type {any} */ plot) => this.bands(plot)],
        draw: [(/** @type {any} */ plot) => this.words(plot)],
        setCursor: [(/** @type {any} */ plot) => typeof plot.cursor.idx === "number" && this.options.read(plot.data[0][plot.cursor.idx])],
      },
    }, data, this.place);
  }

  /** Takes the drawing away. */
  clear() {
    this.drawn?.destroy();
    this.drawn = null;
  }

  destroy() {
    this.watcher?.disconnect();
    this.clear();
  }

  /** @param {Line} line */
  series({ label, n, isHeld }) {
    const { mark, near, soft } = this.options.colours;
    return {
      label, width: isHeld ? 2 : 3, stroke: isHeld ? soft : n === 0 ? mark : near, dash: isHeld ? HELD_DASH : DASHES[n] ?? DASHES[2],
      points: { show: false },
    };
  }

  /** All that is drawn and every level in sight, with some room. @param {number} low @param {number} high @returns {[number, number]} */
  range(low, high) {
    const levels = this.picture?.limits.map((/** @type {View} */ { at }) => at) ?? [];
    const [least, most] = [Math.min(low, ...levels), Math.max(high, ...levels)];
    const room = (most - least || Math.abs(most) || 1) * 0.08;
    return [least - room, most + room];
  }

  /** The side of a level not to be on. @param {any} plot */
  bands(plot) {
    const { ctx, bbox } = plot;
    for (const { at, beyond } of this.picture?.limits ?? []) {
      const y = plot.valToPos(at, "y", true);
      if (!beyond || !Number.isFinite(y)) continue;
      const [top, bottom] = beyond === "above" ? [bbox.top, y] : [y, bbox.top + bbox.height];
      ctx.save();
      ctx.globalAlpha = 0.12;
      ctx.fillStyle = this.options.colours.stop;
      ctx.fillRect(bbox.left, top, bbox.width, Math.max(0, bottom - top));
      ctx.restore();
    }
  }

  /** Each level as a line with its words above it, or below where there is no room. @param {any} plot */
  words(plot) {
    const { ctx, bbox } = plot;
    const scale = devicePixelRatio || 1;
    const room = 20 * scale;
    ctx.save();
    Object.assign(ctx, { font: `${14 * scale}px system-ui, sans-serif`, textAlign: "left", textBaseline: "alphabetic" });
    const levels = (this.picture?.limits ?? []).map((/** @type {View} */ { at, say }) => ({ say, y: plot.valToPos(at, "y", true) }));
    levels.sort((/** @type {{y: number}} */ one, /** @type {{y: number}} */ other) => one.y - other.y);
    let taken = bbox.top;
    for (const { say, y } of levels) {
      if (!Number.isFinite(y)) continue;
      const isAbove = y - taken >= room;
      this.level(ctx, bbox, y, scale);
      this.label(ctx, say, bbox.left + 6 * scale, isAbove ? y - 5 * scale : y + 16 * scale, scale);
      taken = isAbove ? y : y + room;
    }
    this.names(plot, scale);
    ctx.restore();
  }

  /** Where there are two lines, what each is stands on it: colour and dashes do not say it alone. @param {any} plot @param {number} scale */
  names(plot, scale) {
    const series = this.picture?.series ?? [];
    if (series.length < 2) return;
    const { mark, near } = this.options.colours;
    const at = Math.floor(plot.data[0].length * 0.04);
    series.forEach((/** @type {View} */ { label }, /** @type {number} */ n) => {
      const y = plot.data[n + 1][at];
      if (typeof y !== "number") return;
      const x = plot.valToPos(plot.data[0][at], "x", true);
      const foot = Math.max(plot.valToPos(y, "y", true) - 8 * scale, plot.bbox.top + 16 * scale);
      this.label(plot.ctx, label, x, foot, scale, n === 0 ? mark : near);
    });
  }

  /** @param {CanvasRenderingContext2D} ctx @param {{left: number, width: number}} bbox @param {number} y @param {number} scale */
  level(ctx, bbox, y, scale) {
    ctx.strokeStyle = this.options.colours.stop;
    ctx.lineWidth = 2 * scale;
    ctx.setLineDash([8 * scale, 4 * scale]);
    ctx.beginPath();
    ctx.moveTo(bbox.left, y);
    ctx.lineTo(bbox.left + bbox.width, y);
    ctx.stroke();
    ctx.setLineDash([]);
  }

  /**
   * Words with a rim in the colour of the paper, so that they can be read where a line runs through them.
   * @param {CanvasRenderingContext2D} ctx @param {string} say @param {number} x @param {number} y @param {number} scale @param {string} [colour]
   */
  label(ctx, say, x, y, scale, colour = this.options.colours.stop) {
    const { paper } = this.options.colours;
    ctx.lineWidth = 4 * scale;
    ctx.lineJoin = "round";
    ctx.strokeStyle = paper;
    ctx.strokeText(say, x, y);
    ctx.fillStyle = colour;
    ctx.fillText(say, x, y);
  }

  /** Puts the cross-hair at a place. @param {number} x */
  point(x) {
    const plot = this.drawn;
    if (!plot) return;
    plot.setCursor({ left: plot.valToPos(x, "x"), top: 0 }, false);
  }
}

/** @param {View} picture @returns {(number | null)[][]} */
function ys(picture) {
  return picture.series.map((/** @type {View} */ { y }) => y);
}

/** @typedef {{label: string, n: number, isHeld: boolean}} Line */

/** @param {View} picture @param {View | null} held @returns {Line[]} */
function lines(picture, held) {
  const one = (/** @type {View} */ from, /** @type {boolean} */ isHeld) =>
    from.series.map((/** @type {View} */ { label }, /** @type {number} */ n) => ({ label, n, isHeld }));
  return [...one(picture, false), ...(held ? one(held, true) : [])];
}
