/** Elements made by script, so that a page drawn from the phone reads as it stands. Texts go in as texts, never as HTML. */

/** @typedef {Node | string | null | false | undefined} Inside  null, false, undefined: nothing there */
/** @typedef {Record<string, string | number | boolean | null | undefined>} Attributes  as HTML names them; true: there without a value; false, null, undefined: not there */

/**
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} tag
 * @param {Attributes} [attributes]
 * @param {...Inside} inside
 * @returns {HTMLElementTagNameMap[T]}
 */
export function made(tag, attributes = {}, ...inside) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== false && value !== null && value !== undefined) element.setAttribute(name, value === true ? "" : String(value));
  }
  element.append(...inside.filter((one) => one !== null && one !== false && one !== undefined));
  return element;
}

/** @param {string} text @param {() => unknown} act @param {Attributes} [attributes] */
export function button(text, act, attributes = {}) {
  const element = made("button", { type: "button", ...attributes }, text);
  element.addEventListener("click", () => void act());
  return element;
}

/** @param {string} href @param {string} text @param {Attributes} [attributes] */
export function link(href, text, attributes = {}) {
  return made("a", { href, ...attributes }, text);
}

/** A picture's element. @param {string} tag @param {Record<string, string | number>} attributes @param {...Node | string} inside @returns {SVGElement} */
export function draw(tag, attributes, ...inside) {
  const element = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, String(value));
  element.append(...inside);
  return element;
}
