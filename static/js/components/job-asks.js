/**
 * What is asked at a step: values from the person's own manual, readings, part numbers. A number is read with the units of its kind;
 * what cannot be read stays as it was typed, is kept as it was typed, and a sentence says what is wrong.
 */

import { addEntry, changeEntry, remove } from "../lib/job-deeds.js";
import { thingsAt } from "../lib/job-list.js";
import { newId } from "../lib/job-store.js";
import { echo, withUnit } from "../lib/display.js";
import { NumberProblem, readQuantity, splitQuantity } from "../lib/number.js";
import { fold, labelled, newName, renewEach, say } from "./job-kit.js";
import { button, made } from "./made.js";

/** @typedef {import("./job-card.js").Card} Card */
/** @typedef {{id: string} & import("../lib/job.js").Entry} Listed */
/** @typedef {{label: string, kind: string, in: string}} Asked */

const PAUSE_MS = 400;
const SORTS = /** @type {const} */ (["reading", "manual", "part"]);

export class Asks {
  /** @param {Card} card @param {string} step  '' for none @param {Record<string, any> | null} text */
  constructor(card, step, text) {
    this.card = card;
    this.step = step;
    const { words } = card;
    const asks = /** @type {const} */ (["manual", "read"]).map((name) => ({ name, list: /** @type {Asked[]} */ (text?.[name] ?? []) })).filter(({ list }) => list.length);
    const groups = asks.map(({ name, list }) => ({ name, asks: list.map((one) => new Ask(card, step, name === "manual" ? "manual" : "reading", one)) }));
    this.asks = groups.flatMap((group) => group.asks);
    this.more = made("ul", { class: "card-entries" });
    const heads = groups.map((group) => made("div", { class: "card-asks" }, made("h4", {}, words[`job_${group.name}`]), ...group.asks.map(({ element }) => element)));
    this.element = made("div", {}, ...heads, this.more, ownEntry(card, step));
  }

  paint() {
    const entries = thingsAt(this.card.job, "entries", this.step).filter(({ sort }) => sort !== "note" && sort !== "check");
    const asked = new Set(this.asks.map((ask) => ask.paint(entries)));
    renewEach(this.more, entries.filter(({ id }) => !asked.has(id)), (entry) => entryLine(this.card, entry), /** @type {HTMLElement} */ (this.element.querySelector("summary")));
  }

  end() {
    this.asks.forEach((ask) => ask.end());
  }
}

class Ask {
  /** @param {Card} card @param {string} step @param {"manual" | "reading"} sort @param {Asked} asked */
  constructor(card, step, sort, asked) {
    this.card = card;
    this.step = step;
    this.sort = sort;
    this.asked = asked;
    /** What is noted, '' for nothing yet. */
    this.entry = "";
    /** Id for a new entry. */
    this.fresh = newId();
    this.last = "";
    this.pausing = 0;
    /** Typed and not handed on yet. */
    this.isTyped = false;
    /** On its way to the phone. */
    this.isGoing = false;
    /** @type {Promise<unknown>} */
    this.keeping = Promise.resolve();
    const { words, units } = card;
    const { label, kind, in: unit } = asked;
    this.problem = made("p", { class: "fault", role: "status", id: newName("card-problem"), hidden: true });
    this.echo = made("p", { class: "card-echo" });
    const key = `${sort} ${label}`;
    this.field = made("input", { type: "text", autocomplete: "off", maxlength: 200, "aria-describedby": this.problem.id, "data-key": key });
    const symbols = units.kinds[kind].units.map((/** @type {string} */ one) => made("option", { value: one, selected: one === unit }, units.units[one].symbol));
    this.unit = made("select", { "aria-label": say(words, "card_unit_of", { label }), "data-key": `unit ${key}` }, ...symbols);
    this.unit.hidden = symbols.length < 2 && !units.units[unit].symbol;
    this.page = made("input", { type: "text", autocomplete: "off", maxlength: 200, class: "card-page", "data-key": `page ${key}` });
    const page = sort === "manual" ? [labelled(words.card_page, this.page)] : [];
    page.forEach((row) => row.classList.add("card-page-row"));
    this.element = made("div", { class: "card-ask" }, labelled(label, this.field, this.unit), ...page, this.echo, this.problem);
    for (const field of [this.field, this.page]) {
      field.addEventListener("input", () => this.typed());
      field.addEventListener("change", () => void this.keep());
    }
    this.unit.addEventListener("change", () => this.chosen());
    card.leaving.add(this);
  }

  typed() {
    this.isTyped = true;
    clearTimeout(this.pausing);
    this.pausing = setTimeout(() => void this.keep(), PAUSE_MS);
  }

  /** The unit says what the number was in: the number stays. */
  chosen() {
    if (!this.field.value.trim()) return;
    this.field.value = splitQuantity(this.field.value)[0];
    this.isTyped = true;
    void this.keep();
  }

  /** @returns {{value: string, unit: string, problem: string, echo: string}} as it is kept, and what is said of it */
  read() {
    const { units, words, decimal } = this.card;
    const { kind } = this.asked;
    const text = this.field.value.trim();
    if (!text) return { value: "", unit: "", problem: "", echo: "" };
    try {
      const { unit, si } = readQuantity(text, kind, units, this.unit.value);
      const others = echo(si, units.kinds[kind], units.units, unit, decimal).map(({ number, unit: symbol }) => withUnit(number, symbol));
      return { value: splitQuantity(text)[0], unit, problem: "", echo: others.length ? say(words, "card_echo", { others: others.join(" · ") }) : "" };
    } catch (error) {
      if (!(error instanceof NumberProblem)) throw error;
      return { value: text, unit: "", problem: error.sentence(words), echo: "" };
    }
  }

  /** Hand on what is typed. @returns {Promise<unknown>} */
  keep() {
    clearTimeout(this.pausing);
    if (!this.isTyped) return this.keeping;
    this.isTyped = false;
    this.isGoing = true;
    const { problem, echo: others } = this.read();
    this.tell(problem, others);
    const part = this.part();
    this.keeping = this.keeping.then(() => this.write(part)).finally(() => (this.isGoing = false));
    return this.keeping;
  }

  /** What the fields hold, as it is kept. @returns {{value: string, unit: string, page: string}} */
  part() {
    const { value, unit } = this.read();
    return { value, unit: unit && this.card.units.units[unit].symbol, page: this.page.value.trim() };
  }

  /** @returns {import("../lib/job-jot.js").Jotted | null} */
  unkept() {
    const { step, sort, asked, entry, fresh, isTyped, isGoing } = this;
    return isTyped || isGoing ? { step, sort, label: asked.label, entry: entry || fresh, ...this.part() } : null;
  }

  /** @param {{value: string, unit: string, page: string}} part */
  async write(part) {
    const { card, step, sort, asked } = this;
    const [id, at] = [newId(), Date.now()];
    const old = this.entry ? card.job.entries[this.entry] : null;
    const isNothing = !part.value && !part.page;
    if (!old || old.gone) {
      if (isNothing) return;
      const entry = this.fresh;
      [this.entry, this.fresh] = [entry, newId()];
      await card.act((job) => addEntry(job, entry, { step, sort, label: asked.label, ...part }, at), { step, id, at });
      return;
    }
    const entry = this.entry;
    if (isNothing) {
      this.entry = "";
      await card.act((job) => remove(job, "entries", entry, at), { at });
      return;
    }
    const changed = Object.fromEntries(Object.entries(part).filter(([name, text]) => old[/** @type {"value" | "unit" | "page"} */ (name)] !== text));
    if (!Object.keys(changed).length) return;
    const joins = this.last;
    this.last = id;
    await card.act((job) => changeEntry(job, entry, changed, joins || undefined), { step, id, at });
  }

  /** @param {string} problem @param {string} others */
  tell(problem, others) {
    const { problem: line, echo: below, field } = this;
    line.hidden = !problem;
    line.textContent = problem;
    below.textContent = others;
    field.setAttribute("aria-invalid", String(problem !== ""));
  }

  /** @param {Listed[]} entries @returns {string} the entry that the field shows */
  paint(entries) {
    const mine = entries.filter(({ sort, label }) => sort === this.sort && label === this.asked.label).at(-1);
    const isBusy = this.isTyped || this.isGoing || [this.field, this.page].some((field) => field === document.activeElement);
    if (isBusy) return this.entry;
    if (mine?.id !== this.entry) this.last = "";
    this.entry = mine?.id ?? "";
    this.show(mine);
    return this.entry;
  }

  /** @param {Listed | undefined} entry */
  show(entry) {
    const { units } = this.card;
    const ids = /** @type {string[]} */ (units.kinds[this.asked.kind].units);
    const unit = ids.find((id) => units.units[id].symbol === entry?.unit);
    if (unit !== undefined && entry?.unit !== undefined) this.unit.value = unit;
    const text = !entry ? "" : unit !== undefined || !entry.unit ? entry.value : `${entry.value} ${entry.unit}`;
    if (this.field.value !== text) this.field.value = text;
    if (this.page.value !== (entry?.page ?? "")) this.page.value = entry?.page ?? "";
    const { problem, echo: others } = this.read();
    this.tell(problem, others);
  }

  end() {
    void this.keep();
    this.card.leaving.delete(this);
  }
}

/** What is noted and nobody asked for. @param {Card} card @param {Listed} entry */
function entryLine(card, { id, sort, label, value, unit, page }) {
  const { words } = card;
  const said = [withUnit(value, unit), page && say(words, "card_page_is", { page })].filter(Boolean).join(" · ");
  const off = button(words.card_delete, () => card.act((job) => remove(job, "entries", id, Date.now())), { class: "card-off", "aria-label": say(words, "card_delete_what", { thing: label }) });
  return [made("p", {}, made("small", {}, words[`card_sort_${sort}`]), " ", made("b", {}, label), " ", made("span", { class: "card-value" }, said)), off];
}

/** Writes down what the template does not ask for. @param {Card} card @param {string} step */
function ownEntry(card, step) {
  const { words } = card;
  const names = /** @type {const} */ (["label", "value", "unit", "page"]);
  const problem = made("p", { class: "fault", role: "status", id: newName("card-problem"), hidden: true });
  const fields = names.map((name) => made("input", { type: "text", autocomplete: "off", maxlength: name === "unit" ? 40 : name === "page" ? 200 : 500, "aria-describedby": problem.id, "data-key": `own ${name}` }));
  const sort = made("select", { id: newName("card-field") }, ...SORTS.map((one) => made("option", { value: one }, words[`card_sort_${one}`])));
  const keep = button(words.card_entry_keep, async () => {
    const [label, value, unit, page] = fields.map((field) => field.value.trim());
    const missing = fields.find((field, n) => n < 2 && !field.value.trim());
    problem.hidden = !missing;
    problem.textContent = missing ? words.card_entry_missing : "";
    if (missing) {
      missing.focus();
      return;
    }
    const [id, at] = [newId(), Date.now()];
    const given = { step, sort: SORTS[sort.selectedIndex], label, value, unit, page };
    const { did } = await card.act((job) => addEntry(job, id, given, at), { step, at });
    if (did) fields.forEach((field) => (field.value = ""));
  });
  const rows = names.map((name, n) => labelled(words[`card_entry_${name}`], fields[n]));
  const what = made("div", { class: "card-field" }, made("label", { for: sort.id }, words.card_entry_sort), sort);
  return fold(words.card_entry_own, made("div", { class: "card-form" }, what, ...rows, problem, keep));
}
