/**
 * Keeps the screen on, where the browser can and only while it is wanted. What `state` says is true: 'on' only while a lock is held.
 *
 * The browser takes the lock away whenever the page is out of sight, so it is asked for again at each return. A refusal is told and
 * not argued with: the next try is the next return.
 *
 * @typedef {"none" | "off" | "on" | "waiting" | "refused"} WakeState
 *   none: this browser has no such thing; waiting: wanted, and not held until the page is looked at again; refused: the phone said no
 * @typedef {EventTarget & {release: () => Promise<void>}} Sentinel
 * @typedef {{wakeLock?: {request: (type: "screen") => Promise<Sentinel>}}} Phone
 * @typedef {Pick<Document, "visibilityState" | "addEventListener">} Seen
 */

export class WakeLock {
  /**
   * @param {(state: WakeState) => void} tell  told each state that is new
   * @param {Phone} [phone]
   * @param {Seen} [page]
   */
  constructor(tell, phone = /** @type {Phone} */ (navigator), page = document) {
    this.tell = tell;
    this.phone = phone;
    this.page = page;
    this.isWanted = false;
    this.isAsking = false;
    /** @type {Sentinel | null} */
    this.held = null;
    /** @type {WakeState} */
    this.state = this.canHold() ? "off" : "none";
    page.addEventListener("visibilitychange", () => void this.ask());
    tell(this.state);
  }

  canHold() {
    return typeof this.phone.wakeLock?.request === "function";
  }

  /** @param {boolean} isWanted  while a step or a round is open, and the person has chosen it */
  async want(isWanted) {
    if (this.isWanted === isWanted) return;
    this.isWanted = isWanted;
    if (isWanted) await this.ask();
    else await this.letGo();
  }

  async ask() {
    if (!this.isWanted || this.held || this.isAsking || !this.canHold()) return;
    if (this.page.visibilityState !== "visible") {
      this.turn("waiting");
      return;
    }
    this.isAsking = true;
    const lock = await this.requested();
    this.isAsking = false;
    if (!lock) this.turn(this.isWanted ? "refused" : "off");
    else if (this.isWanted) this.hold(lock);
    else await lock.release().catch(() => {}); // wanted no longer while the browser was thinking
  }

  /** @returns {Promise<Sentinel | null>} null: the phone said no, as with a low battery */
  async requested() {
    try {
      return (await this.phone.wakeLock?.request("screen")) ?? null;
    } catch {
      return null;
    }
  }

  /** @param {Sentinel} lock */
  hold(lock) {
    this.held = lock;
    lock.addEventListener("release", () => {
      if (this.held !== lock) return;
      this.held = null;
      this.turn(this.isWanted ? "waiting" : "off");
    });
    this.turn("on");
  }

  async letGo() {
    const lock = this.held;
    this.held = null;
    if (this.canHold()) this.turn("off");
    await lock?.release().catch(() => {});
  }

  /** @param {WakeState} state */
  turn(state) {
    if (this.state === state) return;
    this.state = state;
    this.tell(state);
  }
}
