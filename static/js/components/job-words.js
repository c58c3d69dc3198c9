/** What is said about things on a job card: no DOM. */

import { whenInWords } from "../lib/when.js";
import { say } from "./job-kit.js";

/** @typedef {Record<string, string>} Words */

/** 'capped: fuel feed and return', or own words. @param {{kind: string, words: string, place: string}} end @param {Words} words */
export function endName({ kind, words: own, place }, words) {
  const what = kind === "own" && own ? own : words[`job_end_${kind}`];
  return place ? say(words, "card_end_at", { what, place }) : what;
}

/** Pieces, size and bag of a loose end, '' where there is nothing to say. @param {import("../lib/job.js").End} end @param {Words} words */
export function endDetails(end, words) {
  const pieces = end.count > 1 ? say(words, end.closed && !end.done ? "card_end_left" : "card_end_pieces", { left: end.count - end.closed, count: end.count }) : "";
  const own = end.kind !== "own" && end.words ? end.words : "";
  return [pieces, end.size && say(words, "card_end_size_is", { size: end.size }), end.bag && say(words, "card_end_bag_is", { bag: end.bag }), own].filter(Boolean).join(" · ");
}

/** What an action did. @param {import("../lib/job.js").Past} past @param {Words} words */
export function pastSentence({ what, fields }, words) {
  const end = "kind" in fields ? endName(/** @type {any} */ (fields), words) : "";
  return say(words, `card_did_${what}`, { ...fields, thing: fields.thing || words.card_a_thing, end });
}

/** @param {number} at */
export function when(at) {
  return whenInWords(at, Date.now(), document.documentElement.lang);
}

/** 'no loose end open', '3 loose ends open'. @param {number} ends @param {Words} words */
export function countSentence(ends, words) {
  return ends === 0 ? words.card_ends_none : ends === 1 ? words.card_ends_one : say(words, "card_ends_many", { count: ends });
}

/** How far a card is. @param {{done: number, of: number}} progress @param {Words} words */
export function progressSentence({ done, of }, words) {
  return of ? say(words, "card_progress", { done, of }) : words.card_progress_none;
}

/** Why a step may not be ticked, one sentence for each reason. @param {import("../lib/job-ends.js").Block[]} blocks @param {(sheet: string) => string} titleOf @param {Words} words */
export function blockSentences(blocks, titleOf, words) {
  return blocks.map((block) => {
    if (block.why === "sheet") return say(words, "card_block_sheet", { sheet: titleOf(block.sheet) });
    return block.count === 1 ? words.card_block_end : say(words, "card_block_ends", { count: block.count });
  });
}
