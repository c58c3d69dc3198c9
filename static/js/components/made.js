/** Elements made by script, so that a page drawn from the phone reads as it stands. Texts go in as texts, never as HTML. */

/** @typedef {Node | string | null | false | undefined} Inside  null, false: nothing there */

/**
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} tag
 * @param {Record<string, string | boolean | null>} [attributes]  true: there without a value; false, null: not there
 * @param {...Inside} inside
 * @returns {HTMLElementTagNameMap[T]}
 */
export function make(tag, attributes = {}, ...inside) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== false && value !== null) element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...inside.filter((one) => one !== null && one !== false && one !== undefined));
  return element;
}

/** @param {string} text @param {() => void} act @param {Record<string, string | boolean | null>} [attributes] */
export function makeButton(text, act, attributes = {}) {
  const button = make("button", { type: "button", ...attributes }, text);
  button.addEventListener("click", act);
  return button;
}

/** @param {string} href @param {string} text @param {Record<string, string | boolean | null>} [attributes] */
export function makeLink(href, text, attributes = {}) {
  return make("a", { href, ...attributes }, text);
}

/** A picture's element. @param {string} tag @param {Record<string, string | number>} attributes @param {...Node | string} inside @returns {SVGElement} */
export function draw(tag, attributes, ...inside) {
  const element = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, String(value));
  element.append(...inside);
  return element;
}
