/** 'Make a card from this' on the page of a template. */

import { newJob } from "../lib/job.js";
import { addJob, allJobs, newId } from "../lib/job-store.js";
import { say } from "./job-kit.js";
import { when } from "./job-words.js";
import { button, made } from "./made.js";

/** @param {HTMLElement} element  data-job: the template @param {import("../main.js").Options} options */
export async function start(element, { words, root }) {
  const { lang } = document.documentElement;
  const [{ JOBS }, cards] = await Promise.all([import(`../jobs.${lang}.js`), allJobs()]);
  const template = element.dataset.job ?? "";
  const base = `${root}${lang}/job/card/`;
  const own = cards.filter((card) => card.template === template).map((card) => cardLink(card, base, words));
  let isMaking = false;
  const make = button(words.card_make, async () => {
    if (isMaking) return;
    isMaking = true;
    const { title, stages } = JOBS[template];
    const job = newJob({ id: newId(), at: Date.now(), name: title, template, stages });
    const { kept } = await addJob(job);
    // What is not kept would be lost on the way: the card's own page makes it then, and says so.
    location.href = kept ? `${base}?job=${job.id}` : `${base}?template=${template}`;
  }, { class: "card-make" });
  element.replaceChildren(make, made("p", { class: "small" }, words.card_make_says), ...(own.length ? [made("p", {}, made("b", {}, words.card_make_has)), ...own] : []));
  element.hidden = false;
  // Back from the card by the browser's own way, the page stands as it was left.
  window.addEventListener("pageshow", () => (isMaking = false));
}

/** @param {import("../lib/job.js").Job} card @param {string} base @param {Record<string, string>} words */
function cardLink({ id, name, made: at }, base, words) {
  return made("a", { class: "link", href: `${base}?job=${encodeURIComponent(id)}` }, made("b", {}, name.trim() || words.confirm_unnamed), made("span", {}, say(words, "card_made", { at: when(at) })));
}
