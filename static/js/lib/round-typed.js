/**
 * The form of a torque round as it was typed, and what is wrong with it. The texts are all the state there is; the address holds a
 * copy. Sentences about pattern, torque and adapter are the Figures' own. No DOM.
 *
 * @typedef {Record<string, string>} Typed  by name of the field; a quantity's unit beside it, as 'torque.unit'
 * @typedef {{name: string, label: string, text: string}} Wrong  name: of the field
 * @typedef {import("./round-figures.js").RoundFigures} RoundFigures
 */

import { isNumber, splitQuantity } from "./number.js";

export const FIELDS = [
  "step", "label", "pattern", "across", "down", "torque", "torque.unit", "page", "shares", "adapter", "length", "length.unit", "offset", "offset.unit",
  "angle", "angle.unit", "top", "top.unit", "bottom", "bottom.unit",
];
export const QUANTITIES = /** @type {const} */ (["torque", "length", "offset", "angle", "top", "bottom"]);
export const MOST_ROUNDS = 9;
const LONGEST = 100; // characters of a field
const BETWEEN = ";";
const CLOSE = 1e-9; // a share may be typed to so much of the whole

/** @param {URLSearchParams} query @param {Typed} beginning  what the fields hold where the address says nothing @returns {Typed} */
export function typedFrom(query, beginning) {
  const asked = FIELDS.flatMap((name) => {
    const text = query.get(name);
    return text === null ? [] : [[name, text.slice(0, LONGEST)]];
  });
  const typed = { ...Object.fromEntries(FIELDS.map((name) => [name, ""])), ...beginning, ...Object.fromEntries(asked) };
  // A link may hold number and unit in one, as Figures' links do.
  for (const name of QUANTITIES) {
    const [number, unit] = splitQuantity(typed[name]);
    if (unit && !typed[`${name}.unit`]) Object.assign(typed, { [name]: number, [`${name}.unit`]: unit });
  }
  return typed;
}

/** Number and unit in one text, as the Figures read them. @param {Typed} typed @param {string} name */
export function quantity(typed, name) {
  const text = typed[name].trim();
  const unit = typed[`${name}.unit`];
  return unit && isNumber(text) ? `${text} ${unit}` : text;
}

/** @param {Typed} typed @returns {string[]} shares as typed, one a round */
export function shareTexts({ shares }) {
  return shares.split(BETWEEN);
}

/** @param {string[]} texts */
export function joinedShares(texts) {
  return texts.map((text) => text.replaceAll(BETWEEN, " ")).join(BETWEEN);
}

/** @param {Typed} typed */
export function adapterOf(typed) {
  return typed.adapter ? { length: quantity(typed, "length"), offset: quantity(typed, "offset"), angle: quantity(typed, "angle") } : null;
}

/** Everything that is wrong, the wrench's scale apart (round-scale.js), in the order of the fields. @param {Typed} typed @param {RoundFigures} figures @param {Record<string, string>} words @returns {Wrong[]} */
export function wrongs(typed, figures, words) {
  return [...patternWrongs(typed, figures, words), ...shareWrongs(typed, figures, words), ...adapterWrongs(typed, figures, words)];
}

/** A round as the card takes it. @param {Typed} typed  nothing wrong with it @param {RoundFigures} figures @param {Record<string, string>} words */
export function roundOf(typed, figures, words) {
  const { pattern } = typed;
  const [torque, adapter] = [quantity(typed, "torque"), adapterOf(typed)];
  const { across, down, count } = figures.counts({ pattern, across: typed.across, down: typed.down });
  const setting = figures.setting({ torque, adapter });
  return {
    step: typed.step, label: typed.label.trim() || filled(words.round_unnamed, { count: String(count) }), pattern, across, down, torque, page: typed.page.trim(),
    shares: shareTexts(typed).map((text) => figures.share(text).share), adapter: adapter && { ...adapter, setting: setting ? `${setting.number} ${setting.unit}` : "" },
  };
}

/** The other way: a round of a card as somebody would type it. @param {import("./job.js").Round} round @param {RoundFigures} figures @returns {Typed} */
export function typedOf({ step, label, pattern, across, down, torque, page, shares, adapter }, figures) {
  const typed = { step, label, pattern, across: String(across), down: String(down), torque, page, shares: joinedShares(shares.map((share) => figures.percent(share))) };
  return adapter ? { ...typed, adapter: "1", length: adapter.length, offset: adapter.offset, angle: adapter.angle } : typed;
}

// -- inside ---------------------------------------------------------------------------------------------------------------------------

/** @param {Typed} typed @param {RoundFigures} figures @param {Record<string, string>} words @returns {Wrong[]} */
function patternWrongs(typed, figures, words) {
  const isKnown = figures.patterns().some(({ id }) => id === typed.pattern);
  const pattern = isKnown ? typed.pattern : "rows";
  const view = figures.view({ pattern, across: typed.across, down: typed.down }, quantity(typed, "torque"));
  const asked = ["across", ...(pattern === "circle" ? [] : ["down"]), "torque"];
  const found = fieldWrongs(view, asked, typed, words);
  return isKnown ? found : [{ name: "pattern", label: figures.ordering.text.labels.pattern.label, text: words.round_wrong_pattern }, ...found];
}

/** @param {Typed} typed @param {RoundFigures} figures @param {Record<string, string>} words @returns {Wrong[]} */
function adapterWrongs(typed, figures, words) {
  const adapter = adapterOf(typed);
  if (!adapter) return [];
  const torque = quantity(typed, "torque");
  const found = fieldWrongs(figures.adapterView(adapter, torque), ["length", "offset", "angle"], typed, words);
  if (found.length || !figures.read(torque)) return found;
  // A share of the torque may be too small for the Figure where the whole is not.
  const shares = shareTexts(typed).map((text) => figures.share(text).share).filter((share) => share > 0);
  const sentence = shares.map((share) => figures.setting({ torque, adapter }, share)?.sentence).find(Boolean);
  return sentence ? [{ name: "length", label: "", text: sentence }] : [];
}

/**
 * What a Figure says of some of its fields. @param {import("./present.js").View} view @param {string[]} names @param {Typed} typed
 * @param {Record<string, string>} words @returns {Wrong[]}
 */
export function fieldWrongs(view, names, typed, words) {
  const rows = names.map((name) => view.rows.find((/** @type {import("./present.js").View} */ row) => row.name === name));
  const found = rows.flatMap(({ name, label, problem }) => {
    const text = problem || unitWrong(name, typed, words);
    return text ? [{ name, label, text }] : [];
  });
  const isAbout = names.includes(view.about) || view.about === "";
  return found.length || view.state === "ok" || !isAbout ? found : [{ name: view.about || names[0], label: "", text: view.sentence }];
}

/** A bare number may be in any unit: which one is asked for, never guessed. @param {string} name @param {Typed} typed @param {Record<string, string>} words */
function unitWrong(name, typed, words) {
  const needs = QUANTITIES.some((one) => one === name) && !typed[`${name}.unit`];
  return needs && isNumber(typed[name]) ? words.round_wrong_unit : "";
}

/** @param {Typed} typed @param {RoundFigures} figures @param {Record<string, string>} words @returns {Wrong[]} */
function shareWrongs(typed, figures, words) {
  const read = shareTexts(typed).map((text) => figures.share(text));
  return read.flatMap(({ share, problem }, n) => {
    const before = n ? read[n - 1].share : 0;
    const isLast = n === read.length - 1;
    const text = problem || shareWrong(share, before, isLast, figures, words);
    return text ? [{ name: `share-${n}`, label: filled(words.round_nth, { round: String(n + 1) }), text }] : [];
  });
}

/** @param {number} share @param {number} before  that of the round before @param {boolean} isLast @param {RoundFigures} figures @param {Record<string, string>} words */
function shareWrong(share, before, isLast, figures, words) {
  if (!(share > 0 && share <= 1 + CLOSE)) return words.round_wrong_share;
  if (share < before - CLOSE) return filled(words.round_wrong_falls, { before: figures.percent(before) });
  return isLast && share < 1 - CLOSE ? words.round_wrong_last : "";
}

/** @param {string} text @param {Record<string, string>} fields */
export function filled(text, fields) {
  return text.replace(/\{(\w+)\}/g, (all, name) => fields[name] ?? all);
}
