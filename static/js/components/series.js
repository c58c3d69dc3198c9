/** An answer that is a series: where its rows stand, numbered in their order, and the table that says the same in words. */

import { made } from "./figure-paint.js";
import { draw } from "./made.js";

/** @typedef {import("../lib/present.js").View} View */

/** @param {View} answer */
export function drawnSeries(answer) {
  return [...(answer.picture.length ? [placesPicture(answer)] : []), seriesTable(answer)];
}

/** Where each row of a series stands, with its number in the order; the table below says the same in words. @param {View} answer */
function placesPicture(answer) {
  const height = Math.max(...answer.picture.map((/** @type {{y: string}} */ { y }) => Number(y))) + 18;
  const picture = draw("svg", { class: "places", viewBox: `-9 -9 118 ${height}`, role: "img", "aria-label": answer.label });
  // So small that neighbours in the longest row do not touch.
  const many = answer.picture.length;
  const radius = many <= 10 ? 5.4 : many <= 24 ? 4.5 : 3;
  for (const { x, y, label } of answer.picture) {
    const number = draw("text", { dy: radius * 0.36, "font-size": radius * 1.1 }, label);
    picture.append(draw("g", { transform: `translate(${x} ${y})` }, draw("circle", { r: radius }), number));
  }
  return picture;
}

/** @param {View} answer */
function seriesTable(answer) {
  const frame = made("div", "", "table-scroll");
  frame.tabIndex = 0;
  frame.setAttribute("role", "region");
  frame.setAttribute("aria-label", answer.label);
  const [head, body, top] = [made("thead"), made("tbody"), made("tr")];
  for (const { label, unit } of answer.columns) {
    const cell = made("th", label);
    cell.setAttribute("scope", "col");
    if (unit) cell.append(" ", made("span", unit, "column-unit"));
    top.append(cell);
  }
  head.append(top);
  for (const cells of answer.rows) {
    const line = made("tr");
    line.append(...cells.map((/** @type {string} */ cell) => made("td", cell)));
    body.append(line);
  }
  const table = made("table", head);
  table.append(body);
  frame.append(table);
  return frame;
}
