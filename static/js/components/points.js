/**
 * A curve's points as two columns of fields. The row's own field holds them all as one text, 'x: y; x: y', which is what the form,
 * the address and the parser know; one that is out of sight takes its place and is kept in step.
 */

/** @typedef {import("./figure-paint.js").Row} Row */
/** @typedef {import("../lib/present.js").View} View */

/** @param {Row} row @param {View} own  the view's part for the row @param {Record<string, string>} words */
export function startPoints(row, own, words) {
  const whole = Object.assign(document.createElement("input"), { type: "hidden", id: row.control.id, name: row.control.name, value: own.text });
  const columns = [own.across.label, row.label.textContent ?? ""];
  const list = document.createElement("div");
  list.className = "points";
  const heads = document.createElement("p");
  heads.append(...columns.map((column) => Object.assign(document.createElement("span"), { textContent: column })));
  const add = Object.assign(document.createElement("button"), { type: "button", textContent: words.figure_points_add });
  add.addEventListener("click", () => list.insertBefore(line(row, columns, ["", ""]), add).querySelector("input")?.focus());
  list.append(heads, ...pairs(whole.value).map((pair) => line(row, columns, pair)), add);
  list.addEventListener("input", () => (whole.value = text(list)));
  row.element.insertBefore(list, row.echo);
  row.control.replaceWith(whole);
  row.control = whole;
}

/** @param {string} value @returns {string[][]} */
function pairs(value) {
  return value.split(";").map((pair) => {
    const cut = pair.indexOf(":");
    return cut < 0 ? [pair.trim(), ""] : [pair.slice(0, cut).trim(), pair.slice(cut + 1).trim()];
  });
}

/** The text of all points; a point with both fields empty is left out. @param {HTMLElement} list */
function text(list) {
  const lines = [...list.querySelectorAll(":scope > div")].map((pair) => [...pair.querySelectorAll("input")].map(({ value }) => value.trim()));
  return lines.filter(([x, y]) => x || y).map(([x, y]) => `${x}: ${y}`).join("; ");
}

/** @param {Row} row @param {string[]} columns @param {string[]} pair */
function line(row, columns, pair) {
  const element = document.createElement("div");
  for (const [n, value] of pair.entries()) {
    const input = document.createElement("input");
    Object.assign(input, { type: "text", value, autocomplete: "off", spellcheck: false, inputMode: "none", size: 6 });
    input.setAttribute("autocorrect", "off");
    input.setAttribute("aria-label", columns[n]);
    input.setAttribute("aria-describedby", `${row.note.id} ${row.problem.id}`);
    element.append(input);
  }
  return element;
}
