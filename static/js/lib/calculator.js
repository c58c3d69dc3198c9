// Computes one Figure on the phone. Twin: webapp/figures/calculator.py, method for method.

import { OutsideCurve } from "./kernel.js";
import { Run, places } from "./run.js";
import { NoSolution, atOnce, nearestCrossing, rootBetween } from "./search.js";

/** @typedef {Record<string, any>} Values inputs, constants and answers by name, SI */
/** @typedef {(v: Values, x?: number) => any} Formula  of a root: how far it is off at x, which it puts among the values */
/** @typedef {{name: string, type: string, kind: string, unit: string, default: any, low: number, high: number, accuracy: [string, number] | null,
 *   table: string, brings: string, group?: string, setup?: string, across: {kind: string, unit: string, low: number, high: number}, method: string}} Take */
/** @typedef {{name: string, type: string, kind: string, unit: string, first: boolean, shown: boolean, unlike: string, setup?: string, f: Formula, low: Formula,
 *   high: Formula, inner?: string[], rows: Formula[], over: string, start: Formula, stop: Formula, table?: string,
 *   only?: Formula, most?: number,
 *   columns: {name: string, kind: string, unit: string, shown: boolean, f: Formula}[], by: Formula[], ranked: boolean,
 *   picture: [string, string] | null, of: string, level: Formula, at: Formula, upward: boolean, asked?: boolean}} Give */
/** @typedef {{when: Formula, after: number, level: string}} Row */
/** @typedef {{draw: string[], limits: {of: string, level: Formula, beyond: string}[]}} Picture */
/** @typedef {{over: string, start: Formula, stop: Formula, steps: number, draw: string[], pictures: Picture[]}} Sweep */
/** @typedef {{solve: string, answer: string, equals: Formula, when: Formula, at?: Formula}} Remedy */
/** @typedef {{id: string, takes: Take[], constants: Record<string, number>, constantUnits: Record<string, string>, gives: Give[], refuse: Row[],
 *   warn: Row[], verdict: Row[], remedies: Remedy[], sweeps: Sweep[]}} Figure */
/** @typedef {{reason: string, name: string, index: number, limit: number}} Refusal */
/** @typedef {{values: Values, refusal: Refusal | null, warnings: number[], verdict: number | null, run: Run | null}} Outcome */
/** @typedef {Record<string, [number, number]>} Held where each answer found along the run is, and the slope by which it moves */
/** @typedef {{likely: number, worst: number, shares: [string, number][]}} Spread */
/** @typedef {Record<string, Record<string, Record<string, number>>>} Tables table -> row -> column -> SI number */

const MOST_ROWS = 500;
const CLOSE = 1e-6;

class Refused extends Error {
  /** @param {Partial<Refusal>} refusal */
  constructor(refusal) {
    super(refusal.reason);
    this.refusal = { name: "", index: -1, limit: 0, reason: "", ...refusal };
  }
}

/** Whether an answer is found along the run, after all answers that make the run. @type {(give: Give) => boolean} */
export const isLate = (give) => ["reach", "peak", "look"].includes(give.type);
/** @type {(give: Give) => boolean} */
export const isNumericGive = (give) => give.type === "formula" || give.type === "root" || isLate(give);
/** @type {(take: Take) => boolean} */
export const isNumericTake = (take) => take.type === "quantity" || take.type === "count";

/** The sweep over one of the Figure's own answers, if there is one. @type {(figure: Figure) => Sweep | undefined} */
export const runOf = ({ sweeps, gives }) => sweeps.find(({ over }) => gives.some(({ name }) => name === over));

/** Number of answers that stand before the first one found along the run. @type {(figure: Figure) => number} */
export const runEnd = ({ gives }) => {
  const found = gives.findIndex(isLate);
  return found < 0 ? gives.length : found;
};

export class Calculator {
  /**
   * @param {Figure} figure
   * @param {Tables} tables
   */
  constructor(figure, tables) {
    this.figure = figure;
    this.tables = tables;
    /** What refuses once so many answers stand: [number of the row, row] by that count. @type {[number, Row][][]} */
    this.refusals = figure.gives.map(() => []);
    this.refusals.push([]);
    figure.refuse.forEach((row, index) => this.refusals[row.after].push([index, row]));
    this.blank = blankOf(figure, tables);
    this.runSweep = runOf(figure);
    this.runEnd = runEnd(figure);
    /** What of a place of the run is looked at later: names of answers, and the levels that some of them come to. */
    const late = figure.gives.filter(isLate);
    this.seen = [...new Set([...late.map(({ of }) => of), ...(this.runSweep?.draw ?? [])])];
    this.reaches = late.filter(({ type }) => type === "reach");
    /** All names of what is seen: an object whose names are added one by one is slow to fill and to read. */
    this.unseen = Object.fromEntries([...this.seen, ...this.reaches.map(({ name }) => name)].map((name) => [name, NaN]));
    /** @type {{outcome: Outcome, values: Values} | null} everything that formulas may name, for the outcome asked about last */
    this.knownLast = null;
  }

  /**
   * All answers; says why in `refusal` where there are none. A refused outcome keeps the answers reached before.
   * @param {Values} givens one entry for every input
   * @param {Held | null} held what is found along the run, as `hold` gave it for nearby inputs: then it only moves along its slope
   * @returns {Outcome}
   */
  evaluate(givens, held = null) {
    const { gives, warn, verdict } = this.figure;
    /** @type {Outcome} */
    const outcome = { values: {}, refusal: null, warnings: [], verdict: null, run: null };
    try {
      const values = this.start(givens);
      const run = this.run(values);
      gives.forEach((give, number) => {
        this.refuseAfter(number, values);
        const answer = isLate(give) ? this.along(give, /** @type {Run} */ (run), values, held) : answerOf(give, values, this.tables);
        values[give.name] = outcome.values[give.name] = answer;
        if (give.table) Object.assign(values, firstRow(give, answer));
      });
      this.refuseAfter(gives.length, values);
      outcome.warnings = warn.flatMap((row, n) => (row.when(values) ? [n] : []));
      const found = verdict.findIndex((row) => row.when(values));
      outcome.verdict = found < 0 ? null : found;
      outcome.run = run;
    } catch (error) {
      outcome.refusal = refusalOf(error);
    }
    return outcome;
  }

  /**
   * One numeric answer that the run does not have to be gone along for, NaN where the Figure refuses.
   * @param {string} name
   * @param {Values} givens
   * @param {number | null} place where along the run, if not at the place of its own
   * @returns {number}
   */
  answer(name, givens, place = null) {
    try {
      const values = this.start(givens);
      this.workOut(values, 0, place);
      return asNumber(values[name]);
    } catch (error) {
      refusalOf(error);
      return NaN;
    }
  }

  /**
   * Adds the answers from number `first` up to those found along the run.
   * @param {Values} values
   * @param {number} first
   * @param {number | null} place
   */
  workOut(values, first, place) {
    for (let number = first; number < this.runEnd; number += 1) {
      const give = this.figure.gives[number];
      this.refuseAfter(number, values);
      if (place !== null && give.name === this.runSweep?.over) values[give.name] = place;
      else {
        values[give.name] = answerOf(give, values, this.tables);
        if (give.table) Object.assign(values, firstRow(give, values[give.name]));
      }
    }
    this.refuseAfter(this.runEnd, values);
  }

  // -- along the run ------------------------------------------------------------------------------------------------------------

  /**
   * The run of these inputs. `values` is looked at when the run is gone along: by then all that stands before it is known.
   * A place is worked out over the one before it, and only what is looked at later is kept: copying all values at each of some fifty
   * places takes a phone longer than working them out.
   * @param {Values} values
   */
  run(values) {
    const sweep = this.runSweep;
    if (!sweep) return null;
    const first = this.figure.gives.findIndex(({ name }) => name === sweep.over);
    /** @type {Values | null} */
    let inner = null;
    const at = (/** @type {number} */ place) => {
      inner ??= { ...values };
      try {
        this.workOut(inner, first, place);
      } catch (error) {
        refusalOf(error);
        return null;
      }
      return this.seenAt(inner);
    };
    return new Run(sweep, sweep.start(values), sweep.stop(values), at);
  }

  /** What is kept of a place: under the name of a 'reach' its level there. @param {Values} values @returns {Values} */
  seenAt(values) {
    /** @type {Values} */
    const seen = { ...this.unseen };
    for (const name of this.seen) seen[name] = values[name];
    for (const { name, level } of this.reaches) seen[name] = level(values);
    return seen;
  }

  /** @param {Give} give @param {Run} run @param {Values} values @param {Held | null} held */
  along(give, run, values, held) {
    return held ? this.held(give, run, values, held) : this.found(give, run, values);
  }

  /** @param {Give} give @param {Run} run @param {Values} values */
  found(give, run, values) {
    const found = run.find(give, values);
    if (Number.isNaN(found)) throw new Refused({ reason: "no value", name: give.name });
    return found;
  }

  /** @param {Give} give @param {Run} run @param {Values} values @param {Held} held */
  held(give, run, values, held) {
    if (give.type === "look") return this.found(give, run, values);
    const [place, slope] = held[give.name];
    if (!slope) return place;
    const moved = place - run.off(give, place) / slope;
    return Number.isFinite(moved) ? moved : place;
  }

  /**
   * Place of each 'reach' and 'peak', and for a 'reach' that is somewhere the slope there (else 0: it stays).
   * @param {Outcome} outcome
   * @returns {Held}
   */
  hold({ values, run }) {
    /** @type {Held} */
    const held = {};
    for (const give of this.figure.gives) {
      if (run === null || (give.type !== "reach" && give.type !== "peak")) continue;
      const place = values[give.name];
      const moves = give.type === "reach" && run.places[0] < place && place < Infinity;
      const slope = moves ? run.slope(give, place) : 0;
      held[give.name] = [place, Number.isFinite(slope) ? slope : 0];
    }
    return held;
  }

  /**
   * @param {Values} givens
   * @returns {Values}
   */
  start(givens) {
    /** @type {Values} */
    const values = { ...this.blank };
    for (const take of this.figure.takes) {
      let value = givens[take.name];
      if (take.type === "choice") {
        for (const [column, cell] of Object.entries(this.tables[take.table][value])) values[`${take.name}.${column}`] = cell;
      } else if (take.type === "points") {
        value = checkedPoints(take, value);
        values[`${take.name}.start`] = value.points[0][0];
        values[`${take.name}.end`] = value.points[value.points.length - 1][0];
      }
      else checkRange(take, value);
      values[take.name] = value;
    }
    return values;
  }

  /**
   * @param {number} number
   * @param {Values} values
   */
  refuseAfter(number, values) {
    for (const [index, row] of this.refusals[number]) if (row.when(values)) throw new Refused({ reason: "said", index });
  }

  /**
   * Value of input `unknown`, inside its range, that makes `answer` equal `wanted`.
   * @param {string} unknown
   * @param {string} answer
   * @param {number} wanted
   * @param {Values} givens
   * @param {number | null} place where along the run, if not at the place of its own
   * @returns {number}
   * @throws {NoSolution}
   */
  solve(unknown, answer, wanted, givens, place = null) {
    return atOnce(this.solving(unknown, answer, wanted, givens, place));
  }

  /**
   * The same piece by piece.
   * @param {string} unknown
   * @param {string} answer
   * @param {number} wanted
   * @param {Values} givens
   * @param {number | null} place
   * @returns {Generator<null, number>}
   */
  * solving(unknown, answer, wanted, givens, place) {
    const take = /** @type {Take} */ (this.figure.takes.find((one) => one.name === unknown));
    const off = (/** @type {number} */ x) => this.answer(answer, { ...givens, [unknown]: x }, place) - wanted;
    if (take.type === "count") return wholeRoot(off, take, givens[unknown], wanted);
    return yield* nearestCrossing(off, take.low, take.high, givens[unknown], wanted);
  }

  /**
   * How far each numeric answer may be off when each input may be off by its SI accuracy.
   * @param {Values} givens
   * @param {Record<string, number>} accuracies
   * @param {Outcome} middle what `evaluate` gives for these inputs, not refused
   * @returns {Record<string, Spread>}
   */
  spreads(givens, accuracies, middle = this.evaluate(givens)) {
    return atOnce(this.spreadByInput(givens, accuracies, middle));
  }

  /**
   * The same input by input: a phone may want to do something else between two.
   * @param {Values} givens
   * @param {Record<string, number>} accuracies
   * @param {Outcome} middle
   * @returns {Generator<null, Record<string, Spread>>}
   */
  * spreadByInput(givens, accuracies, middle) {
    const held = this.hold(middle);
    const names = this.figure.gives.filter((give) => isNumericGive(give) && Number.isFinite(middle.values[give.name])).map(({ name }) => name);
    /** @type {Record<string, [string, number][]>} */
    const shares = Object.fromEntries(names.map((name) => [name, []]));
    for (const [taken, accuracy] of Object.entries(accuracies)) {
      const above = this.evaluate({ ...givens, [taken]: givens[taken] + accuracy }, held);
      const below = this.evaluate({ ...givens, [taken]: givens[taken] - accuracy }, held);
      for (const name of names) shares[name].push([taken, halfWidth(name, middle, above, below)]);
      yield null;
    }
    return Object.fromEntries(names.map((name) => [name, spreadOf(shares[name])]));
  }

  /**
   * The remedies that apply: [number of the remedy, SI value of its input or null].
   * @param {Values} givens
   * @param {Outcome} outcome
   * @returns {[number, number | null][]}
   */
  remedies(givens, outcome) {
    return [...this.remedying(givens, outcome)].filter((found) => found !== null);
  }

  /**
   * The same piece by piece: each is a search, and a phone may want to do something else meanwhile.
   * @param {Values} givens
   * @param {Outcome} outcome
   * @returns {Generator<[number, number | null] | null>} null at each piece of a search
   */
  * remedying(givens, outcome) {
    if (outcome.refusal) return;
    const values = this.known(givens, outcome);
    for (const [number, remedy] of this.figure.remedies.entries()) {
      if (remedy.when(values)) yield [number, yield* this.solvedOrNull(remedy, values, givens)];
    }
  }

  /**
   * @param {Remedy} remedy
   * @param {Values} values
   * @param {Values} givens
   * @returns {Generator<null, number | null>}
   */
  * solvedOrNull(remedy, values, givens) {
    try {
      return yield* this.solving(remedy.solve, remedy.answer, remedy.equals(values), givens, remedy.at ? remedy.at(values) : null);
    } catch (error) {
      if (error instanceof NoSolution) return null;
      throw error;
    }
  }

  /**
   * Rows [x, answers drawn …] over the sweep; NaN where the Figure refuses.
   * @param {Sweep} sweep
   * @param {Values} givens
   * @param {Outcome} outcome what `evaluate` gave for the same inputs, not refused
   * @returns {number[][]}
   */
  sweep(sweep, givens, outcome) {
    if (outcome.run !== null && sweep === this.runSweep) return runRows(sweep, outcome.run);
    const values = this.known(givens, outcome);
    return places(sweep.start(values), sweep.stop(values), sweep.steps).map((x) => {
      const there = this.evaluate({ ...givens, [sweep.over]: x });
      return [x, ...sweep.draw.map((name) => (there.refusal ? NaN : asNumber(there.values[name])))];
    });
  }

  /** SI levels that are marked in a picture. @param {Picture["limits"]} limits @param {Values} givens @param {Outcome} outcome */
  levels(limits, givens, outcome) {
    const values = this.known(givens, outcome);
    return limits.map(({ level }) => level(values));
  }

  /** Everything that formulas may name, for an outcome that is not refused. @param {Values} givens @param {Outcome} outcome @returns {Values} */
  known(givens, outcome) {
    if (this.knownLast?.outcome === outcome) return this.knownLast.values;
    const values = Object.assign(this.start(givens), outcome.values);
    for (const give of this.figure.gives) if (give.table) Object.assign(values, firstRow(give, values[give.name]));
    this.knownLast = { outcome, values };
    return values;
  }
}

/** @param {Sweep} sweep @param {Run} run @returns {number[][]} */
function runRows(sweep, run) {
  const known = new Map(run.samples);
  return run.places.map((x) => [x, ...sweep.draw.map((name) => asNumber(known.get(x)?.[name]))]);
}

/**
 * What formulas begin with: the constants, and every other name that can come to hold a number, as NaN. An object whose names are
 * added one by one is many times slower to read; one that JSON made is not, however many they are.
 * @param {Figure} figure
 * @param {Tables} tables
 * @returns {Values}
 */
function blankOf({ constants, takes, gives }, tables) {
  const names = [
    ...Object.keys(constants),
    ...takes.flatMap(({ name, table, type }) => [
      name, ...(type === "points" ? ["start", "end"] : Object.values(tables[table] ?? {}).flatMap(Object.keys)).map((end) => `${name}.${end}`),
    ]),
    ...gives.flatMap(({ name, inner = [] }) => [name, ...inner]),
  ];
  const blank = JSON.parse(`{${names.map((name) => `"${name}":0.5`)}}`);
  for (const name of names) blank[name] = NaN;
  return Object.assign(blank, constants);
}

/** The refusal that was thrown; any other error is thrown on. @type {(error: any) => Refusal} */
function refusalOf(error) {
  if (error instanceof Refused) return error.refusal;
  if (error instanceof OutsideCurve) return { reason: "curve", name: error.curve, index: -1, limit: error.end };
  throw error;
}

/** @type {(take: Take, value: number) => void} */
function checkRange(take, value) {
  if (value < take.low) throw new Refused({ reason: "below", name: take.name, limit: take.low });
  if (value > take.high) throw new Refused({ reason: "above", name: take.name, limit: take.high });
  if (take.type === "count" && value !== Math.floor(value)) throw new Refused({ reason: "not whole", name: take.name });
}

/** @type {(take: Take, points: number[][]) => import("./kernel.js").CurvePoints} */
function checkedPoints(take, points) {
  const rising = points.every((point, n) => n === 0 || points[n - 1][0] < point[0]);
  if (points.length < 2 || !rising) throw new Refused({ reason: "points", name: take.name });
  return { points, method: take.method };
}

/** @type {(give: Give, values: Values, tables: Tables) => any} */
function answerOf(give, values, tables) {
  if (give.type === "words") {
    const found = give.rows.findIndex((row) => row(values));
    return found < 0 ? give.rows.length - 1 : found;
  }
  if (give.type === "series") return seriesOf(give, values, tables);
  const value = give.type === "root" ? rootOf(give, values) : give.f(values);
  if (!Number.isFinite(value)) throw new Refused({ reason: "no value", name: give.name });
  return value + 0;
}

/** @type {(give: Give, values: Values) => number} */
function rootOf(give, values) {
  // Tried values stand among the others meanwhile: copying them all for each root takes longer than finding it.
  let miss = NaN;
  const off = (/** @type {number} */ x) => (miss = give.f(values, x));
  const [low, high] = [give.low(values), give.high(values)];
  const [atLow, atHigh] = [off(low), off(high)];
  const known = Number.isFinite(atLow) && Number.isFinite(atHigh);
  if (!known || (atLow > 0 && atHigh > 0) || (atLow < 0 && atHigh < 0)) throw new Refused({ reason: "no root", name: give.name });
  const x = rootBetween(off, low, high, atLow, atHigh);
  // A change of sign is no root where the equation jumps or runs off to infinity. The root is most often what was tried last.
  if (values[give.name] !== x) off(x);
  if (!(Math.abs(miss) <= CLOSE * Math.max(Math.abs(atLow), Math.abs(atHigh)))) throw new Refused({ reason: "no root", name: give.name });
  return x;
}

/** @type {(give: Give, values: Values, tables: Tables) => number[][]} */
function seriesOf(give, values, tables) {
  /** @type {{keys: number[], row: number[]}[]} */
  const found = [];
  for (const [number, own] of counted(give, values, tables)) {
    /** @type {Values} */
    const inner = { ...values, ...own };
    const row = [number];
    for (const column of give.columns) row.push(inner[column.name] = column.f(inner));
    const keys = give.by.map((key) => key(inner));
    if ([...row, ...keys].every(Number.isFinite)) {
      if (!give.only || give.only(inner)) found.push({ keys, row });
    } else if (!give.table) throw new Refused({ reason: "no value", name: give.name });
  }
  // Sorting keeps rows with equal keys in the order of their numbers.
  const rows = found.sort((a, b) => byKeys(a.keys, b.keys)).map(({ row }) => row);
  return give.most ? rows.slice(0, give.most) : rows;
}

/** @type {(give: Give, values: Values, tables: Tables) => [number, Values][]} each number, from 0 for the rows of a table, with its own values */
function counted(give, values, tables) {
  if (give.table) return Object.values(tables[give.table]).map((row, n) => [n, cellsOf(give.over, row)]);
  const [start, stop] = [give.start(values), give.stop(values)];
  if (!(stop - start >= 0 && stop - start < MOST_ROWS)) throw new Refused({ reason: "no value", name: give.name });
  return Array.from({ length: Math.trunc(stop - start) + 1 }, (_, step) => [start + step, { [give.over]: start + step }]);
}

/** @type {(name: string, row: Record<string, number>) => Values} a row's numbers as formulas name them */
function cellsOf(name, row) {
  return Object.fromEntries(Object.entries(row).map(([column, cell]) => [`${name}.${column}`, cell]));
}

/** @type {(give: Give, rows: any) => Values} the numbers of the first row of a series over a table, as later formulas name them */
function firstRow(give, rows) {
  return Object.fromEntries(give.columns.map(({ name }, n) => [`${give.name}.${name}`, rows.length ? rows[0][n + 1] : NaN]));
}

/** @type {(a: number[], b: number[]) => number} the first key that differs decides */
function byKeys(a, b) {
  const n = a.findIndex((key, at) => key !== b[at]);
  return n < 0 ? 0 : a[n] - b[n];
}

/**
 * How far an answer moves to the side on which it moves more. Not half of the way between both ends: on top of a hump both lie
 * below by the same, and their difference would call the answer exact.
 * @type {(name: string, middle: Outcome, above: Outcome, below: Outcome) => number}
 */
function halfWidth(name, middle, above, below) {
  const ends = [above, below].filter((outcome) => !outcome.refusal).map((outcome) => outcome.values[name]);
  return Math.max(0, ...ends.map((end) => Math.abs(end - middle.values[name])));
}

/** @type {(shares: [string, number][]) => Spread} */
function spreadOf(shares) {
  const ordered = [...shares].sort((a, b) => b[1] - a[1]);
  const likely = Math.sqrt(ordered.reduce((sum, [, half]) => sum + half * half, 0));
  return { likely, worst: ordered.reduce((sum, [, half]) => sum + half, 0), shares: ordered };
}

/**
 * The whole number whose answer is the wanted one, the nearest to `near` first; of two as near, the smaller.
 * @type {(off: (x: number) => number, take: Take, near: number, wanted: number) => number}
 */
function wholeRoot(off, take, near, wanted) {
  const answers = [];
  const low = Math.trunc(take.low);
  const counts = Array.from({ length: Math.trunc(take.high) - low + 1 }, (_, step) => low + step);
  for (const count of counts.sort((a, b) => Math.abs(a - near) - Math.abs(b - near))) {
    const miss = off(count);
    if (Number.isNaN(miss)) continue;
    if (Math.abs(miss) <= 1e-9 * Math.abs(wanted)) return count;
    answers.push(miss + wanted);
  }
  throw new NoSolution(answers);
}

/** @type {(value: any) => number} */
const asNumber = (value) => (typeof value === "number" ? value : NaN);
