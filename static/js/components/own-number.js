/** The number that the person has set, as a link that calls it; nothing where none is set. */

import { callAddress, ownNumber, watchNumber } from "../lib/own-number.js";
import { fill } from "./figure-paint.js";

/** @param {HTMLElement} element  stays hidden while there is no number @param {import("../main.js").Options} options */
export async function start(element, { words }) {
  const paint = async () => {
    const number = await ownNumber();
    element.hidden = !number;
    element.replaceChildren(...(number ? [callLink(number, words)] : []));
  };
  watchNumber(() => void paint());
  window.addEventListener("pageshow", ({ persisted }) => persisted && void paint());
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && void paint());
  await paint();
}

/** @param {string} number @param {Record<string, string>} words */
function callLink(number, words) {
  const link = Object.assign(document.createElement("a"), { className: "call call-own", href: callAddress(number) });
  const [what, whose] = ["b", "span"].map((tag) => document.createElement(tag));
  what.textContent = fill(words.emergency_call, { number });
  whose.textContent = words.emergency_own;
  link.append(what, " ", whose);
  return link;
}
