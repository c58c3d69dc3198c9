/**
 * The keys of the number pad: what each does to the field that is being edited. It only changes the field's text, as typing
 * would; what the text means is somebody else's business.
 */

const MINUS = "−"; // U+2212, as the app writes it; the parser takes every other dash as well

/**
 * @param {HTMLElement} pad  holds the buttons with `data-key`
 * @param {string} mark  the language's decimal mark
 * @param {() => HTMLInputElement | null} field  the field being edited
 * @param {(key: string) => void} act  told of "next", "done", "find" and "board"
 */
export function startPad(pad, mark, field, act) {
  /** @type {HTMLElement} */ (pad.querySelector("[data-key=mark]")).textContent = mark;
  // The field keeps the caret (and the phone its peace): a key must not take the focus.
  pad.addEventListener("mousedown", (event) => event.preventDefault());
  pad.addEventListener("contextmenu", (event) => event.preventDefault());
  pad.addEventListener("click", (event) => {
    const button = /** @type {Element} */ (event.target).closest("button");
    const key = button?.dataset.key;
    if (!key) return;
    const input = field();
    if (["next", "done", "find", "board"].includes(key)) act(key);
    else if (input) press(input, key === "mark" ? mark : key);
  });
}

/**
 * One key on one field.
 * @param {HTMLInputElement} input
 * @param {string} key  a digit, the decimal mark, "delete", "sign" or "fraction"
 */
export function press(input, key) {
  const { value, selectionStart, selectionEnd } = input;
  const [from, to] = [selectionStart ?? value.length, selectionEnd ?? value.length];
  // A row just opened has its whole number selected: a digit begins a new number, every other key goes on with the old one.
  const isFresh = value !== "" && from === 0 && to === value.length;
  const edit = { value, from, to };
  if (isFresh && !/^\p{Nd}$|^[.,]$/u.test(key)) edit.from = edit.to = value.length;
  const change = { delete: remove, sign: turnSign, fraction: divide }[key] ?? ((/** @type {Edit} */ at) => write(at, key));
  const { text, caret } = change(edit);
  input.value = text;
  input.setSelectionRange(caret, caret);
  input.dispatchEvent(new Event("input", { bubbles: true }));
}

/** @typedef {{value: string, from: number, to: number}} Edit  a text and what of it is selected */
/** @typedef {{text: string, caret: number}} Edited */

/** @param {Edit} edit @param {string} mark @returns {Edited} */
function write({ value, from, to }, mark) {
  const before = value.slice(0, from);
  // A glove that hits the decimal mark twice means one.
  if (/^[.,]$/.test(mark) && /[.,]\p{Nd}*$/u.test(before)) return { text: value, caret: to };
  return { text: before + mark + value.slice(to), caret: from + mark.length };
}

/** @param {Edit} edit @returns {Edited} */
function remove({ value, from, to }) {
  const start = from === to ? Math.max(0, from - 1) : from;
  return { text: value.slice(0, start) + value.slice(to), caret: start };
}

/** @param {Edit} edit @returns {Edited} */
function turnSign({ value, to }) {
  const bare = value.replace(/^\s*[-−–]\s*/u, "");
  const text = bare === value ? MINUS + value : bare;
  return { text, caret: Math.max(0, to + text.length - value.length) };
}

/**
 * A fraction stroke; where there is one already, it becomes the space behind a whole number, so that 1 a/b 1 a/b 8 is 1 1/8.
 * @param {Edit} edit @returns {Edited}
 */
function divide({ value, from, to }) {
  const before = value.slice(0, from);
  const stroke = before.lastIndexOf("/");
  if (stroke < 0) return { text: `${before}/${value.slice(to)}`, caret: from + 1 };
  const whole = `${before.slice(0, stroke)} ${before.slice(stroke + 1)}`;
  const added = whole.endsWith(" ") ? whole : `${whole}/`;
  return { text: added + value.slice(to), caret: added.length };
}
