// All that the finder answers to a typed text. Twin: webapp/finder/finding.py.

import { Quantities } from "./quantities.js";
import { LIMIT, Ranking } from "./ranking.js";

/**
 * The fields mean what the twin says.
 * @typedef {object} Answer
 * @property {"empty" | "found" | "nothing" | "long"} state
 * @property {string} sentence
 * @property {string[]} choices
 * @property {import("./quantities.js").Quantity | null} quantity
 * @property {import("./quantities.js").Link[]} links
 * @property {import("./ranking.js").Entry[]} entries
 * @property {number} count
 * @property {boolean} whole
 */

export const SHOWN = 12;

/** The finder of one language. */
export class Finding {
  /**
   * @param {import("./ranking.js").Data} data
   * @param {any} units  the table of units, with the sort of each kind
   * @param {Record<string, string>} words
   * @param {string} decimal
   */
  constructor(data, units, words, decimal) {
    this.words = words;
    this.ranking = new Ranking(data, units);
    this.quantities = new Quantities(data, units, words, decimal);
  }

  /**
   * The answer to a text of any length; whatever it holds, there is one.
   * @param {string} text
   * @returns {Answer}
   */
  answer(text) {
    const bare = text.replace(/^ +| +$/g, "");
    if (!bare) return answerOf("empty");
    if ([...text].length > LIMIT) return answerOf("long", this.words.finder_long.replace("{limit}", String(LIMIT)));
    const quantity = this.quantities.read(text);
    if (quantity) {
      const [links, entries] = [quantity.links.slice(0, SHOWN), this.ranking.same(text, SHOWN)];
      return { ...answerOf("found", quantity.problem, quantity.choices), quantity, links, entries, count: entries.length };
    }
    const found = this.ranking.find(text, SHOWN);
    const near = !found.whole || !found.count ? this.quantities.near(text) : null;
    if (near) return answerOf("nothing", near.problem, near.choices);
    if (!found.count) return answerOf("nothing", this.words.finder_nothing.replace("{text}", () => bare));
    return { ...answerOf("found"), ...found };
  }
}

/** @param {Answer["state"]} state @param {string} [sentence] @param {string[]} [choices] @returns {Answer} */
const answerOf = (state, sentence = "", choices = []) =>
  ({ state, sentence, choices, quantity: null, links: [], entries: [], count: 0, whole: true });
