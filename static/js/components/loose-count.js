/** On the start page: the card in use and how many loose ends are open on it, as a tag tied to the page. No card: nothing. */

import { pause } from "../lib/idle.js";

/** @param {HTMLElement} element @param {import("../main.js").Options} options */
export function start(element, { words, root }) {
  const again = () => void paint(element, words, `${root}${document.documentElement.lang}/`).catch(() => {});
  void pause().then(again);
  // Another window may have closed one, or the person comes back from the card.
  addEventListener("pageshow", ({ persisted }) => persisted && again());
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && again());
}

/** @param {HTMLElement} element @param {Record<string, string>} words @param {string} base  way to the home page of the language */
async function paint(element, words, base) {
  const [{ jobInUse }, { countOpen }] = await Promise.all([import("../lib/job-in-use.js"), import("../lib/job-ends.js")]);
  const job = await jobInUse();
  element.hidden = !job;
  if (!job) return;
  const { ends, pieces } = countOpen(job);
  const card = `${base}job/card/?job=${encodeURIComponent(job.id)}`;
  const count = String(ends);
  const said = ends === 0 ? words.loose_none : ends === 1 ? words.loose_one : words.loose_count;
  const tag = linkTo(`${card}#loose-ends`, said.replace("{count}", count), ends ? words.loose_says.replace("{pieces}", String(pieces)) : "");
  tag.className = "tile loose-tag";
  const onward = linkTo(card, words.loose_go_on.replace("{name}", () => job.name.trim() || words.keep_unnamed_card), "");
  onward.className = "link";
  element.replaceChildren(tag, onward);
}

/** @param {string} href @param {string} text @param {string} says  a smaller line */
function linkTo(href, text, says) {
  const [link, bold] = [document.createElement("a"), document.createElement("b")];
  link.href = href;
  bold.textContent = text;
  link.append(bold);
  if (says) {
    const line = document.createElement("span");
    line.textContent = says;
    link.append(line);
  }
  return link;
}
