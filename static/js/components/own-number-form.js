/** Where the person sets the emergency number of the place: a half-typed one is called by nobody, so it is kept on a press. */

import { faultOf, keepNumber, ownNumber, tidied, watchNumber } from "../lib/own-number.js";
import { fill, part, write } from "./figure-paint.js";

/** @param {HTMLElement} element  the form @param {import("../main.js").Options} options */
export async function start(element, { words }) {
  const form = new NumberForm(element, words);
  await form.follow();
  form.listen();
  element.hidden = false;
}

class NumberForm {
  /** @param {HTMLElement} element @param {Record<string, string>} words */
  constructor(element, words) {
    this.element = element;
    this.words = words;
    this.field = /** @type {HTMLInputElement} */ (part(element, "field"));
    this.kept = "";
  }

  listen() {
    this.element.addEventListener("submit", (event) => {
      event.preventDefault();
      void this.keep();
    });
    this.field.addEventListener("input", () => this.typed());
    watchNumber(() => void this.follow());
    window.addEventListener("pageshow", ({ persisted }) => persisted && void this.follow());
  }

  /** The field follows what another window has kept, unless something else is being typed into it. */
  async follow() {
    const number = await ownNumber();
    if (tidied(this.field.value) === this.kept) this.field.value = number;
    this.kept = number;
  }

  typed() {
    this.tellFault(false);
    write(part(this.element, "told"), tidied(this.field.value) === this.kept ? "" : this.words.emergency_own_waits);
  }

  async keep() {
    if (this.tellFault(true)) {
      this.field.focus();
      return;
    }
    const number = tidied(this.field.value);
    const { kept, why } = await keepNumber(number);
    this.kept = number;
    const sentence = number ? fill(this.words.emergency_own_kept, { number }) : this.words.emergency_own_none;
    write(part(this.element, "told"), kept ? sentence : this.words[`caution_state_${why}`]);
  }

  /** Says what is wrong; while somebody types only what was said already is changed. @param {boolean} isAsked @returns {boolean} whether something is */
  tellFault(isAsked) {
    const fault = faultOf(this.field.value);
    const line = part(this.element, "fault");
    const text = fault ? fill(this.words[`emergency_own_${fault.key}`], { text: this.field.value.trim(), sign: fault.sign }) : "";
    if (isAsked || line.textContent) write(line, text);
    this.field.setAttribute("aria-invalid", String(Boolean(line.textContent)));
    if (isAsked && fault) write(part(this.element, "told"), "");
    return fault !== null;
  }
}
