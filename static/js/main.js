/**
 * Starts one component for each element with a `data-module`. They know nothing of each other: one that fails, or whose file
 * does not come, leaves the rest alive and the page as the server made it.
 */

/** @typedef {{words: Record<string, string>, root: string}} Options  root: way from this page to the site's root, as "../../" */
/** @typedef {{start: (element: HTMLElement, options: Options) => unknown}} Component */

/** What only keeps account of pages stands back behind what the page is for. @type {Promise<void>} */
const loaded = new Promise((done) => {
  if (document.readyState === "complete") done();
  else addEventListener("load", () => done(), { once: true });
});

/** @type {Record<string, () => Promise<Component>>} */
const COMPONENTS = {
  confirm: () => import("./components/sheets-start.js"),
  finder: () => import("./components/apart-start.js"),
  figure: () => import("./components/figure.js"),
  "job-card": () => import("./components/jobs-start.js"),
  "job-list": () => import("./components/jobs-start.js"),
  "job-make": () => import("./components/jobs-start.js"),
  "kept-page": () => loaded.then(() => import("./components/kept-page.js")),
  "kept-pages": () => loaded.then(() => import("./components/apart-start.js")),
  setup: () => import("./components/setup-start.js"),
  "loose-count": () => loaded.then(() => import("./components/apart-start.js")),
  "own-number": () => import("./components/sheets-start.js"),
  "own-number-form": () => import("./components/sheets-start.js"),
  "read-aloud": () => import("./components/sheets-start.js"),
  "saved-status": () => import("./components/saved-status.js"),
  "table-sort": () => import("./components/apart-start.js"),
  "theme-switch": () => import("./components/theme-switch.js"),
  "torque-round": () => import("./components/round-start.js"),
  "update-notice": () => import("./components/update-notice.js"),
};

const PATIENCE_MS = 1000;
const page = document.documentElement;

/** @param {HTMLElement} element */
async function begin(element) {
  const { module: name = "", figure } = element.dataset;
  // On its way at once: its component asks for it only when the words are there.
  if (name === "figure") import(`./figures/${figure}.${page.lang}.js`).catch(() => {});
  try {
    const [component, { WORDS }] = await Promise.all([COMPONENTS[name](), import(`./words.${page.lang}.js`)]);
    await component.start(element, { words: WORDS, root: page.dataset.root ?? "./" });
    element.dataset.started = "";
  } catch (error) {
    console.error(`${name} did not start`, error);
  }
}

/** What the page is for comes first; the lines about the copy on the phone follow, or do not wait for ever. */
async function beginAll() {
  const all = /** @type {HTMLElement[]} */ ([...document.querySelectorAll("[data-module]")]);
  const inMain = all.filter((element) => element.closest("main"));
  const late = new Promise((resolve) => {
    setTimeout(resolve, PATIENCE_MS);
  });
  await Promise.race([Promise.all(inMain.map(begin)), late]);
  for (const element of all) if (!inMain.includes(element)) void begin(element);
}

void beginAll();
