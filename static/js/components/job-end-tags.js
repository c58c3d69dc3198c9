/** A loose end as a tag that hangs on the card until it is closed, and what opens new ones. */

import { changeEnd, closeEnd, openEnd } from "../lib/end-deeds.js";
import { remove } from "../lib/job-deeds.js";
import { END_KINDS, MOST_PIECES } from "../lib/job-shape.js";
import { newId } from "../lib/job-store.js";
import { NumberProblem, readNumber } from "../lib/number.js";
import { fold, labelled, newName, say } from "./job-kit.js";
import { endDetails, endName, when } from "./job-words.js";
import { button, made } from "./made.js";

/** @typedef {import("./job-card.js").Card} Card */
/** @typedef {import("../lib/job-ends.js").OpenEnd} OpenEnd */
/** @typedef {Record<"place" | "count" | "words" | "size" | "bag", HTMLInputElement>} Fields */

/** Inside of a tag. @param {Card} card @param {OpenEnd} end @param {HTMLElement | null} [whence]  where it was opened @returns {(Node | null)[]} */
export function endTag(card, end, whence = null) {
  const { words } = card;
  const name = endName(end, words);
  const details = endDetails(end, words);
  const close = (/** @type {number} */ by) => card.act((job) => closeEnd(job, end.id, Date.now(), by));
  const act = (/** @type {string} */ key, /** @type {number} */ by) => button(say(words, key, { left: end.left }), () => close(by), {
    "data-key": `${key} ${end.id}`, "aria-label": say(words, `${key}_what`, { end: name, left: end.left }),
  });
  const closing = end.left > 1 ? [act("card_end_close_one", 1), act("card_end_close_all", end.left)] : [act("card_end_close", 1)];
  return [
    made("p", { class: "card-tag-name" }, made("b", {}, name)),
    details ? made("p", {}, details) : null,
    made("p", { class: "small" }, say(words, "card_end_since", { at: when(end.at) })),
    whence,
    made("div", { class: "card-acts" }, ...closing),
    changeFold(card, end),
  ];
}

/** @param {Card} card @param {OpenEnd} end */
function changeFold(card, end) {
  const { words } = card;
  const form = new EndForm(card, end);
  const keep = button(words.card_end_change_keep, async () => {
    const given = form.read(end.closed || 1);
    if (!given) return;
    await card.act((job) => changeEnd(job, end.id, given, Date.now()));
  });
  const off = button(words.card_end_delete, () => card.act((job) => remove(job, "ends", end.id, Date.now())), { class: "card-off" });
  return fold(words.card_end_change, form.element, made("div", { class: "card-acts" }, keep, off));
}

/** The fields of a loose end. */
class EndForm {
  /** @param {Card} card @param {Partial<OpenEnd>} end */
  constructor(card, end) {
    const { words } = card;
    this.words = words;
    const field = (/** @type {string} */ value, more = {}) => made("input", { type: "text", value, autocomplete: "off", maxlength: 500, ...more });
    this.problem = made("p", { class: "fault", role: "status", id: newName("card-problem"), hidden: true });
    /** @type {Fields} */
    this.fields = {
      place: field(end.place ?? ""), count: field(String(end.count ?? 1), { "aria-describedby": this.problem.id, maxlength: 20 }),
      words: field(end.words ?? "", { "aria-describedby": this.problem.id }), size: field(end.size ?? ""), bag: field(end.bag ?? ""),
    };
    const rows = /** @type {const} */ (["place", "count", "words", "size", "bag"]).map((name) => labelled(words[`card_end_${name}`], this.fields[name]));
    this.element = made("div", { class: "card-form" }, ...rows, this.problem);
  }

  /** What stands in the fields, or null and a sentence. @param {number} least  pieces @param {boolean} [needsWords] */
  read(least = 1, needsWords = false) {
    const { count, ...texts } = this.fields;
    const number = countOf(count.value);
    const isCount = number !== null && number >= least && number <= MOST_PIECES;
    const isNamed = !needsWords || texts.words.value.trim() !== "";
    this.tell(count, isCount ? "" : say(this.words, "card_end_count_wrong", { text: count.value, least, most: MOST_PIECES }));
    if (isCount) this.tell(texts.words, isNamed ? "" : this.words.card_end_words_missing);
    if (!isCount || !isNamed) return null;
    return { ...Object.fromEntries(Object.entries(texts).map(([name, { value }]) => [name, value.trim()])), count: number };
  }

  /** @param {HTMLInputElement} field @param {string} problem  '' for none */
  tell(field, problem) {
    this.problem.hidden = !problem;
    this.problem.textContent = problem;
    field.setAttribute("aria-invalid", String(problem !== ""));
    if (!problem) return;
    // Where the field stands, not below fields that are right.
    field.closest(".card-field")?.append(this.problem);
    field.focus();
    this.problem.scrollIntoView({ block: "nearest" });
  }

  clear() {
    for (const [name, field] of Object.entries(this.fields)) field.value = name === "count" ? "1" : "";
  }
}

/** Opens any loose end: a tap on its kind, with what stands in the fields. */
export class EndOpener {
  /** @param {Card} card @param {string} step  '' for none */
  constructor(card, step) {
    const { words } = card;
    const form = new EndForm(card, {});
    const open = async (/** @type {import("../lib/job.js").EndKind} */ kind) => {
      const given = form.read(1, kind === "own");
      if (!given) return;
      const [id, at] = [newId(), Date.now()];
      const { did } = await card.act((job) => openEnd(job, id, { ...given, step, kind }, at), { step, at });
      if (did) form.clear();
    };
    const kinds = END_KINDS.map((kind) => button(words[`job_end_${kind}`], () => open(kind)));
    const heading = made("p", { id: newName("card-kinds") }, made("b", {}, words.card_end_kinds));
    const list = made("div", { class: "card-kinds", role: "group", "aria-labelledby": heading.id }, ...kinds);
    this.element = fold(words.card_end_open, heading, list, made("p", { class: "small" }, words.card_end_fields), form.element);
  }
}

/** @param {string} text @returns {number | null} a whole number */
function countOf(text) {
  try {
    const number = readNumber(text);
    return Number.isInteger(number) ? number : null;
  } catch (error) {
    if (error instanceof NumberProblem) return null;
    throw error;
  }
}
