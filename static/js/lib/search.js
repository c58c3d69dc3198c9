// Roots inside a bracket and crossings inside a range. Twins: webapp/figures/brent.py and search.py, step for step.

const EPSILON = 2 ** -52;
const MOST_STEPS = 200;
const STEPS = 96;
const WIDE = 50;
const BORDER_STEPS = 60;
const CLOSE = 1e-6;
const NOISE = 1e-6; // the search for a border stops a hair short of it

/** @typedef {(x: number) => number} Fn */
/** @typedef {[number, number]} Sample x and the function's value there */

/** No value of the unknown gives the wanted answer; carries the SI range that can be reached, or nulls. */
export class NoSolution extends Error {
  /** @param {number[]} answers */
  constructor(answers) {
    super("no solution");
    this.lowest = answers.length ? Math.min(...answers) : null;
    this.highest = answers.length ? Math.max(...answers) : null;
    if (this.lowest !== null && this.highest !== null && Math.abs(this.lowest) < NOISE * Math.abs(this.highest)) this.lowest = 0;
  }
}

/**
 * x in [low, high] where `fn` changes sign, to the last bits.
 * Source: R. P. Brent, Algorithms for Minimization without Derivatives (1973), chapter 4 (from memory).
 * @param {Fn} fn
 * @param {number} low
 * @param {number} high
 * @param {number} atLow
 * @param {number} atHigh
 */
export function rootBetween(fn, low, high, atLow, atHigh) {
  let [a, b, fa, fb] = [low, high, atLow, atHigh];
  if (Math.abs(fa) < Math.abs(fb)) [a, b, fa, fb] = [b, a, fb, fa];
  let [c, fc, d, bisected] = [a, fa, a, true];
  for (let step = 0; step < MOST_STEPS; step += 1) {
    if (fb === 0 || Math.abs(b - a) <= 2 * EPSILON * Math.abs(b) + 1e-300) return b;
    let s = guess(a, b, c, fa, fb, fc);
    const quarter = (3 * a + b) / 4;
    const between = Math.min(quarter, b) < s && s < Math.max(quarter, b);
    const last = bisected ? Math.abs(b - c) : Math.abs(c - d);
    if (!between || Math.abs(s - b) >= last / 2 || last < EPSILON * Math.abs(b)) {
      [s, bisected] = [(a + b) / 2, true];
    } else {
      bisected = false;
    }
    const fs = fn(s);
    [d, c, fc] = [c, b, fb];
    if ((fa < 0) !== (fs < 0)) [b, fb] = [s, fs];
    else [a, fa] = [s, fs];
    if (Math.abs(fa) < Math.abs(fb)) [a, b, fa, fb] = [b, a, fb, fa];
  }
  return b;
}

/** @type {(a: number, b: number, c: number, fa: number, fb: number, fc: number) => number} */
function guess(a, b, c, fa, fb, fc) {
  if (fa !== fc && fb !== fc) {
    return a * fb * fc / ((fa - fb) * (fa - fc))
      + b * fa * fc / ((fb - fa) * (fb - fc))
      + c * fa * fb / ((fc - fa) * (fc - fb));
  }
  return b - fb * (b - a) / (fb - fa);
}

/**
 * x in [low, high] with off(x) = 0; of several, the one nearest to `near`. It stops after each piece of work: a phone may want to do
 * something else between two.
 * @param {Fn} off the answer less the wanted one; NaN where there is none
 * @param {number} low
 * @param {number} high
 * @param {number} near
 * @param {number} wanted
 * @returns {Generator<null, number>}
 * @throws {NoSolution}
 */
export function* nearestCrossing(off, low, high, near, wanted) {
  /** @type {Sample[]} */
  const samples = [];
  for (const x of grid(low, high)) {
    samples.push([x, off(x)]);
    yield null;
  }
  const known = yield* withBorders(off, samples);
  const roots = [];
  for (let n = 0; n + 1 < known.length; n += 1) {
    const [[x0, f0], [x1, f1]] = [known[n], known[n + 1]];
    if ((f0 === 0) !== (f1 === 0) && gapless(samples, x0, x1)) {
      // Where the answer stays at the wanted one over a stretch, its edge is the root, not whichever sample lies in it.
      const [inside, outside] = f0 === 0 ? [x0, x1] : [x1, x0];
      roots.push(yield* edgeOf((x) => off(x) === 0, inside, outside));
    } else if ((f0 < 0) !== (f1 < 0) && f0 !== 0 && gapless(samples, x0, x1)) {
      const x = rootBetween(off, x0, x1, f0, f1);
      if (Math.abs(off(x)) <= CLOSE * Math.max(Math.abs(wanted), Math.abs(f0), Math.abs(f1))) roots.push(x);
      yield null;
    }
  }
  // Every value gives the wanted answer, so the given one may stay.
  if (known.length && known.every(([, f]) => f === 0)) return Math.min(Math.max(near, low), high);
  if (!roots.length) throw new NoSolution(known.map(([, f]) => f + wanted));
  return roots.reduce((best, x) => (Math.abs(x - near) < Math.abs(best - near) ? x : best));
}

/** What work done piece by piece comes to, done at once. @template T @param {Generator<any, T>} steps @returns {T} */
export function atOnce(steps) {
  for (;;) {
    const { done, value } = steps.next();
    if (done) return value;
  }
}

/** @type {(low: number, high: number) => number[]} */
function grid(low, high) {
  const wide = low > 0 && high / low > WIDE;
  const at = wide ? (/** @type {number} */ n) => low * Math.pow(high / low, n / STEPS) : (/** @type {number} */ n) => low + (high - low) * n / STEPS;
  return [...Array.from({ length: STEPS }, (_, n) => at(n)), high];
}

/** @type {(off: Fn, samples: Sample[]) => Generator<null, Sample[]>} samples with an answer, and the borders beyond which there is none */
function* withBorders(off, samples) {
  /** @type {Sample[]} */
  const known = [];
  for (let n = 0; n + 1 < samples.length; n += 1) {
    const [[x0, f0], [x1, f1]] = [samples[n], samples[n + 1]];
    if (Number.isFinite(f0)) known.push([x0, f0]);
    if (Number.isFinite(f0) !== Number.isFinite(f1)) {
      const [inside, outside] = Number.isFinite(f0) ? [x0, x1] : [x1, x0];
      const edge = yield* edgeOf((x) => Number.isFinite(off(x)), inside, outside);
      known.push([edge, off(edge)]);
    }
  }
  const last = samples[samples.length - 1];
  if (Number.isFinite(last[1])) known.push(last);
  return known;
}

/** @type {(holds: (x: number) => boolean, inside: number, outside: number) => Generator<null, number>} the last x for which `holds` */
function* edgeOf(holds, inside, outside) {
  for (let step = 0; step < BORDER_STEPS; step += 1) {
    const middle = (inside + outside) / 2;
    if (holds(middle)) inside = middle;
    else outside = middle;
    yield null;
  }
  return inside;
}

/** @type {(samples: Sample[], x0: number, x1: number) => boolean} */
const gapless = (samples, x0, x1) => !samples.some(([x, f]) => x0 < x && x < x1 && !Number.isFinite(f));
