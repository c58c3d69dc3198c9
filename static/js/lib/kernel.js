// What formulas need and JavaScript lacks; emitted formulas call it as K. Twin: webapp/figures/arithmetic.py and curves.py.

/** A curve was asked beyond its first or last point. */
export class OutsideCurve extends Error {
  /**
   * @param {string} name the curve's
   * @param {number} end SI x at which its points end there
   */
  constructor(name, end) {
    super(name);
    this.curve = name;
    this.end = end;
  }
}

/** @typedef {{points: number[][], method: string}} CurvePoints points as [x, y] SI pairs with rising x */

const MOST_TERMS = 10000;

/**
 * y of a curve at x, never extrapolated.
 * @param {string} name
 * @param {CurvePoints} curve
 * @param {number} x
 * @returns {number}
 * @throws {OutsideCurve} beyond the ends
 */
export function curve(name, { points, method }, x) {
  const [first, last] = [points[0][0], points[points.length - 1][0]];
  if (!(first <= x && x <= last)) throw new OutsideCurve(name, x < first ? first : last);
  let k = 0;
  while (k < points.length - 2 && x > points[k + 1][0]) k += 1;
  const [x0, y0] = points[k];
  const [x1, y1] = points[k + 1];
  const t = (x - x0) / (x1 - x0);
  if (method === "linear") return y0 + t * (y1 - y0);
  const h = x1 - x0;
  const d0 = slopeAt(points, k);
  const d1 = slopeAt(points, k + 1);
  return y0 * (1 + 2 * t) * (1 - t) * (1 - t)
    + h * d0 * t * (1 - t) * (1 - t)
    + y1 * t * t * (3 - 2 * t)
    + h * d1 * t * t * (t - 1);
}

/**
 * The sum of `term` over whole numbers from `first` to `last`; NaN for an absurd number of terms.
 * @param {Record<string, any>} values
 * @param {string} counter
 * @param {number} first
 * @param {number} last
 * @param {(values: Record<string, any>) => number} term
 */
export function total(values, counter, first, last, term) {
  if (!(last - first < MOST_TERMS) || !(first + 1 > first)) return NaN;
  const inner = { ...values };
  let sum = 0;
  for (let k = first; k <= last; k += 1) {
    inner[counter] = k;
    sum += term(inner);
  }
  return sum;
}

/** @type {(points: number[][], k: number) => number} slope of the monotone cubic at point k */
function slopeAt(points, k) {
  const last = points.length - 1;
  if (last === 1) return secant(points, 0);
  if (k === 0 || k === last) return endSlope(points, k);
  const left = secant(points, k - 1);
  const right = secant(points, k);
  if (left * right <= 0) return 0;
  const h0 = points[k][0] - points[k - 1][0];
  const h1 = points[k + 1][0] - points[k][0];
  const w0 = 2 * h1 + h0;
  const w1 = h1 + 2 * h0;
  return (w0 + w1) / (w0 / left + w1 / right);
}

/** @type {(points: number[][], k: number) => number} */
function endSlope(points, k) {
  const [near, far] = k === 0 ? [0, 1] : [points.length - 2, points.length - 3];
  const h0 = points[near + 1][0] - points[near][0];
  const h1 = points[far + 1][0] - points[far][0];
  const s0 = secant(points, near);
  const s1 = secant(points, far);
  const slope = ((2 * h0 + h1) * s0 - h0 * s1) / (h0 + h1);
  if (slope * s0 <= 0) return 0;
  if (s0 * s1 <= 0 && Math.abs(slope) > Math.abs(3 * s0)) return 3 * s0;
  return slope;
}

/** @type {(points: number[][], k: number) => number} */
const secant = (points, k) => (points[k + 1][1] - points[k][1]) / (points[k + 1][0] - points[k][0]);
