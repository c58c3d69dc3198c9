/**
 * Sorting of a table by the columns that its file names. First tap: rising; second: falling; third: as the file has them. A row
 * without a number in that column stands last either way.
 */

/** @typedef {{group: HTMLElement, by: number}} Row */

/** @param {HTMLElement} element  the frame around the table */
export function start(element) {
  const table = /** @type {HTMLTableElement} */ (element.querySelector("table"));
  const groups = [...table.tBodies];
  for (const head of element.querySelectorAll("th[data-sort]")) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "sort";
    // One child, or each piece of the label would stand beside the next.
    const label = document.createElement("span");
    label.append(...head.childNodes);
    button.append(label);
    head.append(button);
    button.addEventListener("click", () => sortBy(table, groups, /** @type {HTMLTableCellElement} */ (head)));
  }
}

/** @param {HTMLTableElement} table @param {HTMLElement[]} groups  in the file's order @param {HTMLTableCellElement} head */
function sortBy(table, groups, head) {
  const way = next(head.getAttribute("aria-sort"));
  for (const other of table.querySelectorAll("[aria-sort]")) other.removeAttribute("aria-sort");
  if (way) head.setAttribute("aria-sort", way);
  table.append(...(way ? ordered(groups, head.cellIndex, way === "ascending") : groups));
}

/** @param {string | null} way @returns {string} */
function next(way) {
  return way === "ascending" ? "descending" : way === "descending" ? "" : "ascending";
}

/** @param {HTMLElement[]} groups @param {number} column @param {boolean} isRising */
export function ordered(groups, column, isRising) {
  const rows = groups.map((group) => ({ group, by: numberOf(group, column) }));
  const sign = isRising ? 1 : -1;
  return rows.sort((a, b) => compare(a, b, sign)).map(({ group }) => group);
}

/** @param {Row} a @param {Row} b @param {number} sign */
function compare(a, b, sign) {
  if (Number.isNaN(a.by) || Number.isNaN(b.by)) return Number(Number.isNaN(a.by)) - Number(Number.isNaN(b.by));
  return sign * (a.by - b.by);
}

/** @param {HTMLElement} group @param {number} column */
function numberOf(group, column) {
  const cell = /** @type {HTMLTableRowElement} */ (group.querySelector("tr")).cells[column];
  return cell.dataset.by ? Number(cell.dataset.by) : NaN;
}
