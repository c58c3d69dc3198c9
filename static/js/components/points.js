/**
 * A curve's points as two columns of fields. The row's own field holds them all as one text, 'x: y; x: y', which is what the form,
 * the address and the parser know; it is put out of sight and kept in step.
 */

/** @typedef {import("./figure-paint.js").Row} Row */

/** @param {Row} row @param {Record<string, string>} words */
export function startPoints(row, words) {
  const whole = /** @type {HTMLInputElement} */ (row.control);
  const list = document.createElement("div");
  list.className = "points";
  const add = document.createElement("button");
  add.type = "button";
  add.textContent = words.figure_points_add;
  add.addEventListener("click", () => list.insertBefore(line(row, "", "", words), add).querySelector("input")?.focus());
  list.append(...pairs(whole.value).map(([x, y]) => line(row, x, y, words)), add);
  list.addEventListener("input", () => (whole.value = text(list)));
  row.element.insertBefore(list, row.echo);
  whole.type = "hidden";
}

/** @param {string} value @returns {[string, string][]} */
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

/** @param {Row} row @param {string} x @param {string} y @param {Record<string, string>} words */
function line(row, x, y, words) {
  const pair = document.createElement("div");
  const field = (/** @type {string} */ value, /** @type {string} */ name) => {
    const input = document.createElement("input");
    Object.assign(input, { type: "text", value, autocomplete: "off", spellcheck: false, inputMode: "none", size: 6 });
    input.setAttribute("aria-label", `${row.label.textContent}: ${name}`);
    input.setAttribute("aria-describedby", `${row.note.id} ${row.problem.id}`);
    return input;
  };
  pair.append(field(x, words.figure_points_across), field(y, words.figure_points_up));
  return pair;
}
