/** Torque rounds and kept answers of a card, as links. */

import { remove } from "../lib/job-deeds.js";
import { say } from "./job-kit.js";
import { when } from "./job-words.js";
import { button, made } from "./made.js";

/** @typedef {import("./job-card.js").Card} Card */

/**
 * Rounds begun at a step, and the one that the template offers there.
 * @param {Card} card
 * @param {({id: string} & import("../lib/job.js").Round)[]} rounds
 * @param {string} step
 * @param {{label: string, note?: string} | undefined} [offered]
 * @returns {HTMLElement[]}
 */
export function roundLinks(card, rounds, step, offered) {
  const { words, base } = card;
  const address = (/** @type {string} */ rest) => `${base}job/round/?job=${encodeURIComponent(card.id)}&${rest}`;
  const begun = rounds.map(({ id, label, torque, done }) => {
    const state = done ? say(words, "card_round_done", { at: when(done) }) : words.card_round_open;
    return made("a", { class: "link", href: address(`round=${encodeURIComponent(id)}`) }, made("b", {}, label || words.job_round), made("span", {}, [torque, state].filter(Boolean).join(" · ")));
  });
  const isOffered = offered && !rounds.some(({ label }) => label === offered.label);
  const fresh = isOffered ? made("a", { class: "link", href: address(`step=${encodeURIComponent(step)}`) }, made("b", {}, say(words, "card_round_new", { label: offered.label })), made("span", {}, offered.note ?? words.job_round_says)) : null;
  const all = [...begun, ...(fresh ? [fresh] : [])];
  return all.length ? [made("h4", {}, words.job_round), ...all] : [];
}

/**
 * Answers of Figures that were kept, each the way back to it.
 * @param {Card} card
 * @param {({id: string} & import("../lib/job.js").Kept)[]} kept
 * @returns {HTMLElement[]}
 */
export function keptLinks(card, kept) {
  const { words, base } = card;
  const lines = kept.map(({ id, figure, title, query, answer, at }) => {
    const href = `${base}figures/${encodeURIComponent(figure)}/${query && `?${query.replace(/^\?/, "")}`}`;
    const link = made("a", { class: "link", href }, made("b", {}, answer), made("span", {}, say(words, "card_kept_from", { title, at: when(at) })));
    const off = button(words.card_delete, () => card.act((job) => remove(job, "kept", id, Date.now())), { class: "card-off", "aria-label": say(words, "card_delete_what", { thing: title }) });
    return made("div", { class: "card-line" }, link, off);
  });
  return lines.length ? [made("h4", {}, words.card_kept_answers), ...lines] : [];
}
