/** A Figure's answer as lines of text: to copy, to say aloud, and for a screen reader when the typing pauses. */

import { fill, mainAnswer } from "./figure-paint.js";

/** @typedef {import("../lib/present.js").View} View */
/** @typedef {{view: View, lead: string, words: Record<string, string>, units: Record<string, any>, title: string}} Told  lead: name of the answer that stands first */

/** The main answer or why there is none, in one line. @param {Told} told */
export function inShort({ view, lead, words }) {
  const main = mainAnswer(view, lead);
  return view.state === "ok" && main ? line(main, words) : view.sentence;
}

/** The whole answer with all that was typed. @param {Told} told */
export function inFull({ view, words, title }) {
  const isOk = view.state === "ok";
  const answers = isOk ? [...(view.found ? [view.found] : []), ...view.answers].filter(({ columns }) => !columns.length) : [];
  const rows = view.rows.filter((/** @type {View} */ { is_unknown, is_wanted }) => !is_unknown && !is_wanted);
  const says = [view.sentence, view.verdict?.text, view.estimate, ...view.warnings].filter(Boolean);
  return [title, ...[...answers, ...rows].map((item) => line(item, words)), ...says].join("\n");
}

/** For a voice: units by their spoken names. @param {Told} told */
export function spoken({ view, lead, words, units }) {
  const main = mainAnswer(view, lead);
  if (view.state !== "ok" || !main) return view.sentence;
  return [line({ ...main, unit: units[main.unit_id]?.spoken ?? "" }, words), view.verdict?.text].filter(Boolean).join(". ");
}

/** @param {View} item  an answer or a row @param {Record<string, string>} words */
function line({ label, words: said, number, unit, sort, text, options }, words) {
  const chosen = options?.find((/** @type {View} */ option) => option.id === text);
  const value = said || chosen?.label || [number, unit, sort].filter(Boolean).join(" ") || text || "";
  return fill(words.figure_line, { label, value });
}
