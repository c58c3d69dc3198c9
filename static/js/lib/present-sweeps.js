// A Figure's sweeps as they stand on the page. Twin: webapp/figures/present_sweeps.py, which says what the parts mean.

import { OTHER_DIGITS, exact, inUnit } from "./display.js";

/** @typedef {import("./present.js").Presenter} Presenter */
/** @typedef {import("./present.js").View} View */
/** @typedef {import("./calculator.js").Sweep} Sweep */
/** @typedef {import("./calculator.js").Picture} Picture */

const MOST_ROWS = 20;

/**
 * What the view made last has to draw.
 * @param {Presenter} presenter
 * @param {boolean} [withRows] whether the table's rows are wanted too: nobody looks at them while it is folded
 * @returns {View[]}
 */
export function sweepsView(presenter, withRows = true) {
  const { outcome } = presenter.last;
  if (!outcome || outcome.refusal) return [];
  return presenter.figure.sweeps.map((sweep, at) => sweepView(presenter, sweep, at, withRows));
}

/** @param {Presenter} presenter @param {Sweep} sweep @param {number} at @param {boolean} withRows @returns {View} */
function sweepView(presenter, sweep, at, withRows) {
  const { givens, outcome } = presenter.last;
  const rows = presenter.calculator.sweep(sweep, givens, outcome);
  const heads = [sweep.over, ...sweep.draw].map((name) => head(presenter, name));
  const text = presenter.text.sweeps[at];
  const unit = unitOf(presenter, sweep.over);
  return {
    title: text.title, across: heads[0], columns: heads,
    rows: withRows ? some(rows).map((row) => cells(presenter, sweep, row)) : [],
    x: rows.map((row) => inUnit(row[0], unit)),
    pictures: sweep.pictures.map((one, n) => pictureView(presenter, sweep, one, rows, text.pictures[n])),
  };
}

/** @param {Presenter} presenter @param {Sweep} sweep @param {Picture} picture @param {number[][]} rows @param {any} text @returns {View} */
function pictureView(presenter, sweep, picture, rows, text) {
  const { givens, outcome } = presenter.last;
  const unit = unitOf(presenter, picture.draw[0]);
  const series = picture.draw.map((name) => {
    const column = sweep.draw.indexOf(name) + 1;
    const y = rows.map((row) => (Number.isNaN(row[column]) ? null : inUnit(row[column], unit)));
    return { label: presenter.text.labels[name].label, y };
  });
  const levels = presenter.calculator.levels(picture.limits, givens, outcome);
  const limits = levels.map((level, n) => ({ at: inUnit(level, unit), say: presenter.filled(text.limits[n]), beyond: picture.limits[n].beyond }));
  return { title: text.title, unit: unit.symbol, series, limits };
}

/** @param {Presenter} presenter @param {string} name @returns {View} */
function head(presenter, name) {
  return { label: presenter.text.labels[name].label, unit: unitOf(presenter, name).symbol };
}

/** The unit that an answer or an input is drawn in: its own. @param {Presenter} presenter @param {string} name */
function unitOf(presenter, name) {
  const { gives, takes } = presenter.figure;
  return presenter.units[[...gives, ...takes].find((one) => one.name === name)?.unit ?? ""];
}

/** @param {Presenter} presenter @param {Sweep} sweep @param {number[]} row @returns {string[]} */
function cells(presenter, sweep, row) {
  return [sweep.over, ...sweep.draw].map((name, n) =>
    (Number.isNaN(row[n]) ? "–" : exact(inUnit(row[n], unitOf(presenter, name)), OTHER_DIGITS, presenter.decimal)));
}

/** Every so many of the rows, the last always. @param {number[][]} rows */
function some(rows) {
  const stride = Math.ceil((rows.length - 1) / (MOST_ROWS - 1)) || 1;
  return rows.filter((_, n) => n % stride === 0 || n === rows.length - 1);
}
