/** Notes that this page was used, and pins it to the start page. What keeps it is loaded in a pause, never before the page is at work. */

import { pause } from "../lib/idle.js";

/** @param {HTMLElement} element  data-address: the page's own; data-pins: it can be pinned @param {import("../main.js").Options} options */
export function start(element, { words }) {
  const address = element.dataset.address ?? "";
  const bring = () => import("../lib/store.js");
  void pause().then(bring).then(({ noteUsed }) => noteUsed(address)).catch(() => {});
  if (element.dataset.pins === undefined) return;
  const button = /** @type {HTMLButtonElement} */ (element.querySelector("[data-part=pin]"));
  const told = /** @type {HTMLElement} */ (element.querySelector("[data-part=pin-told]"));
  let isPinned = false;
  let isPressed = false;
  const show = () => (button.textContent = isPinned ? words.finder_unpin : words.finder_pin);
  void pause().then(bring).then(({ pinned }) => pinned()).then((all) => {
    // What the person pressed meanwhile holds: the list may tell of a pin that stands in this page's memory only.
    if (isPressed) return;
    isPinned = all.includes(address);
    show();
  }).catch(() => {});
  button.addEventListener("click", async () => {
    isPressed = true;
    const wanted = !isPinned;
    const isKept = await bring().then(({ pin }) => pin(address, wanted)).then(({ kept }) => kept, () => false);
    if (isKept) isPinned = wanted;
    show();
    const title = document.querySelector("h1")?.textContent ?? "";
    told.textContent = !isKept ? words.finder_not_kept : isPinned ? words.finder_pin_kept : words.finder_pin_gone.replace("{title}", () => title);
  });
  element.hidden = false;
}
