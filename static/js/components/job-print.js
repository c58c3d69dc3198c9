/** The card as a clean sheet: every step open, with values, loose ends and readings, and nothing to press. Made when it is printed. */

import { endDetails, endName, countSentence, progressSentence, when } from "./job-words.js";
import { closedEnds, openEnds, sheetsOf } from "../lib/job-ends.js";
import { progress, stagesOf, stepsOf, thingsAt } from "../lib/job-list.js";
import { withUnit } from "../lib/display.js";
import { say } from "./job-kit.js";
import { made } from "./made.js";

const LISTS = /** @type {const} */ (["ready", "new", "apart", "photo", "touch"]);
const BLANKS = /** @type {const} */ ([["manual", "manual"], ["read", "reading"]]);

/** @param {import("./job-card.js").Card} card */
export function startPrint(card) {
  const sheet = made("div", { class: "card-sheet", hidden: true });
  card.element.append(sheet);
  const make = () => {
    sheet.replaceChildren(...sheetOf(card));
    sheet.hidden = false;
  };
  const away = () => {
    sheet.hidden = true;
    sheet.replaceChildren();
  };
  addEventListener("beforeprint", make);
  addEventListener("afterprint", away);
  // Some browsers tell of printing by this alone.
  matchMedia("print").addEventListener?.("change", ({ matches }) => (matches ? make() : away()));
}

/** @param {import("./job-card.js").Card} card */
function sheetOf(card) {
  const { job, words } = card;
  const open = openEnds(job);
  return [
    made("h2", { class: "card-name" }, job.name.trim() || words.confirm_unnamed),
    made("p", {}, say(words, "card_print_head", { progress: progressSentence(progress(job), words), ends: countSentence(open.length, words), at: when(Date.now()) })),
    ...(open.length ? [made("section", { class: "sheet-ends" }, made("h3", {}, words.card_ends), made("ul", {}, ...open.map((end) => made("li", {}, box(false), endLine(end, words)))))] : []),
    ...stagesOf(job).map((stage, n) => made("section", {}, made("h3", {}, say(words, "job_stage", { number: n + 1, title: stage.title })), made("ol", {}, ...stepsOf(job, stage.id).map(({ id }) => stepOf(card, id))))),
    ...strays(card),
    ...closed(card),
  ];
}

/** @param {import("./job-card.js").Card} card @param {string} id */
function stepOf(card, id) {
  const { job, words } = card;
  const step = job.steps[id];
  const text = card.textOf(id);
  const needs = sheetsOf(step, text).map((sheet) => card.sheetTitle(sheet));
  const ticked = new Set(thingsAt(job, "entries", id).filter(({ sort }) => sort === "check").map(({ label }) => label));
  const lists = LISTS.filter((name) => text?.[name]?.length).map((name) => list(words[`job_${name}`], text?.[name].map((/** @type {string} */ label) => made("li", {}, box(ticked.has(label)), label))));
  const state = step.done ? say(words, "card_step_done", { at: when(step.done) }) : "";
  return made("li", { class: "sheet-step" },
    made("p", {}, box(step.done > 0), made("b", {}, card.titleOf(id)), state ? ` ${state}` : ""),
    ...(needs.length ? [made("p", {}, say(words, "card_print_needs", { sheets: needs.join(" · ") }))] : []),
    ...(step.gate || text?.gate ? [made("p", {}, words.job_gate_first_start)] : []),
    ...(text?.note ? [made("p", {}, text.note)] : []),
    ...lists, ...blanks(card, id), ...things(card, id),
    ...(step.note ? [made("p", { class: "sheet-note" }, made("b", {}, words.card_note), " ", step.note)] : []));
}

/** What is asked and not answered yet: lines to write on. @param {import("./job-card.js").Card} card @param {string} id */
function blanks(card, id) {
  const text = card.textOf(id);
  const known = new Set(thingsAt(card.job, "entries", id).map(({ sort, label }) => `${sort} ${label}`));
  return BLANKS.flatMap(([name, sort]) => {
    const open = (text?.[name] ?? []).filter((/** @type {{label: string}} */ { label }) => !known.has(`${sort} ${label}`));
    return open.length ? [list(card.words[`job_${name}`], open.map((/** @type {any} */ one) => made("li", {}, one.label, " ", made("span", { class: "sheet-line" }), " ", card.units.units[one.in].symbol, ...(name === "manual" ? [` ${card.words.job_page} `, made("span", { class: "sheet-line" })] : []))))] : [];
  });
}

/** What is noted at a step. @param {import("./job-card.js").Card} card @param {string} id */
function things(card, id) {
  const { job, words } = card;
  const entries = thingsAt(job, "entries", id).filter(({ sort }) => sort !== "check").map(({ sort, label, value, unit, page }) => (
    made("li", {}, [words[`card_sort_${sort}`], label, withUnit(value, unit), page && say(words, "card_page_is", { page })].filter(Boolean).join(" · "))));
  const ends = openEnds(job).filter(({ step }) => step === id).map((end) => made("li", {}, box(false), endLine(end, words)));
  const rounds = thingsAt(job, "rounds", id).map(({ label, torque, done }) => made("li", {}, [label, torque, done ? say(words, "card_round_done", { at: when(done) }) : words.card_round_open].filter(Boolean).join(" · ")));
  const kept = thingsAt(job, "kept", id).map(({ title, answer }) => made("li", {}, `${title}: ${answer}`));
  const photos = thingsAt(job, "photos", id).map(({ words: said, at }) => made("li", {}, said || say(words, "card_photo_of", { at: when(at) })));
  const all = [[words.card_print_noted, entries], [words.card_ends, ends], [words.job_round, rounds], [words.card_kept_answers, kept], [words.card_print_photos, photos]];
  return /** @type {[string, HTMLElement[]][]} */ (all).filter(([, items]) => items.length).map(([title, items]) => list(title, items));
}

/** @param {import("./job-card.js").Card} card */
function strays(card) {
  const found = things(card, "");
  return found.length ? [made("section", {}, made("h3", {}, card.words.card_no_step), ...found)] : [];
}

/** @param {import("./job-card.js").Card} card */
function closed({ job, words }) {
  const ends = closedEnds(job);
  if (!ends.length) return [];
  return [made("section", {}, made("h3", {}, words.card_ends_closed), made("ul", {}, ...ends.map((end) => made("li", {}, box(true), `${endLine(end, words)} · ${say(words, "card_end_closed_at", { at: when(end.done) })}`))))];
}

/** @param {import("../lib/job-ends.js").OpenEnd} end @param {Record<string, string>} words */
function endLine(end, words) {
  return [endName(end, words), endDetails(end, words)].filter(Boolean).join(" · ");
}

/** @param {boolean} isTicked */
function box(isTicked) {
  return made("span", { class: "card-box" }, isTicked ? "✓" : "");
}

/** @param {string} title @param {HTMLElement[]} items */
function list(title, items) {
  return made("div", {}, made("p", {}, made("b", {}, title)), made("ul", {}, ...items));
}
