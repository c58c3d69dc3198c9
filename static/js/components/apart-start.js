/** Brings what stands on few pages and asks for nothing more: files apart, so that no other page waits for them. */

/** @type {Record<string, () => Promise<import("../main.js").Component>>} */
const PARTS = {
  finder: () => import("./finder.js"),
  "kept-pages": () => import("./kept-pages.js"),
  "loose-count": () => import("./loose-count.js"),
  "table-sort": () => import("./table-sort.js"),
};

/** @param {HTMLElement} element @param {import("../main.js").Options} options */
export async function start(element, options) {
  const { start: begin } = await PARTS[element.dataset.module ?? ""]();
  await begin(element, options);
}
