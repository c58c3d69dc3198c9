// A Figure as it stands on the page: typed texts in, every string of the page out. Twin: webapp/figures/present.py, where the
// shape of the result (a "view") is described; both are given the same texts in the tests and must print the same.

import { Calculator, isNumericGive, isNumericTake, runEnd } from "./calculator.js";
import { allUnits, echo, EXACT_DIGITS, exact, fullText, halfWidth, inUnit, OTHER_DIGITS, withUnit, written } from "./display.js";
import { NumberProblem, readQuantity, splitQuantity } from "./number.js";
import { NoSolution } from "./search.js";

/** @typedef {import("./calculator.js").Figure} Figure */
/** @typedef {import("./calculator.js").Take} Take */
/** @typedef {import("./calculator.js").Give} Give */
/** @typedef {import("./calculator.js").Outcome} Outcome */
/** @typedef {import("./calculator.js").Spread} Spread */
/** @typedef {import("./calculator.js").Values} Values */
/** @typedef {Record<string, any>} View */
/** @typedef {{units: any, choices: import("./calculator.js").Tables}} Book units: the table of kinds and units; choices: rows of numbers */
/** @typedef {{text: any, words: Record<string, string>, decimal: string, rowLabels: Record<string, Record<string, string>>}} Language */

/** A sentence that names how low or high an answer may lie. */
const ENDED = /\{(\w+)\.(?:low|high)\}/g;
/** A field in a sentence. */
const FIELD = /\{([^{}]+)\}/g;
const ROUGH_DIGITS = 3;
/** Nothing is known yet of how far off the answers may be. @type {Record<string, Spread>} */
const NO_SPREADS = {};
/** The sign of a typed nought: 0 has none, and "-0" must not look like a number below it. */
const BELOW_NOUGHT = /^-(?=[0 .,']*(?:\/|$))/;

export class Presenter {
  /**
   * One Figure in one language.
   * @param {Book} book
   * @param {Language} language
   * @param {Figure} figure
   */
  constructor(book, language, figure) {
    this.figure = figure;
    this.calculator = new Calculator(figure, book.choices);
    this.text = language.text;
    this.words = language.words;
    this.decimal = language.decimal;
    this.rowLabels = language.rowLabels;
    this.table = book.units;
    this.units = book.units.units;
    this.kinds = book.units.kinds;
    this.choices = book.choices;
    /** Whether what takes longest, how far off the answers may be and the remedies, is left out of the view and follows by `settling`. */
    this.isQuick = false;
    /** @type {Record<string, Spread>} how far off the answers of the last full view may be; a quick one rounds by them, and shows none */
    this.spreads = NO_SPREADS;
    /** @type {Record<string, Spread> | null} found by `settling` for the very inputs of the next view */
    this.ready = null;
    /** @type {Record<string, string>} texts of the view made last */
    this.numbers = {};
    /** @type {{givens: Record<string, any>, outcome: any, unknown: Take | null}} the SI numbers behind the view made last, and what was to be found */
    this.last = { givens: {}, outcome: null, unknown: null };
    /** @type {Map<string, {from: (string | undefined)[], row: View, given: any}>} each row as it stood last, what it was made from, its number */
    this.rowsBefore = new Map();
    /** @type {Map<string, {from: (string | number)[], answer: View}>} each answer as it stood last, and what it was made from */
    this.answersBefore = new Map();
    /** @type {Map<string, Record<string, string>>} texts that never change: of the constants (''), and of the rows to choose from */
    this.texts = new Map();
    /** @type {WeakMap<View, string>} the number of each row as sentences repeat it */
    this.rowNumbers = new WeakMap();
    const { warn, verdict, remedies } = this.text;
    this.ended = new Set([...[...warn, ...verdict, ...remedies].join(" ").matchAll(ENDED)].map(([, name]) => name));
  }

  /**
   * The page's strings for what was typed; an input not in `typed` stands at its default.
   * @param {Record<string, string>} typed
   * @param {string} [solveFor]
   * @returns {View}
   */
  view(typed, solveFor = "") {
    this.last = { givens: {}, outcome: null, unknown: null };
    const asked = this.asked() && this.figure.takes.find((take) => take.name === solveFor && isNumericTake(take));
    const unknown = asked ?? null;
    const { rows, givens } = this.readRows(typed, unknown);
    /** @type {View} */
    const view = {
      state: "ok", sentence: "", about: "", rows, answers: [], found: null, spread: "", warnings: [],
      verdict: null, estimate: "", remedies: [], numbers: this.constantNumbers(),
    };
    const wanted = unknown ? this.wanted(typed, givens, unknown, rows) : null;
    const broken = rows.filter((row) => row.problem);
    if (broken.length) {
      const missing = broken.every((row) => row.code === "empty");
      return { ...view, state: missing ? "missing" : "refused", sentence: this.problemLine(broken[0]), about: broken[0].name };
    }
    if (unknown && wanted) {
      const refused = this.find(unknown, wanted, givens, view);
      if (refused) return { ...view, ...refused };
    }
    return this.answer(givens, view, unknown);
  }

  // -- inputs ---------------------------------------------------------------------------------------------------------------------

  /**
   * @param {Record<string, string>} typed
   * @param {Take | null} unknown
   */
  readRows(typed, unknown) {
    /** @type {Values} */
    const givens = {};
    for (const take of this.figure.takes) if (take.type === "choice") givens[take.name] = typed[take.name] ?? take.default;
    const rows = this.figure.takes.map((take) => this.row(take, typed, givens, take === unknown));
    return { rows, givens };
  }

  /**
   * A row; the very one that stood last while nothing that it is made from has changed, as from key to key most rows have not.
   * The unknown's row is completed once its number is found, so it is made anew.
   * @param {Take} take
   * @param {Record<string, string>} typed
   * @param {Values} givens  its number is added
   * @param {boolean} isUnknown
   * @returns {View}
   */
  row(take, typed, givens, isUnknown) {
    if (isUnknown) return this.newRow(take, typed, givens, isUnknown);
    const from = [typed[take.name], take.brings && givens[take.brings.split(".")[0]]];
    const before = this.rowsBefore.get(take.name);
    if (before && isSame(before.from, from)) {
      if (before.given !== undefined) givens[take.name] = before.given;
      return before.row;
    }
    const row = this.newRow(take, typed, givens, isUnknown);
    this.rowsBefore.set(take.name, { from, row, given: givens[take.name] });
    return row;
  }

  /**
   * @param {Take} take
   * @param {Record<string, string>} typed
   * @param {Values} givens
   * @param {boolean} isUnknown
   * @returns {View}
   */
  newRow(take, typed, givens, isUnknown) {
    const { label, note } = this.text.labels[take.name];
    /** @type {View} */
    const row = {
      name: take.name, label, note, type: take.type, is_unknown: isUnknown, is_wanted: false, sort: this.sortWord(take.kind),
      text: "", number: "", unit: "", unit_id: "", units: [], options: [], echo: [], points: [], problem: "", code: "",
      signed: isNumericTake(take) && take.low < 0, whole: take.type === "count", brought: false, group: take.group ?? "",
    };
    if (take.type === "choice") this.choiceRow(take, row, givens);
    else if (take.type === "points") this.pointsRow(take, row, typed, givens);
    else this.quantityRow(take, row, typed, givens);
    return row;
  }

  /** @type {(take: Take, row: View, givens: Values) => void} */
  choiceRow(take, row, givens) {
    const labels = this.rowLabels[take.table];
    row.options = Object.entries(labels).map(([id, label]) => ({ id, label }));
    row.text = givens[take.name];
    if (!Object.hasOwn(labels, row.text)) {
      row.problem = this.say("refusal_row", { label: row.label, text: row.text });
      givens[take.name] = take.default;
    }
  }

  /** @type {(take: Take, row: View, typed: Record<string, string>, givens: Values) => void} */
  quantityRow(take, row, typed, givens) {
    const text = typed[take.name] ?? this.brought(take, givens);
    row.brought = Boolean(take.brings) && typed[take.name] === undefined;
    row.units = this.kinds[take.kind].units.map((/** @type {string} */ id) => ({ id, symbol: this.units[id].symbol }));
    this.readInto(row, text, take.kind, take.unit, givens, take.name);
    if (row.is_unknown && row.problem) {
      // The unknown needs no number of its own; its default only says where to look first.
      row.problem = "";
      row.code = "";
      givens[take.name] = this.siDefault(take, givens);
    }
  }

  /** @type {(row: View, text: string, kind: string, unit: string, givens: Values, name: string) => void} */
  readInto(row, text, kind, unit, givens, name) {
    row.text = text;
    const [number, unitText] = splitQuantity(text);
    row.number = number;
    row.unit_id = unit;
    row.unit = unitText || this.units[unit].symbol;
    try {
      const reading = readQuantity(text, kind, this.table, unit);
      row.unit_id = reading.unit;
      row.unit = this.units[reading.unit].symbol;
      row.echo = echo(reading.si, this.kinds[kind], this.units, reading.unit, this.decimal);
      givens[name] = reading.si;
    } catch (error) {
      if (!(error instanceof NumberProblem)) throw error;
      row.problem = error.sentence(this.words);
      row.code = error.code;
    }
  }

  /** @type {(take: Take, row: View, typed: Record<string, string>, givens: Values) => void} */
  pointsRow(take, row, typed, givens) {
    row.text = oneLine(typed[take.name] ?? "") || this.pointsText(take);
    row.unit = this.units[take.unit].symbol;
    row.unit_id = take.unit;
    row.across = { label: this.text.across[take.name], unit: this.units[take.across.unit].symbol };
    givens[take.name] = [];
    for (const part of row.text.split(";")) {
      const cut = part.indexOf(":");
      const [x, y] = cut < 0 ? [part, ""] : [part.slice(0, cut), part.slice(cut + 1)];
      row.points.push([x.trim(), y.trim()]);
      try {
        givens[take.name].push([
          readQuantity(x, take.across.kind, this.table, take.across.unit).si,
          readQuantity(y, take.kind, this.table, take.unit).si,
        ]);
      } catch (error) {
        if (!(error instanceof NumberProblem)) throw error;
        row.problem = row.problem || error.sentence(this.words);
        row.code = error.code;
      }
    }
  }

  /** @type {(take: Take) => string} */
  pointsText(take) {
    const [xUnit, yUnit] = [this.units[take.across.unit], this.units[take.unit]];
    return take.default.map((/** @type {number[]} */ [x, y]) => `${fullText(x, xUnit, this.decimal)}: ${fullText(y, yUnit, this.decimal)}`).join("; ");
  }

  /** @type {(take: Take, givens: Values) => number} */
  siDefault(take, givens) {
    if (!take.brings) return take.default;
    const [choice, column] = take.brings.split(".");
    const source = /** @type {Take} */ (this.figure.takes.find((one) => one.name === choice));
    return this.choices[source.table][givens[choice]][column] ?? NaN;
  }

  /** @type {(take: Take, givens: Values) => string} the text an untouched field holds */
  brought(take, givens) {
    const si = this.siDefault(take, givens);
    return Number.isNaN(si) ? "" : fullText(si, this.units[take.unit], this.decimal);
  }

  /** @type {(typed: Record<string, string>, givens: Values, unknown: Take, rows: View[]) => [Give, number] | null} */
  wanted(typed, givens, unknown, rows) {
    const typedOne = this.wantable().find((one) => typed[one.name] !== undefined);
    const give = /** @type {Give} */ (typedOne ?? this.asked());
    const { label, note } = this.text.labels[give.name];
    /** @type {View} */
    const row = {
      name: give.name, label, note, type: "quantity", is_unknown: false, is_wanted: true, sort: this.sortWord(give.kind),
      options: [], echo: [], points: [], problem: "", code: "", signed: true, whole: false, brought: false,
      units: this.kinds[give.kind].units.map((/** @type {string} */ id) => ({ id, symbol: this.units[id].symbol })),
    };
    const unit = this.firstUnit(give, rows);
    let text = typed[give.name];
    if (text === undefined) {
      const value = rows.some((one) => one.problem) ? NaN : this.calculator.answer(give.name, givens);
      text = Number.isNaN(value) ? "" : withUnit(exact(inUnit(value, this.units[unit]), OTHER_DIGITS, this.decimal), this.units[unit].symbol);
    }
    /** @type {Values} */
    const found = {};
    this.readInto(row, text, give.kind, unit, found, give.name);
    rows.push(row);
    return give.name in found ? [give, found[give.name]] : null;
  }

  // -- answers --------------------------------------------------------------------------------------------------------------------

  /** @type {(unknown: Take, wanted: [Give, number], givens: Values, view: View) => View | null} */
  find(unknown, [give, si], givens, view) {
    const row = view.rows.find((/** @type {View} */ one) => one.is_unknown);
    const unit = this.units[row.unit_id];
    let value;
    try {
      value = this.calculator.solve(unknown.name, give.name, si, givens);
    } catch (error) {
      if (!(error instanceof NoSolution)) throw error;
      return { state: "refused", sentence: this.noSolution(unknown, give, si, error, row.unit_id, view.rows), about: give.name };
    }
    givens[unknown.name] = value;
    row.number = exact(inUnit(value, unit), OTHER_DIGITS, this.decimal);
    row.unit = unit.symbol;
    row.text = withUnit(row.number, unit.symbol);
    row.echo = echo(value, this.kinds[unknown.kind], this.units, row.unit_id, this.decimal);
    view.found = {
      ...answerShape(unknown.name, row.label, row.note, row.sort), number: row.number, unit: unit.symbol, unit_id: row.unit_id,
      others: row.echo, full: fullText(value, unit, this.decimal), first: true,
    };
    return null;
  }

  /** @type {(givens: Values, view: View, unknown: Take | null) => View} */
  answer(givens, view, unknown) {
    const outcome = this.calculator.evaluate(givens);
    this.last = { givens, outcome, unknown };
    const numbers = { ...view.numbers, ...this.inputNumbers(givens, view.rows) };
    if (outcome.refusal) {
      this.addReached(outcome, numbers);
      return { ...view, state: "refused", sentence: this.refusal(outcome, numbers, view.rows), about: aboutOf(outcome, this.figure), numbers };
    }
    if (!this.isQuick) this.spreads = this.ready ?? this.calculator.spreads(givens, this.accuracies(givens, unknown), outcome);
    const { spreads } = this;
    for (const give of this.figure.gives) {
      const spread = spreads[give.name] ?? null;
      const answer = this.shown(give, outcome, spread, view.rows);
      if (answer.words) answer.words = this.fill(answer.words, numbers);
      numbers[give.name] = answer.words || withUnit(answer.number, answer.unit);
      if (this.ended.has(give.name)) Object.assign(numbers, this.ends(answer, outcome.values[give.name], spread));
      const isEmpty = give.type === "series" && !answer.rows.length;
      if (give.first || (give.shown && !isEmpty)) view.answers.push(answer);
      if (give.first && spread && !unknown && !this.isQuick) view.spread = this.spreadLine(answer, spread, outcome.values[give.name]);
    }
    view.numbers = this.numbers = numbers;
    view.warnings = outcome.warnings.map((n) => this.fill(this.text.warn[n], numbers));
    if (outcome.verdict !== null) {
      view.verdict = { level: this.figure.verdict[outcome.verdict].level, text: this.fill(this.text.verdict[outcome.verdict], numbers) };
    }
    view.estimate = this.fill(this.text.estimate, numbers);
    if (!this.isQuick && !this.ready) view.remedies = this.remedies(givens, outcome, numbers, view.rows);
    return view;
  }

  /** @type {(give: Give, outcome: Outcome, spread: Spread | null, rows: View[]) => View} */
  shown(give, outcome, spread, rows) {
    const { label, note } = this.text.labels[give.name];
    const answer = { ...answerShape(give.name, label, note, this.sortWord(give.kind)), first: give.first };
    const value = outcome.values[give.name];
    if (give.type === "words") return { ...answer, words: this.text.words[give.name][value] };
    if (give.type === "series") {
      // Rows of a table are called by the first of them.
      const words = give.table && value.length ? this.rowLabel(give, value[0]) : "";
      return { ...answer, words, ...this.series(give, value) };
    }
    if (!Number.isFinite(value)) return { ...answer, words: this.words.answer_not_reached };
    const id = this.firstUnit(give, rows);
    const unit = this.units[id];
    const width = spread ? spread.likely : 0;
    // Before it is known how far off an answer may be, it does not show more digits than any of this sort deserves.
    const isRough = this.isQuick && this.spreads === NO_SPREADS;
    const from = [value, width, id, Number(this.isQuick) + Number(isRough)];
    const before = this.answersBefore.get(give.name);
    if (before && isSame(before.from, from)) return before.answer;
    const { decimal, kinds, units } = this;
    /** @type {View[] | undefined} written when they are first looked at: of most answers that is when the typing pauses */
    let others;
    const fresh = {
      ...answer, number: isRough ? exact(inUnit(value, unit), ROUGH_DIGITS, decimal) : written(value, unit, width, decimal), unit: unit.symbol, unit_id: id,
      get others() {
        return others ??= allUnits(value, kinds[give.kind], units, id, width, decimal);
      },
      get full() {
        return fullText(value, unit, decimal);
      },
      plus_minus: width > 0 && !this.isQuick ? halfWidth(width, unit, inUnit(value, unit), decimal) : "",
    };
    this.answersBefore.set(give.name, { from, answer: fresh });
    return fresh;
  }

  /**
   * How low and how high a number may lie, as sentences name it: {name.low}, {name.high}.
   * @param {View} answer
   * @param {any} value
   * @param {Spread | undefined} spread
   * @returns {Record<string, string>}
   */
  ends(answer, value, spread) {
    if (this.isQuick) return { [`${answer.name}.low`]: "…", [`${answer.name}.high`]: "…" };
    const unit = this.units[answer.unit_id];
    const width = spread ? spread.likely : 0;
    const told = (/** @type {number} */ si) => (unit ? withUnit(written(si, unit, width, this.decimal), answer.unit) : answer.words);
    return { [`${answer.name}.low`]: told(value - width), [`${answer.name}.high`]: told(value + width) };
  }

  /** @type {(give: Give, rows: number[][]) => View} */
  series(give, rows) {
    const { each, rank } = this.text.series[give.name];
    const shown = give.columns.filter((column) => column.shown);
    const heads = shown.map((column) => ({ label: this.text.labels[column.name].label, unit: this.units[column.unit].symbol }));
    return {
      columns: [...(give.ranked ? [{ label: rank, unit: "" }] : []), ...(each ? [{ label: each, unit: "" }] : []), ...heads],
      rows: rows.map((row, n) => this.seriesRow(give, n + 1, row)),
      picture: pictureOf(give, rows),
    };
  }

  /** @type {(give: Give, rank: number, row: number[]) => string[]} */
  seriesRow(give, rank, row) {
    const cells = give.ranked ? [String(rank)] : [];
    if (give.table) cells.push(this.rowLabel(give, row));
    else if (this.text.series[give.name].each) cells.push(exact(row[0], EXACT_DIGITS, this.decimal));
    give.columns.forEach((column, n) => {
      if (column.shown) cells.push(exact(inUnit(row[n + 1], this.units[column.unit]), EXACT_DIGITS, this.decimal));
    });
    return cells;
  }

  /** @type {(give: Give, row: number[]) => string} what the table's row is called that a series' row stands for */
  rowLabel(give, row) {
    return Object.values(this.rowLabels[/** @type {string} */ (give.table)])[row[0]];
  }

  /** @type {() => Give | undefined} the answer wanted first while an input is looked for: the marked one, the main one, or the first that can be */
  asked() {
    const able = this.wantable();
    return able.find((give) => give.asked) ?? able.find((give) => give.first) ?? able[0];
  }

  /** @type {() => Give[]} answers that an input can be looked for by: numbers, and none that takes the whole run to find */
  wantable() {
    return this.figure.gives.slice(0, runEnd(this.figure)).filter(isNumericGive);
  }

  /** @type {(give: Give, rows: View[]) => string} */
  firstUnit(give, rows) {
    if (!give.unlike) return give.unit;
    const typed = rows.find((row) => row.name === give.unlike)?.unit_id ?? "";
    return [give.unit, ...this.kinds[give.kind].units].find((unit) => unit !== typed);
  }

  /** @type {(givens: Values, unknown: Take | null) => Record<string, number>} */
  accuracies(givens, unknown) {
    /** @type {Record<string, number>} */
    const found = {};
    for (const take of this.figure.takes) {
      if (!take.accuracy || take === unknown) continue;
      const [how, width] = take.accuracy;
      const accuracy = how === "share" ? Math.abs(width * givens[take.name]) : width;
      if (accuracy > 0) found[take.name] = accuracy;
    }
    return found;
  }

  /** @type {(givens: Values, outcome: Outcome, numbers: Record<string, string>, rows: View[]) => string[]} */
  remedies(givens, outcome, numbers, rows) {
    return this.calculator.remedies(givens, outcome).flatMap((found) => this.remedy(found, numbers, rows));
  }

  /** @type {(found: [number, number | null], numbers: Record<string, string>, rows: View[]) => string[]} one sentence, none where no input would do it */
  remedy([index, value], numbers, rows) {
    if (value === null) return [];
    const { solve } = this.figure.remedies[index];
    const row = /** @type {View} */ (rows.find((one) => one.name === solve));
    const text = withUnit(exact(inUnit(value, this.units[row.unit_id]), OTHER_DIGITS, this.decimal), row.unit);
    return [this.fill(this.text.remedies[index], { ...numbers, [solve]: text })];
  }

  /**
   * Finds how far off the answers of the quick view made last may be, step by step: the next view of the same inputs shows it.
   * @returns {Generator<null, void>}
   */
  * settling() {
    const { givens, outcome, unknown } = this.last;
    if (outcome && !outcome.refusal) this.ready = yield* this.calculator.spreadByInput(givens, this.accuracies(givens, unknown), outcome);
  }

  /**
   * Adds its remedies to the view made last, piece by piece.
   * @param {View} view
   * @returns {Generator<null, void>}
   */
  * addRemedies(view) {
    const { givens, outcome } = this.last;
    if (!outcome || outcome.refusal) return;
    for (const found of this.calculator.remedying(givens, outcome)) {
      if (found) view.remedies.push(...this.remedy(found, view.numbers, view.rows));
      yield null;
    }
  }

  // -- sentences ------------------------------------------------------------------------------------------------------------------

  /** @type {(answer: View, spread: Spread, value: number) => string} */
  spreadLine(answer, spread, value) {
    if (spread.likely <= 0) return "";
    const unit = this.units[answer.unit_id];
    const inIt = inUnit(value, unit);
    const [likely, worst] = [spread.likely, spread.worst].map((width) => withUnit(halfWidth(width, unit, inIt, this.decimal), answer.unit));
    const fields = { answer: withUnit(answer.number, answer.unit), likely, worst };
    if (spread.shares.filter(([, half]) => half > 0).length < 2) return this.say("spread_even", fields);
    return this.say("spread_line", { ...fields, input: this.text.labels[spread.shares[0][0]].label });
  }

  /** @type {(outcome: Outcome, numbers: Record<string, string>, rows: View[]) => string} */
  refusal(outcome, numbers, rows) {
    const { reason, name, index, limit } = /** @type {import("./calculator.js").Refusal} */ (outcome.refusal);
    if (reason === "said") return this.fill(this.text.refuse[index], numbers);
    const { label } = this.text.labels[name];
    if (reason === "below" || reason === "above") {
      const unit = this.units[/** @type {View} */ (rows.find((row) => row.name === name)).unit_id];
      const told = withUnit(exact(inUnit(limit, unit), OTHER_DIGITS, this.decimal), unit.symbol);
      return this.say(`refusal_${reason}`, { label, value: numbers[name], limit: told });
    }
    if (reason === "curve") {
      const unit = this.units[/** @type {Take} */ (this.figure.takes.find((take) => take.name === name)).across.unit];
      const told = withUnit(exact(inUnit(limit, unit), OTHER_DIGITS, this.decimal), unit.symbol);
      return this.say("refusal_curve", { label, across: this.text.across[name], limit: told });
    }
    const keys = { "not whole": "refusal_whole", points: "refusal_points", "no value": "refusal_no_value", "no root": "refusal_no_root" };
    return this.say(keys[/** @type {keyof typeof keys} */ (reason)], { label, value: numbers[name] ?? "" });
  }

  /** @type {(unknown: Take, give: Give, wanted: number, none: NoSolution, unitId: string, rows: View[]) => string} */
  noSolution(unknown, give, wanted, none, unitId, rows) {
    const unit = this.units[unitId];
    const out = this.units[/** @type {View} */ (rows.find((row) => row.is_wanted)).unit_id];
    const told = (/** @type {number} */ si, /** @type {any} */ of) => withUnit(exact(inUnit(si, of), OTHER_DIGITS, this.decimal), of.symbol);
    const { label } = this.text.labels[unknown.name];
    const range = { label, low: told(unknown.low, unit), high: told(unknown.high, unit) };
    if (none.lowest === null || none.highest === null) return this.say("refusal_no_solution_at_all", range);
    const answer = this.text.labels[give.name].label;
    return this.say("refusal_no_solution", { ...range, wanted: told(wanted, out), answer, lowest: told(none.lowest, out), highest: told(none.highest, out) });
  }

  /** @type {(row: View) => string} the sentence about a row that cannot be read */
  problemLine(row) {
    if (row.code === "empty") return this.say("refusal_missing", { label: row.label });
    return row.code ? this.say("problem_line", { label: row.label, problem: row.problem }) : row.problem;
  }

  /** @type {(kind: string) => string} */
  sortWord(kind) {
    const sort = kind ? this.kinds[kind].sort : "";
    return sort ? this.words[`sort_${sort}`] : "";
  }

  /** @type {(key: string, fields: Record<string, string>) => string} */
  say(key, fields) {
    return this.fill(this.words[key], fields);
  }

  /** A sentence with the numbers of the view made last. @param {string} text */
  filled(text) {
    return this.fill(text, this.numbers);
  }

  /** @type {(text: string, fields: Record<string, string>) => string} */
  fill(text, fields) {
    return text.includes("{") ? text.replace(FIELD, (whole, name) => (Object.hasOwn(fields, name) ? fields[name] : whole)) : text;
  }

  // -- numbers for the working and the sentences -----------------------------------------------------------------------------------

  constantNumbers() {
    const { constants, constantUnits } = this.figure;
    return this.lasting("", () => Object.entries(constants).map(([name, si]) => [name, fullText(si, this.units[constantUnits[name]], this.decimal)]));
  }

  /** Texts that stay the same as long as the page stands, made when they are first wanted. @param {string} key @param {() => string[][]} make */
  lasting(key, make) {
    const texts = this.texts.get(key) ?? Object.fromEntries(make());
    this.texts.set(key, texts);
    return texts;
  }

  /** @type {(givens: Values, rows: View[]) => Record<string, string>} */
  inputNumbers(givens, rows) {
    /** @type {Record<string, string>} */
    const numbers = {};
    for (const [n, take] of this.figure.takes.entries()) {
      const row = rows[n];
      if (take.type === "choice") {
        numbers[take.name] = this.rowLabels[take.table][givens[take.name]];
        this.addCells(take, givens[take.name], numbers);
      } else numbers[take.name] = this.rowNumber(row);
    }
    return numbers;
  }

  /** Written once for each row: from key to key most rows are the ones that stood before. @param {View} row */
  rowNumber(row) {
    const text = this.rowNumbers.get(row) ?? withUnit(repeated(row.number), row.unit);
    this.rowNumbers.set(row, text);
    return text;
  }

  /** @type {(take: Take, rowId: string, numbers: Record<string, string>) => void} */
  addCells(take, rowId, numbers) {
    const columns = this.table.columns[take.table];
    Object.assign(numbers, this.lasting(`${take.name} ${rowId}`, () => Object.entries(this.choices[take.table][rowId]).map(
      ([column, cell]) => [`${take.name}.${column}`, fullText(cell, this.units[columns[column]], this.decimal)],
    )));
  }

  /** @type {(outcome: Outcome, numbers: Record<string, string>) => void} */
  addReached(outcome, numbers) {
    for (const [name, value] of Object.entries(outcome.values)) {
      const give = /** @type {Give} */ (this.figure.gives.find((one) => one.name === name));
      if (!isNumericGive(give)) continue;
      const unit = this.units[give.unit];
      numbers[name] = withUnit(exact(inUnit(value, unit), OTHER_DIGITS, this.decimal), unit.symbol);
    }
  }
}

/** @type {(one: unknown[], other: unknown[]) => boolean} */
const isSame = (one, other) => one.every((part, n) => Object.is(part, other[n]));

/** @type {(name: string, label: string, note: string, sort: string) => View} */
function answerShape(name, label, note, sort) {
  return { name, label, note, sort, first: false, number: "", unit: "", unit_id: "", others: [], plus_minus: "", full: "", words: "", columns: [], rows: [], picture: [] };
}

/** @type {(give: Give, rows: number[][]) => {x: string, y: string, label: string}[]} where each row stands, from 0 to 100 both ways */
function pictureOf(give, rows) {
  if (!give.picture) return [];
  const names = give.columns.map((column) => column.name);
  const [across, down] = give.picture.map((name) => names.indexOf(name) + 1);
  const [left, top] = [across, down].map((at) => Math.min(...rows.map((row) => row[at])));
  const span = Math.max(...rows.map((row) => Math.max(row[across] - left, row[down] - top))) || 1;
  const place = (/** @type {number} */ value) => exact(Math.floor(200 * (value / span) + 0.5) / 2, 4, ".");
  return rows.map((row, n) => ({ x: place(row[across] - left), y: place(row[down] - top), label: String(n + 1) }));
}

/** Points typed one pair a line, as the field without scripts shows them, with semicolons in place of the lines' ends. @param {string} text */
function oneLine(text) {
  return text.replace(/^[ \t\r\n]+|[ \t\r\n]+$/g, "").replace(/[ \t\r]*;?[ \t\r]*\n[ \t\r\n]*/g, "; ");
}

/**
 * A typed number as a sentence repeats it: with the minus that computed numbers have, and none before nought.
 * @param {string} number
 */
function repeated(number) {
  return number.replace(BELOW_NOUGHT, "").replace(/^-/, "−");
}

/** @type {(outcome: Outcome, figure: Figure) => string} */
function aboutOf(outcome, figure) {
  const name = outcome.refusal?.name ?? "";
  return figure.takes.some((take) => take.name === name) ? name : "";
}
