/**
 * Keeps the answer, the row being edited and the whole dock in sight together.
 * Nothing is known beforehand of languages, letters and screens, so it is measured: while the three do not fit, their
 * `data-tight` goes up a step and the style sheet gives up something (figure.css); then the page is scrolled to the row.
 * The size of the keys is given up last: it must not change under a thumb.
 */

const STEPS = ["", "1", "1 2", "1 2 3", "1 2 3 4", "1 2 3 4 5"];
const AIR = 4; // px between row and dock

/** @typedef {{bar: HTMLElement, slab: HTMLElement, head: HTMLElement, dock: HTMLElement}} Pieces */

export class InSight {
  /** @param {Pieces} pieces */
  constructor(pieces) {
    this.pieces = pieces;
    this.page = document.documentElement;
    /** @type {HTMLElement | null} the row being edited */
    this.row = null;
    this.seen = "";
    this.searched = "";
    /** How far the style sheet has been told to give up things. */
    this.step = "";
    /** @type {HTMLElement | null} the row that has been told */
    this.edited = null;
    this.isDue = false;
    /** @type {Map<string, string>} what the style sheet was told last */
    this.told = new Map();
    const anew = () => this.loosen();
    window.addEventListener("resize", anew);
    window.visualViewport?.addEventListener("resize", anew);
    if (typeof ResizeObserver === "function") {
      // It calls once for the beginning too, when the page has been laid out anyway.
      const watcher = new ResizeObserver(() => this.settle());
      watcher.observe(pieces.slab);
      watcher.observe(pieces.head);
      watcher.observe(pieces.bar);
    } else this.settle();
  }

  /** @param {HTMLElement | null} row  the row now edited, null when none is */
  look(row) {
    this.row = row;
    this.loosen();
  }

  /** Something was written: in the frame that shows it, all must be in sight. Once a frame, however often it is asked for. */
  soon() {
    if (this.isDue) return;
    this.isDue = true;
    requestAnimationFrame(() => {
      this.isDue = false;
      this.settle();
    });
  }

  /** Gives up as little as will do. It costs a layout for each step: for a new row and for pauses, not for every key. */
  loosen() {
    const { row } = this;
    if (!row || this.searched === this.sizes(row)) return this.settle();
    this.tighten("");
    this.searched = this.seen;
  }

  settle() {
    const { page, row } = this;
    if (!row) {
      this.give("");
      this.seen = "";
      this.measure();
      page.toggleAttribute("data-loose", this.stuck(this.pieces.head) > this.screen() / 3);
    } else if (this.seen === this.sizes(row)) this.scrollTo(row);
    else this.tighten(this.step);
  }

  /** Gives up what must be given up, beginning with what a step gives. @param {string} from */
  tighten(from) {
    const row = /** @type {HTMLElement} */ (this.row);
    for (const step of STEPS.slice(STEPS.indexOf(from))) {
      this.give(step);
      this.measure();
      if (this.fits(row)) break;
    }
    this.seen = this.sizes(row);
    this.scrollTo(row);
  }

  /** Told to the pieces and the row, not to the whole page, which would be styled anew with each step. @param {string} step */
  give(step) {
    const edited = /** @type {HTMLElement | null} */ (this.row?.closest(".is-edited") ?? this.row);
    if (this.step === step && this.edited === edited) return;
    const { bar, slab, dock } = this.pieces;
    if (this.edited !== edited) delete this.edited?.dataset.tight;
    for (const piece of [bar, slab, dock, ...(edited ? [edited] : [])]) {
      if (step) piece.dataset.tight = step;
      else delete piece.dataset.tight;
    }
    this.step = step;
    this.edited = edited;
  }

  /** What decides whether all fits; measuring it is cheap, trying every step is not. @param {HTMLElement} row */
  sizes(row) {
    const { bar, slab, dock } = this.pieces;
    return [row.id, row.offsetTop, bar.offsetHeight, slab.offsetHeight, slab.scrollHeight, row.offsetHeight, dock.offsetHeight, this.screen(), window.innerWidth].join();
  }

  /**
   * Tells the style sheet how high bar, slab and dock are, each where it is asked for: a number that stands on the root of the page has
   * every element styled anew when it changes.
   */
  measure() {
    const { page } = this;
    const { bar, slab, dock } = this.pieces;
    const lift = this.board();
    const stuck = this.barHeight(bar);
    // All is read before anything is written, and only what changed is written: each look after a write is a layout of its own.
    const below = this.isBeside() ? 0 : dock.offsetHeight + lift;
    const [top, bottom] = this.row ? [`${stuck + slab.offsetHeight}px`, `${below + AIR}px`] : ["", ""];
    this.tell(slab, "--bar", `${stuck}px`);
    this.tell(dock, "--lift", `${lift}px`);
    this.tell(/** @type {HTMLElement} */ (slab.closest("main")), "--dock", `${below}px`);
    this.tell(page, "scroll-padding-top", top);
    this.tell(page, "scroll-padding-bottom", bottom);
  }

  /** @param {HTMLElement} element @param {string} name @param {string} value */
  tell(element, name, value) {
    if (this.told.get(name) === value) return;
    this.told.set(name, value);
    element.style.setProperty(name, value);
  }

  /** Height of the phone's own keyboard, where it covers the page instead of shortening it. */
  board() {
    const seen = window.visualViewport;
    return seen && seen.scale === 1 ? Math.max(0, Math.round(window.innerHeight - seen.height - seen.offsetTop)) : 0;
  }

  /** @param {HTMLElement} bar  0 where the bar scrolls away */
  barHeight(bar) {
    return getComputedStyle(bar).position === "sticky" ? bar.offsetHeight : 0;
  }

  isBeside() {
    const { dock } = this.pieces;
    // Not innerWidth: that holds the scroll bar too.
    return dock.offsetWidth > 0 && dock.offsetWidth < this.page.clientWidth;
  }

  screen() {
    return window.visualViewport?.height ?? window.innerHeight;
  }

  /** @param {HTMLElement} piece  what is stuck below the bar */
  stuck(piece) {
    return this.barHeight(this.pieces.bar) + piece.offsetHeight;
  }

  /** Upper edge of the dock, or the foot of the screen where it stands beside. */
  floor() {
    return this.isBeside() ? this.screen() : this.pieces.dock.getBoundingClientRect().top;
  }

  /** @param {HTMLElement} row */
  fits(row) {
    return this.stuck(this.pieces.slab) + row.offsetHeight + AIR <= this.floor();
  }

  /** @param {HTMLElement} row */
  scrollTo(row) {
    const { top, bottom } = row.getBoundingClientRect();
    const below = bottom + AIR - this.floor();
    const above = this.stuck(this.pieces.slab) - top;
    if (below > 0) window.scrollBy(0, below);
    else if (above > 0) window.scrollBy(0, -above);
  }
}
