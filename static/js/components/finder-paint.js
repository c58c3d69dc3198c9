/**
 * Paints what is found into the elements that the server painted the first answer into. The elements of the two lists are made
 * once and filled anew, and only what has changed is touched: a key must not cost more than one frame of a slow phone.
 */

import { SHOWN } from "../lib/finding.js";

/** @typedef {import("../lib/finding.js").Answer} Answer */
/** @typedef {{title: string, about: string, path: string}} Line */

/**
 * @param {HTMLElement} element
 * @param {Record<string, string>} words
 * @param {string} base  way to the start page of the language
 * @returns {(answer: Answer) => string}  paints, and gives what is to be told aloud
 */
export function painter(element, words, base) {
  const part = (/** @type {string} */ name) => /** @type {HTMLElement} */ (element.querySelector(`[data-part=${name}]`));
  const [says, choices, senses, partly, filledPart] = ["says", "choices", "senses", "part", "filled-part"].map(part);
  const aSense = /** @type {HTMLTemplateElement} */ (part("a-sense")).content;
  const showEntries = listOf(part("entries"), /** @type {HTMLTemplateElement} */ (part("a-found")), base);
  const showFilled = listOf(part("filled"), /** @type {HTMLTemplateElement} */ (part("a-found")), base);

  return (answer) => {
    const { quantity } = answer;
    showText(says, answer.sentence);
    choices.replaceChildren(...answer.choices.map((text) => choiceOf(text, base)));
    choices.hidden = !answer.choices.length;
    senses.replaceChildren(...(quantity?.senses ?? []).map((sense) => senseOf(aSense, sense, quantity?.unit ?? "", words)));
    senses.hidden = !quantity?.senses.length;
    partly.hidden = answer.whole;
    showEntries(answer.entries.map(({ title, path, kind, about }) => ({ title, path, about: lineOf(kind, about, words) })));
    showFilled(answer.links.map(({ title, path, value, label }) => ({ title, path, about: fill(words.finder_fills, { value, label }) })));
    filledPart.hidden = !answer.links.length;
    return aloudOf(answer, words);
  };
}

/**
 * @param {HTMLElement} list
 * @param {HTMLTemplateElement} template
 * @param {string} base
 * @returns {(lines: Line[]) => void}
 */
function listOf(list, template, base) {
  const items = Array.from({ length: SHOWN }, () => {
    const item = /** @type {HTMLElement} */ (template.content.querySelector("li")?.cloneNode(true));
    const link = /** @type {HTMLAnchorElement} */ (item.querySelector("a"));
    const [title, about] = [link.querySelector("b"), link.querySelector("span")].map((each) => /** @type {HTMLElement} */ (each));
    return { item, link, title, about, line: { title: "", about: "", path: "" } };
  });
  let isOurs = false;
  return (lines) => {
    if (!isOurs) list.replaceChildren(...items.map(({ item }) => item));
    isOurs = true;
    items.forEach((each, n) => {
      const line = lines[n];
      if (each.item.hidden === Boolean(line)) each.item.hidden = !line;
      if (!line) return;
      if (line.title !== each.line.title) each.title.textContent = line.title;
      if (line.about !== each.line.about) each.about.textContent = line.about;
      if (line.path !== each.line.path) each.link.href = base + line.path;
      each.line = line;
    });
    list.hidden = !lines.length;
  };
}

/** @param {string} text @param {string} base */
function choiceOf(text, base) {
  const [item, link] = [document.createElement("li"), document.createElement("a")];
  link.className = "call";
  link.href = `${base}find/?q=${encodeURIComponent(text)}`;
  link.dataset.ask = link.textContent = text;
  item.append(link);
  return item;
}

/**
 * @param {DocumentFragment} template
 * @param {import("../lib/quantities.js").Sense} sense
 * @param {string} typedUnit
 * @param {Record<string, string>} words
 */
function senseOf(template, sense, typedUnit, words) {
  const made = /** @type {HTMLElement} */ (template.firstElementChild?.cloneNode(true));
  const place = (/** @type {string} */ name) => /** @type {HTMLElement} */ (made.querySelector(`[data-say=${name}]`));
  const isAlike = sense.sorts.length > 1;
  place("number").textContent = sense.number;
  place("unit").textContent = sense.unit;
  place("kinds").textContent = isAlike ? "" : sense.kinds.join(", ");
  place("sorts").replaceChildren(...sense.sorts.flatMap((sort) => [tagOf(sort), " "]));
  showText(place("read_as"), sense.read_as && fill(words.finder_read_as, { unit: typedUnit, meant: sense.read_as }));
  const sorts = isAlike ? sense.sorts.reduce((one, other) => fill(words.finder_or, { one, other })) : "";
  showText(place("alike"), sorts && fill(words.finder_alike, { sorts }));
  place("others").replaceChildren(...sense.others.map(otherOf));
  return made;
}

/** @param {string} sort */
function tagOf(sort) {
  const tag = document.createElement("span");
  tag.className = "sort";
  tag.textContent = sort;
  return tag;
}

/** @param {{number: string, unit: string}} other */
function otherOf({ number, unit }) {
  const [item, bold] = [document.createElement("li"), document.createElement("b")];
  bold.textContent = number;
  item.append(bold, ` ${unit}`);
  return item;
}

/** @param {HTMLElement} element @param {string} text */
function showText(element, text) {
  element.textContent = text;
  element.hidden = !text;
}

/** What stands under a found title. @param {string} kind @param {string} about @param {Record<string, string>} words */
function lineOf(kind, about, words) {
  const said = words[`finder_kind_${kind}`];
  return about === said ? said : fill(words.finder_line, { kind: said, about });
}

/** @param {Answer} answer @param {Record<string, string>} words */
function aloudOf(answer, words) {
  const { count, entries, quantity, sentence } = answer;
  if (quantity?.senses.length) {
    const [{ number, unit, others }] = quantity.senses;
    return [`${number} ${unit}:`, others.map((other) => `${other.number} ${other.unit}`).join(", ")].join(" ");
  }
  if (sentence || !entries.length) return sentence;
  const fields = { count: String(count), shown: String(entries.length), first: entries[0].title };
  return fill(count > entries.length ? words.finder_count_shown : words.finder_count, fields);
}

/** @param {string} text @param {Record<string, string>} fields */
function fill(text, fields) {
  return text.replace(/\{([a-z_]+)\}/g, (whole, name) => fields[name] ?? whole);
}
