/** The choice to keep the screen on while a step or a round is open, and what is true of it. The choice is kept on the phone. */

import { WakeLock } from "../lib/wake-lock.js";
import { read, write } from "../lib/store.js";
import { made, button } from "./made.js";

const CHOICE = { store: "kept", key: "screen" }; // holds {on}

export class ScreenOn {
  /** @param {Record<string, string>} words */
  constructor(words) {
    this.words = words;
    this.isChosen = false;
    this.isOpen = false;
    this.button = button(words.wake_choose, () => void this.choose(!this.isChosen), { "aria-pressed": "false" });
    this.told = made("p", { role: "status" });
    /** Stands where the page wants it. */
    this.element = made("div", { class: "wake" }, this.button, this.told);
    this.lock = new WakeLock((state) => this.paint(state));
    this.ready = read(CHOICE.store, CHOICE.key).then((kept) => this.follow(kept?.on === true)).catch(() => {});
  }

  /** A step or a round is open, or no longer. @param {boolean} isOpen */
  open(isOpen) {
    this.isOpen = isOpen;
    void this.lock.want(this.isChosen && isOpen);
  }

  /** @param {boolean} isChosen */
  async choose(isChosen) {
    await this.ready;
    this.follow(isChosen);
    await write([{ ...CHOICE, change: () => ({ on: isChosen }) }], { entered: false });
  }

  /** @param {boolean} isChosen */
  follow(isChosen) {
    this.isChosen = isChosen;
    this.button.setAttribute("aria-pressed", String(isChosen));
    void this.lock.want(isChosen && this.isOpen);
  }

  /** @param {import("../lib/wake-lock.js").WakeState} state */
  paint(state) {
    this.button.hidden = state === "none";
    this.element.dataset.state = state;
    this.told.textContent = state === "off" ? "" : this.words[`wake_${state}`];
  }
}
