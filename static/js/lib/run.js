// Answers found along a Figure's run. Twin: webapp/figures/run.py, which says what the parts mean.

import { rootBetween } from "./search.js";

/** @typedef {import("./calculator.js").Give} Give */
/** @typedef {import("./calculator.js").Sweep} Sweep */
/** @typedef {Record<string, any>} Values */
/** @typedef {(place: number) => Values | null} At  what is seen at a place, as `seenAt` gives it; null where the Figure refuses there */

export class Run {
  /**
   * @param {Sweep} sweep
   * @param {number} start
   * @param {number} stop
   * @param {At} at
   */
  constructor(sweep, start, stop, at) {
    this.places = places(start, stop, sweep.steps);
    this.workOut = at;
    /** @type {Map<number, Values | null>} */
    this.known = new Map();
    /** @type {[number, Values][] | null} */
    this.sampled = null;
  }

  /** What is known at a place; several answers often look at one. @param {number} place @returns {Values | null} */
  at(place) {
    let values = this.known.get(place);
    if (values === undefined) this.known.set(place, (values = this.workOut(place)));
    return values;
  }

  /** Each place that has answers, with them. @returns {[number, Values][]} */
  get samples() {
    if (this.sampled === null) {
      this.sampled = [];
      for (const x of this.places) {
        const values = this.at(x);
        if (values !== null) this.sampled.push([x, values]);
      }
    }
    return this.sampled;
  }

  /**
   * What a 'reach', 'peak' or 'look' answer is; infinite for a level never reached, NaN for what is not known.
   * @param {Give} give
   * @param {Values} values
   * @returns {number}
   */
  find(give, values) {
    if (give.type === "look") return this.at(give.at(values))?.[give.of] ?? NaN;
    return give.type === "reach" ? this.reach(give) : this.peak(give);
  }

  /** How far beyond its level the answer of a 'reach' is at a place; NaN where it is not known. @param {Give} give @param {number} x */
  off(give, x) {
    const values = this.at(x);
    return values === null ? NaN : beyond(give, values);
  }

  /** How `off` changes with the place, there. @param {Give} give @param {number} x */
  slope(give, x) {
    const h = (this.places[this.places.length - 1] - this.places[0]) / 1000;
    return (this.off(give, x + h) - this.off(give, x - h)) / (2 * h);
  }

  /** @param {Give} give */
  reach(give) {
    // The neighbour before, null at the start and behind a place without answers: there is no root to be looked for then.
    /** @type {[number, number] | null} */
    let before = null;
    for (const x of this.places) {
      const values = this.at(x);
      if (values === null) {
        before = null;
        continue;
      }
      const over = beyond(give, values);
      if (over >= 0) {
        if (before === null || over === 0) return x;
        return rootBetween((place) => this.off(give, place), before[0], x, before[1], over);
      }
      before = [x, over];
    }
    return Infinity;
  }

  /** The place of the samples where the answer is most (or least); of several, the first. @param {Give} give */
  peak(give) {
    const sign = give.upward ? 1 : -1;
    let [found, most] = [NaN, -Infinity];
    for (const [x, values] of this.samples) {
      if (sign * values[give.of] > most) [found, most] = [x, sign * values[give.of]];
    }
    return found;
  }
}

/** @type {(give: Give, seen: Values) => number} */
function beyond(give, seen) {
  const over = seen[give.of] - seen[give.name];
  return give.upward ? over : -over;
}

/**
 * steps + 1 places from start to stop. The last is the end itself: a bit beyond it would lie outside the range.
 * @param {number} start
 * @param {number} stop
 * @param {number} steps
 */
export function places(start, stop, steps) {
  return Array.from({ length: steps + 1 }, (_, n) => (n === steps ? stop : start + (stop - start) * n / steps));
}
