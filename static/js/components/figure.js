/** Starts a Figure's page: its numbers and formulas, and the person's setup, if there is one. The page at work is sheet.js. */

import { pause as idle } from "../lib/idle.js";
import { Presenter } from "../lib/present.js";
import { startSeries } from "./further.js";
import { Sheet } from "./sheet.js";
import { UNITS } from "../units.js";

/** @typedef {import("../lib/calculator.js").Give} Give */

/** @param {HTMLElement} element @param {{words: Record<string, string>}} options */
export async function start(element, { words }) {
  const id = element.dataset.figure ?? "";
  const page = document.documentElement;
  // By itself, so that a Figure works where the setup's files or its store do not.
  const open = () => import("./from-setup.js").then(({ FromSetup }) => FromSetup.open()).catch(() => null);
  // Nothing was left to wait for: the numbers of the page are the right ones, and the store is opened when it is at work.
  const setup = isSetupLeft() ? open() : null;
  const [{ FIGURE, CHOICES, TEXT, ROW_LABELS }, { DECIMAL }] = await Promise.all([
    import(`../figures/${id}.${page.lang}.js`), import(`../words.${page.lang}.js`),
  ]);
  if (FIGURE.gives.some((/** @type {Give} */ { type }) => type === "series")) await startSeries();
  const own = { text: TEXT, words, decimal: DECIMAL, rowLabels: ROW_LABELS };
  const sheet = new Sheet(element, words, new Presenter({ units: UNITS, choices: CHOICES }, own, FIGURE));
  sheet.setup = await setup;
  await sheet.begin(new URLSearchParams(location.search));
  if (!setup) void idle().then(() => joinLater(sheet, open)).catch(() => {});
}

/**
 * A setup that no word was left of joins the page at work. Its scripts are fetched only where the store knows of one: now, or when
 * another window has made one.
 * @param {Sheet} sheet
 * @param {() => Promise<import("./from-setup.js").FromSetup | null>} open
 */
async function joinLater(sheet, open) {
  const { read, SETUP_IN_USE, watchOthers } = await import("../lib/store.js");
  const look = async () => {
    if (sheet.setup || !(await read(SETUP_IN_USE.store, SETUP_IN_USE.key))) return;
    const found = await open();
    if (!sheet.setup) sheet.join(found);
  };
  const again = () => void look().catch(() => {});
  watchOthers(again);
  document.addEventListener("visibilitychange", again);
  await look();
}

/** Whether an earlier page has left word that there is a setup: then its numbers stand first (lib/setup.js, theme.js). */
function isSetupLeft() {
  try {
    return ["cowlside-setup", "cowlside-setup-jotted"].some((word) => localStorage.getItem(word) !== null);
  } catch {
    return true;
  }
}
