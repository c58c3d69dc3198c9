/**
 * The strip of units in the dock: what the typed number is in. Choosing one never changes the number.
 * As many units as fit stand in the strip; 'more' lays all of them out in place of the keys, so nothing has to be swiped.
 */

/** @typedef {{id: string, symbol: string}} Unit */

const LONG = 4; // letters that a narrow key holds in small print only: 'mmHg' is one word and must not break

export class UnitStrip {
  /**
   * @param {HTMLElement} dock
   * @param {Record<string, string>} words
   * @param {(unit: Unit) => void} choose
   */
  constructor(dock, words, choose) {
    this.dock = dock;
    this.words = words;
    this.choose = choose;
    this.strip = part(dock, "unit-strip");
    this.panel = part(dock, "unit-panel");
    this.pad = part(dock, "pad");
    /** @type {Unit[]} */
    this.units = [];
    this.current = "";
  }

  /** @param {Unit[]} units  all units of the row's kind @param {string} current  id of the one the number is in */
  show(units, current) {
    const isSame = this.current === current && this.units.length === units.length && this.units.every(({ id }, n) => id === units[n].id);
    if (isSame && this.strip.childElementCount) return;
    [this.units, this.current] = [units, current];
    this.draw();
  }

  draw() {
    const room = this.room();
    const all = this.units.filter(({ symbol }) => symbol);
    const hasMore = all.length > room;
    const shown = hasMore ? inStrip(all, this.current, room - 1) : all;
    const more = hasMore ? [this.moreButton()] : [];
    this.strip.replaceChildren(...shown.map((unit) => this.unitButton(unit)), ...more);
    this.panel.replaceChildren(...(hasMore ? all.map((unit) => this.unitButton(unit)) : []));
    if (!hasMore) this.open(false);
  }

  /** How many cells the strip has; the style sheet knows, by the width and height of the screen. */
  room() {
    const style = getComputedStyle(this.dock);
    return (parseInt(style.getPropertyValue("--slots"), 10) || 4) * (parseInt(style.getPropertyValue("--lines"), 10) || 1);
  }

  /** @param {Unit} unit */
  unitButton(unit) {
    const button = newButton(unit.symbol);
    button.classList.toggle("is-long", unit.symbol.split("/").some((piece) => piece.length >= LONG));
    button.setAttribute("aria-pressed", String(unit.id === this.current));
    button.setAttribute("aria-label", this.words.figure_pad_unit.replace("{unit}", unit.symbol));
    button.addEventListener("click", () => {
      this.open(false);
      this.choose(unit);
    });
    return button;
  }

  moreButton() {
    const button = newButton(this.words.figure_pad_more);
    button.classList.add("more");
    button.setAttribute("aria-expanded", "false");
    button.addEventListener("click", () => this.open(Boolean(this.panel.hidden)));
    return button;
  }

  /** @param {boolean} isOpen  whether all units stand in place of the keys */
  open(isOpen) {
    this.panel.hidden = !isOpen;
    this.pad.hidden = isOpen || this.dock.dataset.board !== undefined;
    const more = this.strip.querySelector(".more");
    more?.setAttribute("aria-expanded", String(isOpen));
    if (more) more.textContent = isOpen ? this.words.figure_pad_more_close : this.words.figure_pad_more;
  }
}

/**
 * The units that stand in the strip: the first of the kind, the current one always among them.
 * @param {Unit[]} all @param {string} current @param {number} room
 */
function inStrip(all, current, room) {
  const first = all.slice(0, room);
  const chosen = all.find(({ id }) => id === current);
  return !chosen || first.includes(chosen) ? first : [...all.slice(0, room - 1), chosen];
}

/** @param {string} text  may break behind a stroke, so that 'kgf/cm²' fits a narrow key */
function newButton(text) {
  const button = document.createElement("button");
  button.type = "button";
  text.split("/").forEach((piece, n) => {
    if (n) button.append("/", document.createElement("wbr"));
    button.append(piece);
  });
  return button;
}

/** @param {HTMLElement} element @param {string} name */
function part(element, name) {
  return /** @type {HTMLElement} */ (element.querySelector(`[data-part="${name}"]`));
}
