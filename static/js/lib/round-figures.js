/**
 * What a torque round takes from three Figures: the order and the places of the fasteners and the shares of its rounds from
 * 'tightening-order', the wrench setting with an adapter from 'torque-adapter', where that lies on the wrench's scale from
 * 'wrench-range'. Nothing is worked out here that they work out. No DOM.
 *
 * @typedef {{FIGURE: import("./calculator.js").Figure, CHOICES: import("./calculator.js").Tables, TEXT: any, ROW_LABELS: any}} FigureModule  js/figures/ID.LANG.js
 * @typedef {{order: FigureModule, adapter: FigureModule, range: FigureModule, units: any, words: Record<string, string>, decimal: string}} Given
 * @typedef {{pattern: string, across: number | string, down: number | string}} Pattern
 * @typedef {{order: number[], places: Map<number, [number, number]>, sentence: string}} Plan
 *   order: numbers of the fasteners from 1, the first one first, empty where `sentence` says why; places: across and down, in the Figure's own steps
 * @typedef {{number: string, unit: string, others: import("./display.js").Shown[]}} Torque
 * @typedef {Torque & {warnings: string[], sentence: string}} Setting
 * @typedef {import("./job.js").Round} Round
 */

import { allUnits, exact, fullText, inUnit, OTHER_DIGITS } from "./display.js";
import { NumberProblem, readQuantity } from "./number.js";
import { Presenter } from "./present.js";

const FULL = 1;

export class RoundFigures {
  /** @param {Given} given */
  constructor({ order, adapter, range, units, words, decimal }) {
    const presenterOf = (/** @type {FigureModule} */ { FIGURE, CHOICES, TEXT, ROW_LABELS }) =>
      new Presenter({ units, choices: CHOICES }, { text: TEXT, words, decimal, rowLabels: ROW_LABELS }, FIGURE);
    this.ordering = presenterOf(order);
    this.adapting = presenterOf(adapter);
    this.ranging = presenterOf(range);
    this.table = units;
    this.words = words;
    this.decimal = decimal;
  }

  /** Shares of the torque, one a round, as the Figure has them; the last one is the whole. */
  defaultShares() {
    const { first_share, second_share } = this.ordering.figure.constants;
    return [first_share, second_share, FULL];
  }

  /** Patterns to choose from. @returns {{id: string, label: string}[]} */
  patterns() {
    return Object.entries(this.ordering.rowLabels["bolt-patterns"]).map(([id, label]) => ({ id, label: String(label) }));
  }

  /**
   * The Figure's view of a pattern and a torque as typed: its sentences say what is wrong.
   * @param {Pattern} pattern @param {string} torque  with its unit
   */
  view({ pattern, across, down }, torque) {
    // A circle has no rows; the Figure reads the field all the same.
    return this.ordering.view({ pattern, across: String(across), down: pattern === "circle" ? "1" : String(down), torque });
  }

  /** @param {Pattern} pattern @returns {Plan} */
  plan(pattern) {
    const view = this.view(pattern, this.anyTorque());
    if (view.state !== "ok") return { order: [], places: new Map(), sentence: view.sentence };
    const { columns, picture } = /** @type {import("./calculator.js").Give} */ (this.ordering.figure.gives.find(({ name }) => name === "order"));
    const [x, y] = /** @type {[string, string]} */ (picture).map((name) => columns.findIndex((column) => column.name === name) + 1);
    /** @type {number[][]} a row: number of the fastener, then the columns */
    const rows = this.ordering.last.outcome.values.order;
    return { order: rows.map(([bolt]) => bolt), places: new Map(rows.map((row) => [row[0], [row[x], row[y]]])), sentence: "" };
  }

  /** A pattern with the numbers read, nothing wrong with it; a circle is one row. @param {Pattern} pattern @returns {{across: number, down: number, count: number}} */
  counts(pattern) {
    this.view(pattern, this.anyTorque());
    const { givens, outcome } = this.ordering.last;
    return { across: givens.across, down: givens.down, count: outcome.values.count };
  }

  /** A share of a torque, in the unit that it was typed in and in all others of the trade. @param {string} text  with its unit @param {number} [share] @returns {Torque | null} null: not a torque */
  torque(text, share = FULL) {
    const read = this.read(text);
    if (!read) return null;
    const { units, kinds } = this.table;
    const { unit, si } = read;
    const number = exact(inUnit(si * share, units[unit]), OTHER_DIGITS, this.decimal);
    return { number, unit: units[unit].symbol, others: allUnits(si * share, kinds.torque, units, unit, this.accuracy() * si * share, this.decimal) };
  }

  /**
   * What the wrench is set to for a share of a round's torque, in the unit of the torque first; null without an adapter.
   * @param {Pick<Round, "torque"> & {adapter: {length: string, offset: string, angle: string} | null}} round
   * @param {number} [share]
   * @returns {Setting | null}
   */
  setting({ torque, adapter }, share = FULL) {
    if (!adapter) return null;
    const read = this.read(torque);
    const view = this.adapting.view({ ...this.ofAdapter(adapter), torque: this.shareText(torque, share) });
    if (view.state !== "ok") return { number: "", unit: "", others: [], warnings: [], sentence: view.sentence };
    const answer = view.answers.find((/** @type {any} */ { name }) => name === "setting");
    /** @type {import("./display.js").Shown[]} */
    const all = [{ number: answer.number, unit: answer.unit }, ...answer.others];
    const own = all.find(({ unit }) => read && unit === this.table.units[read.unit].symbol) ?? all[0];
    return { ...own, others: all.filter((one) => one !== own), warnings: view.warnings, sentence: "" };
  }

  /** A share of a torque as the Figures read it. @param {string} torque  with its unit @param {number} share */
  shareText(torque, share) {
    const read = this.read(torque);
    return read ? fullText(read.si * share, this.table.units[read.unit], this.decimal) : torque;
  }

  /**
   * What the wrench is set to, adapter or not, as the Figures read it.
   * @param {{torque: string, adapter: {length: string, offset: string, angle: string} | null}} round @param {number} share @returns {string} '' where nothing comes of it
   */
  settingText({ torque, adapter }, share) {
    const read = this.read(torque);
    if (!read || !(share > 0)) return "";
    if (!adapter) return this.shareText(torque, share);
    const { state } = this.adapting.view({ ...this.ofAdapter(adapter), torque: this.shareText(torque, share) });
    return state === "ok" ? fullText(this.adapting.last.outcome.values.setting, this.table.units[read.unit], this.decimal) : "";
  }

  /** The Figure's view of a wrench's scale. @param {string} setting @param {{top: string, bottom: string}} scale  bottom: '' where it is not known */
  rangeView(setting, { top, bottom }) {
    return this.ranging.view({ setting, top, bottom: bottom || `0 ${this.table.units[this.torqueTake().unit].symbol}` });
  }

  /**
   * Where a setting lies on a wrench's scale.
   * @param {string} setting @param {{top: string, bottom: string}} scale
   * @returns {{side: "" | "top" | "bottom", sentence: string}}  side: beyond which end, '' on the scale; sentence: '' where the wrench can be trusted with it
   */
  placeOnScale(setting, scale) {
    const view = this.rangeView(setting, scale);
    if (view.state !== "ok") return { side: "", sentence: view.sentence };
    const { givens } = this.ranging.last;
    const side = givens.setting > givens.top ? "top" : givens.setting < givens.bottom ? "bottom" : "";
    return { side, sentence: view.verdict?.level === "stop" ? view.verdict.text : "" };
  }

  /** The Figure's view of an adapter as typed. @param {{length: string, offset: string, angle: string}} adapter @param {string} torque */
  adapterView(adapter, torque) {
    return this.adapting.view({ ...this.ofAdapter(adapter), torque: this.read(torque) ? torque : this.anyTorque() });
  }

  /** @param {{length: string, offset: string, angle: string}} adapter */
  ofAdapter({ length, offset, angle }) {
    return { length, offset, angle };
  }

  /** @param {string} text @returns {import("./number.js").Reading | null} */
  read(text) {
    try {
      return readQuantity(text, "torque", this.table, this.torqueTake().unit);
    } catch (error) {
      if (error instanceof NumberProblem) return null;
      throw error;
    }
  }

  /** A share as typed, '30' or '30 %'. @param {string} text @returns {{share: number, problem: string}} */
  share(text) {
    const { units } = this.table.kinds.share;
    const percent = units.find((/** @type {string} */ id) => this.table.units[id].symbol === "%");
    try {
      return { share: readQuantity(text, "share", this.table, percent).si, problem: "" };
    } catch (error) {
      if (!(error instanceof NumberProblem)) throw error;
      return { share: NaN, problem: error.sentence(this.words) };
    }
  }

  /** @param {number} share  @returns {string} '30', in percent */
  percent(share) {
    return exact(share * 100, OTHER_DIGITS, this.decimal);
  }

  /** A torque that the Figure takes: the order does not hang on it. */
  anyTorque() {
    const { unit, default: si } = this.torqueTake();
    return fullText(si, this.table.units[unit], this.decimal);
  }

  /** How far off a torque wrench may be, as a share: the other units get no more digits than that allows, as on the Figure's page. */
  accuracy() {
    const [how, width] = this.torqueTake().accuracy ?? ["", 0];
    return how === "share" ? width : 0;
  }

  torqueTake() {
    return /** @type {import("./calculator.js").Take} */ (this.ordering.figure.takes.find(({ name }) => name === "torque"));
  }
}
