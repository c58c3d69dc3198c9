/**
 * The pattern of a torque round as a picture: the fastener that is next is the large one with two rings, done ones are filled, later
 * ones are open. Shape and size say it, not colour. The places are those of the Figure 'tightening-order'.
 */

import { draw } from "./made.js";

/** @typedef {import("../lib/round-figures.js").Plan} Plan */
/** @typedef {{x: number, y: number}} Spot */
/** @typedef {{spots: Map<number, Spot>, radius: number, large: number, width: number, height: number}} Layout  units of the picture */

const WIDTH = 360;
const HEIGHT = 230;
const STEP = 64; // between neighbours, where there is room
const LARGEST = 21;
const LEAST_NEXT = 25;
const LEAST_READ = 8; // a smaller circle holds no number
const AIR = 5;

/**
 * @param {Plan} plan
 * @param {{next: number | null, done: Set<number>, says: string}} now  next: null when none is; says: the picture in words
 * @returns {SVGElement}
 */
export function roundPicture(plan, { next, done, says }) {
  const layout = laidOut(plan.places);
  const bolts = [...layout.spots].filter(([bolt]) => bolt !== next).map(([bolt, spot]) => boltAt(bolt, spot, layout.radius, done.has(bolt) ? "done" : "later"));
  const spot = next === null ? undefined : layout.spots.get(next);
  // Drawn last, so that it lies on top where they stand close.
  if (spot && next !== null) bolts.push(boltAt(next, spot, layout.large, "next"));
  return draw("svg", { class: "round-picture", viewBox: `0 0 ${layout.width} ${layout.height}`, role: "img", "aria-label": says }, ...bolts);
}

/** @param {Plan["places"]} places @returns {Layout} */
export function laidOut(places) {
  const all = [...places.values()];
  const [across, down] = [0, 1].map((n) => Math.max(1, ...all.map((place) => place[n])));
  const isAlone = (/** @type {number} */ n) => all.every((place) => place[n] === 0);
  const room = { x: WIDTH - 2 * (LEAST_NEXT + AIR), y: HEIGHT - 2 * (LEAST_NEXT + AIR) };
  // A circle comes in thousandths, rows and frames in places: the nearest two say how far apart things are.
  const nearest = nearestOf(all);
  const scale = Math.min(STEP / nearest, isAlone(0) ? Infinity : room.x / across, isAlone(1) ? Infinity : room.y / down);
  const radius = Math.min(LARGEST, nearest * scale * .42);
  const large = Math.max(LEAST_NEXT, radius * 1.35);
  const pad = large + AIR;
  const at = (/** @type {[number, number]} */ [x, y]) => ({ x: pad + x * scale, y: pad + y * scale });
  const spots = new Map([...places].map(([bolt, place]) => [bolt, at(place)]));
  return { spots, radius, large, width: 2 * pad + (isAlone(0) ? 0 : across * scale), height: 2 * pad + (isAlone(1) ? 0 : down * scale) };
}

/** Distance of the nearest two. @param {[number, number][]} places */
function nearestOf(places) {
  let least = Infinity;
  places.forEach(([x, y], n) => {
    for (const [u, v] of places.slice(n + 1)) least = Math.min(least, Math.hypot(x - u, y - v));
  });
  return Number.isFinite(least) ? least : 1;
}

/** @param {number} bolt @param {Spot} spot @param {number} radius @param {"next" | "done" | "later"} state */
function boltAt(bolt, { x, y }, radius, state) {
  const circle = (/** @type {number} */ r, /** @type {string} */ name) => draw("circle", { class: name, cx: x, cy: y, r: r.toFixed(1) });
  const size = radius * (bolt > 99 ? .75 : .95);
  const number = draw("text", { x, y, "font-size": size.toFixed(1), dy: ".36em", "text-anchor": "middle" }, String(bolt));
  const rings = state === "next" ? [circle(radius, "bolt-halo"), circle(radius - 1, "bolt-ring"), circle(radius - 5, "bolt-ring")] : [circle(radius, "bolt-ring")];
  return draw("g", { class: `bolt bolt-${state}` }, ...rings, ...(radius >= LEAST_READ ? [number] : []));
}
