// Computes one Figure on the phone. Twin: webapp/figures/calculator.py, method for method.

import { OutsideCurve } from "./kernel.js";
import { NoSolution, nearestCrossing, rootBetween } from "./search.js";

/** @typedef {Record<string, any>} Values inputs, constants and answers by name, SI */
/** @typedef {(v: Values) => any} Formula */
/** @typedef {{name: string, type: string, kind: string, unit: string, default: any, low: number, high: number, accuracy: [string, number] | null,
 *   table: string, brings: string, setup?: string, across: {kind: string, unit: string, low: number, high: number}, method: string}} Take */
/** @typedef {{name: string, type: string, kind: string, unit: string, first: boolean, shown: boolean, unlike: string, setup?: string, f: Formula, low: Formula,
 *   high: Formula, where: [string, Formula][], rows: Formula[], over: string, start: Formula, stop: Formula, table?: string,
 *   only?: Formula, most?: number,
 *   columns: {name: string, kind: string, unit: string, shown: boolean, f: Formula}[], by: Formula[], ranked: boolean,
 *   picture: [string, string] | null}} Give */
/** @typedef {{when: Formula, after: number, level: string}} Row */
/** @typedef {{over: string, start: Formula, stop: Formula, steps: number, draw: string[]}} Sweep */
/** @typedef {{id: string, takes: Take[], constants: Record<string, number>, constantUnits: Record<string, string>, gives: Give[], refuse: Row[],
 *   warn: Row[], verdict: Row[], remedies: {solve: string, answer: string, equals: Formula, when: Formula}[], sweeps: Sweep[]}} Figure */
/** @typedef {{reason: string, name: string, index: number, limit: number}} Refusal */
/** @typedef {{values: Values, refusal: Refusal | null, warnings: number[], verdict: number | null}} Outcome */
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

/** @type {(give: Give) => boolean} */
export const isNumericGive = (give) => give.type === "formula" || give.type === "root";
/** @type {(take: Take) => boolean} */
export const isNumericTake = (take) => take.type === "quantity" || take.type === "count";

export class Calculator {
  /**
   * @param {Figure} figure
   * @param {Tables} tables
   */
  constructor(figure, tables) {
    this.figure = figure;
    this.tables = tables;
  }

  /**
   * All answers; says why in `refusal` where there are none. A refused outcome keeps the answers reached before.
   * @param {Values} givens one entry for every input
   * @returns {Outcome}
   */
  evaluate(givens) {
    const { gives, warn, verdict } = this.figure;
    /** @type {Outcome} */
    const outcome = { values: {}, refusal: null, warnings: [], verdict: null };
    try {
      const values = this.start(givens);
      gives.forEach((give, number) => {
        this.refuseAfter(number, values);
        values[give.name] = outcome.values[give.name] = answerOf(give, values, this.tables);
        Object.assign(values, firstRow(give, values[give.name]));
      });
      this.refuseAfter(gives.length, values);
      outcome.warnings = warn.flatMap((row, n) => (row.when(values) ? [n] : []));
      const found = verdict.findIndex((row) => row.when(values));
      outcome.verdict = found < 0 ? null : found;
    } catch (error) {
      if (error instanceof Refused) outcome.refusal = error.refusal;
      else if (error instanceof OutsideCurve) outcome.refusal = { reason: "curve", name: error.curve, index: -1, limit: error.end };
      else throw error;
    }
    return outcome;
  }

  /**
   * One numeric answer, NaN where the Figure refuses.
   * @param {string} name
   * @param {Values} givens
   * @returns {number}
   */
  answer(name, givens) {
    const outcome = this.evaluate(givens);
    return outcome.refusal ? NaN : asNumber(outcome.values[name]);
  }

  /**
   * @param {Values} givens
   * @returns {Values}
   */
  start(givens) {
    /** @type {Values} */
    const values = { ...this.figure.constants };
    for (const take of this.figure.takes) {
      let value = givens[take.name];
      if (take.type === "choice") {
        for (const [column, cell] of Object.entries(this.tables[take.table][value])) values[`${take.name}.${column}`] = cell;
      } else if (take.type === "points") value = checkedPoints(take, value);
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
    this.figure.refuse.forEach((row, index) => {
      if (row.after === number && row.when(values)) throw new Refused({ reason: "said", index });
    });
  }

  /**
   * Value of input `unknown`, inside its range, that makes `answer` equal `wanted`.
   * @param {string} unknown
   * @param {string} answer
   * @param {number} wanted
   * @param {Values} givens
   * @returns {number}
   * @throws {NoSolution}
   */
  solve(unknown, answer, wanted, givens) {
    const take = /** @type {Take} */ (this.figure.takes.find((one) => one.name === unknown));
    const off = (/** @type {number} */ x) => this.answer(answer, { ...givens, [unknown]: x }) - wanted;
    if (take.type === "count") return wholeRoot(off, take, wanted);
    return nearestCrossing(off, take.low, take.high, givens[unknown], wanted);
  }

  /**
   * How far each numeric answer may be off when each input may be off by its SI accuracy.
   * @param {Values} givens
   * @param {Record<string, number>} accuracies
   * @returns {Record<string, Spread>}
   */
  spreads(givens, accuracies) {
    const middle = this.evaluate(givens);
    const names = this.figure.gives.filter(isNumericGive).map((give) => give.name);
    /** @type {Record<string, [string, number][]>} */
    const shares = Object.fromEntries(names.map((name) => [name, []]));
    for (const [taken, accuracy] of Object.entries(accuracies)) {
      const above = this.evaluate({ ...givens, [taken]: givens[taken] + accuracy });
      const below = this.evaluate({ ...givens, [taken]: givens[taken] - accuracy });
      for (const name of names) shares[name].push([taken, halfWidth(name, middle, above, below)]);
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
    if (outcome.refusal) return [];
    const values = { ...this.start(givens), ...outcome.values };
    for (const give of this.figure.gives) Object.assign(values, firstRow(give, values[give.name]));
    return this.figure.remedies.flatMap((remedy, number) => {
      if (!remedy.when(values)) return [];
      return [/** @type {[number, number | null]} */ ([number, this.solvedOrNull(remedy, values, givens)])];
    });
  }

  /**
   * @param {{solve: string, answer: string, equals: Formula}} remedy
   * @param {Values} values
   * @param {Values} givens
   */
  solvedOrNull(remedy, values, givens) {
    try {
      return this.solve(remedy.solve, remedy.answer, remedy.equals(values), givens);
    } catch (error) {
      if (error instanceof NoSolution) return null;
      throw error;
    }
  }

  /**
   * Rows [x, answers drawn …] over the sweep's input; NaN where the Figure refuses.
   * @param {Sweep} sweep
   * @param {Values} givens
   * @returns {number[][]}
   */
  sweep(sweep, givens) {
    let values;
    try {
      values = this.start(givens);
    } catch (error) {
      if (error instanceof Refused) return [];
      throw error;
    }
    const [start, stop] = [sweep.start(values), sweep.stop(values)];
    return Array.from({ length: sweep.steps + 1 }, (_, step) => {
      // The last point is the end itself: rounding must not carry it past the range.
      const x = step === sweep.steps ? stop : start + (stop - start) * step / sweep.steps;
      const outcome = this.evaluate({ ...givens, [sweep.over]: x });
      return [x, ...sweep.draw.map((name) => (outcome.refusal ? NaN : asNumber(outcome.values[name])))];
    });
  }
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
  const off = (/** @type {number} */ x) => {
    const inner = { ...values, [give.name]: x };
    for (const [name, formula] of give.where) inner[name] = formula(inner);
    return give.f(inner);
  };
  const [low, high] = [give.low(values), give.high(values)];
  const [atLow, atHigh] = [off(low), off(high)];
  const known = Number.isFinite(atLow) && Number.isFinite(atHigh);
  if (!known || (atLow > 0 && atHigh > 0) || (atLow < 0 && atHigh < 0)) throw new Refused({ reason: "no root", name: give.name });
  const x = rootBetween(off, low, high, atLow, atHigh);
  // A change of sign is no root where the equation jumps or runs off to infinity.
  if (!(Math.abs(off(x)) <= CLOSE * Math.max(Math.abs(atLow), Math.abs(atHigh)))) throw new Refused({ reason: "no root", name: give.name });
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
  if (!give.table) return {};
  return Object.fromEntries(give.columns.map(({ name }, n) => [`${give.name}.${name}`, rows.length ? rows[0][n + 1] : NaN]));
}

/** @type {(a: number[], b: number[]) => number} the first key that differs decides */
function byKeys(a, b) {
  const n = a.findIndex((key, at) => key !== b[at]);
  return n < 0 ? 0 : a[n] - b[n];
}

/** @type {(name: string, middle: Outcome, above: Outcome, below: Outcome) => number} */
function halfWidth(name, middle, above, below) {
  const ends = [above, below].filter((outcome) => !outcome.refusal).map((outcome) => outcome.values[name]);
  if (ends.length === 2) return Math.abs(ends[0] - ends[1]) / 2;
  return ends.length ? Math.abs(ends[0] - middle.values[name]) : 0;
}

/** @type {(shares: [string, number][]) => Spread} */
function spreadOf(shares) {
  const ordered = [...shares].sort((a, b) => b[1] - a[1]);
  const likely = Math.sqrt(ordered.reduce((sum, [, half]) => sum + half * half, 0));
  return { likely, worst: ordered.reduce((sum, [, half]) => sum + half, 0), shares: ordered };
}

/** @type {(off: (x: number) => number, take: Take, wanted: number) => number} */
function wholeRoot(off, take, wanted) {
  const answers = [];
  for (let count = Math.trunc(take.low); count <= Math.trunc(take.high); count += 1) {
    const miss = off(count);
    if (Number.isNaN(miss)) continue;
    if (Math.abs(miss) <= 1e-9 * Math.abs(wanted)) return count;
    answers.push(miss + wanted);
  }
  throw new NoSolution(answers);
}

/** @type {(value: any) => number} */
const asNumber = (value) => (typeof value === "number" ? value : NaN);
