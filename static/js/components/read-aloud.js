/**
 * Reads a page aloud part by part, for hands that are busy: what is being read is marked and in sight, and a bar at the foot of the
 * window stops it or goes on to the next part. Where the phone has no voice for the language nothing of it is shown.
 */

import { Voice, watchVoice } from "../lib/voice.js";
import { fill, part, write } from "./figure-paint.js";

const PIECES = "h2, .signal, .panel-says, li, p > .call";
const UNREAD = ".from"; // where a statement comes from is for the eye

/** @param {HTMLElement} element  data-goes-on: from one part to the next by itself @param {import("../main.js").Options} options */
export function start(element, { words }) {
  const buttons = /** @type {HTMLElement[]} */ ([...document.querySelectorAll("[data-aloud-begin]")]);
  const reader = new Reader(element, words);
  element.hidden = false;
  watchVoice(document.documentElement.lang, (hasVoice) => buttons.forEach((button) => (button.hidden = !hasVoice)));
  buttons.forEach((button) => button.addEventListener("click", () => reader.begin(button)));
}

class Reader {
  /** @param {HTMLElement} element @param {Record<string, string>} words */
  constructor(element, words) {
    this.bar = part(element, "bar");
    this.words = words;
    this.goesOn = element.dataset.goesOn !== undefined;
    this.voice = new Voice(document.documentElement.lang);
    this.parts = /** @type {HTMLElement[]} */ ([...document.querySelectorAll("[data-aloud]")]);
    /** @type {HTMLElement | null} the button that began it, to which a keyboard goes back */
    this.begun = null;
    this.at = 0;
    part(this.bar, "stop").addEventListener("click", () => this.stop());
    part(this.bar, "next").addEventListener("click", () => this.read(this.at + 1));
    // A page that is left would be read on.
    window.addEventListener("pagehide", () => this.stop());
  }

  /** @param {HTMLElement} button  inside a part: that part is read first */
  begin(button) {
    this.begun = button;
    this.bar.hidden = false;
    document.documentElement.dataset.readsAloud = "";
    this.read(Math.max(0, this.parts.findIndex((one) => one.contains(button))));
    part(this.bar, "stop").focus({ preventScroll: true });
  }

  stop() {
    this.voice.stop();
    this.mark(null, null);
    const hadFocus = this.bar.contains(document.activeElement);
    this.bar.hidden = true;
    delete document.documentElement.dataset.readsAloud;
    if (hadFocus) this.begun?.focus({ preventScroll: true });
  }

  /** @param {number} index  of the part; behind the last one it is over */
  read(index) {
    const one = this.parts[index];
    if (!one) {
      this.stop();
      return;
    }
    this.at = index;
    const pieces = piecesOf(one);
    const isLast = index === this.parts.length - 1;
    const title = one.dataset.title ?? one.querySelector("h2")?.textContent ?? "";
    write(part(this.bar, "told"), fill(this.words.aloud_part, { n: String(index + 1), all: String(this.parts.length), title }));
    // Hidden under the finger it would take the focus with it; what is left to do is to stop.
    if (isLast && document.activeElement === part(this.bar, "next")) part(this.bar, "stop").focus({ preventScroll: true });
    part(this.bar, "next").hidden = isLast;
    one.scrollIntoView({ block: "start" });
    this.voice.say(pieces.map(textOf), {
      onText: (n) => this.mark(one, pieces[n]),
      onEnd: () => (this.goesOn ? this.read(index + 1) : this.stop()),
    });
  }

  /** @param {HTMLElement | null} whole  the part that is read @param {HTMLElement | null} piece  the sentence of it */
  mark(whole, piece) {
    document.querySelectorAll("[data-reading]").forEach((one) => one.removeAttribute("data-reading"));
    whole?.setAttribute("data-reading", "part");
    piece?.setAttribute("data-reading", "now");
    piece?.scrollIntoView({ block: "nearest" });
  }
}

/** What of a part is read, one breath each. @param {HTMLElement} whole @returns {HTMLElement[]} */
function piecesOf(whole) {
  const found = /** @type {HTMLElement[]} */ ([...whole.querySelectorAll(PIECES)]).filter((one) => textOf(one));
  return found.length ? found : [whole];
}

/** @param {HTMLElement} piece */
function textOf(piece) {
  const copy = /** @type {HTMLElement} */ (piece.cloneNode(true));
  copy.querySelectorAll(UNREAD).forEach((one) => one.remove());
  return (copy.textContent ?? "").replace(/\s+/g, " ").trim();
}
