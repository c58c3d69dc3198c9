/**
 * Readings of cards as a table that any spreadsheet opens. Pure. RFC 4180: commas, lines end in CR LF, a cell with a comma, a quote or
 * a line end stands in quotes. A spreadsheet takes a cell that begins with = + - or @ for a formula, and may run it: such a cell gets
 * an apostrophe in front, a negative number too.
 *
 * @typedef {import("./job.js").Job} Job
 */

import { allSteps, stagesOf } from "./job-list.js";

export const COLUMNS = /** @type {const} */ (["card", "stage", "step", "sort", "label", "value", "unit", "page", "at"]);
/** Full-width twins too, which some spreadsheets read alike. A cell that begins with a tab or a line end is cut down to what follows it. */
const RISKY = /^[\s\u00a0]*[=+\-@\uff1d\uff0b\uff0d\uff20]/;
/** Without it a spreadsheet takes the file for one of an older code page. */
const BYTE_ORDER_MARK = "\ufeff";

/**
 * @param {Job[]} jobs
 * @param {Record<string, string>} words  heads card_csv_COLUMN, sorts card_csv_sort_SORT
 * @returns {string}
 */
export function readingsCsv(jobs, words) {
  const head = COLUMNS.map((column) => words[`card_csv_${column}`]);
  const rows = jobs.flatMap((job) => readings(job).map((row) => COLUMNS.map((column) => row[column])));
  const named = rows.map((row) => row.map((cell, n) => (COLUMNS[n] === "sort" ? words[`card_csv_sort_${cell}`] : cell)));
  return BYTE_ORDER_MARK + [head, ...named].map((row) => `${row.map(cellOf).join(",")}\r\n`).join("");
}

/** @param {Job} job @returns {Record<(typeof COLUMNS)[number], string>[]} */
function readings(job) {
  const order = new Map(allSteps(job).map(({ id }, n) => [id, n]));
  const stages = new Map(stagesOf(job).map(({ id, title }) => [id, title]));
  const place = (/** @type {string} */ step) => order.get(step) ?? Infinity;
  const entries = Object.values(job.entries).filter(({ gone, sort }) => !gone && sort !== "note" && sort !== "check");
  return entries.sort((one, other) => order.size && place(one.step) !== place(other.step) ? place(one.step) - place(other.step) : one.at - other.at).map((entry) => {
    const step = job.steps[entry.step];
    return {
      card: job.name, stage: (step && stages.get(step.stage)) ?? "", step: step?.title ?? "", sort: entry.sort, label: entry.label,
      value: entry.value, unit: entry.unit, page: entry.page, at: new Date(entry.at).toISOString(),
    };
  });
}

/** @param {string} text */
function cellOf(text) {
  const tame = RISKY.test(text) ? `'${text}` : text;
  return /[",\r\n]/.test(tame) ? `"${tame.replace(/"/g, '""')}"` : tame;
}
