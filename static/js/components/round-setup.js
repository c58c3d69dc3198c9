/** The form that sets a torque round up: pattern, torque from the person's own manual, rounds, adapter. Nothing typed is ever cleared. */

import { doAct, newId } from "../lib/job-store.js";
import { addRound } from "../lib/round-deeds.js";
import { joinedShares, MOST_ROUNDS, quantity, roundOf, shareTexts, typedFrom, wrongs, adapterOf, FIELDS } from "../lib/round-typed.js";
import { scaleWarnings, scaleWrongs } from "../lib/round-scale.js";
import { templateStep } from "../lib/template-step.js";
import { fill, write } from "./figure-paint.js";
import { made, button } from "./made.js";
import { roundPicture } from "./round-picture.js";

/** @typedef {import("./torque-round.js").Tools} Tools */
/** @typedef {import("../lib/job.js").Job} Job */
/** @typedef {{input: HTMLInputElement, fault: HTMLElement, echo: HTMLElement, element: HTMLElement}} Field */

const QUIET_MS = 400;
const LONGEST = "100";
/** A glove that taps twice has not read what the first tap has brought. */
const READING_MS = 600;

export class RoundSetup {
  /** @param {Tools} tools @param {Job} job @param {URLSearchParams} query  what is typed already @param {(roundId: string) => void} whenMade */
  constructor({ words, figures, jobs }, job, query, whenMade) {
    this.words = words;
    this.figures = figures;
    this.job = job;
    this.whenMade = whenMade;
    this.text = figures.ordering.text;
    const said = templateStep(jobs, job, query.get("step") ?? "")?.round;
    /** What the template says of it: its numbers are an example, so they are told and not filled in. */
    this.example = said ? fill(words.round_example, { across: String(said.across), down: String(said.down), note: said.note ?? "" }) : "";
    const shares = joinedShares(figures.defaultShares().map((share) => figures.percent(share)));
    this.typed = typedFrom(query, { shares, pattern: said?.pattern ?? "", label: said?.label ?? "" });
    if (!Object.hasOwn(job.steps, this.typed.step)) this.typed.step = "";
    /** Whether sentences are shown: not while somebody is filling it in for the first time. */
    this.isJudged = false;
    this.isSending = false;
    this.pause = 0;
    /** The warnings that stand there, as one text: whoever taps again has seen them. */
    this.warned = "";
    this.warnedAt = 0;
    /** @type {Map<string, Field>} */
    this.fields = new Map();
    this.element = this.build();
    this.paint();
    addEventListener("pagehide", () => this.element.isConnected && this.note());
  }

  // -- made once ------------------------------------------------------------------------------------------------------------------

  build() {
    const { words } = this;
    this.heading = made("h2", { tabindex: "-1" }, words.round_set_up);
    this.summary = made("div", { class: "round-wrongs", tabindex: "-1", role: "group", "aria-label": words.round_wrongs, hidden: true });
    this.counted = made("p", { class: "round-counted", role: "status" });
    this.picture = made("div", { class: "round-shown" });
    this.shares = made("div", { class: "round-shares" });
    this.adapter = made("div", { class: "round-adapter" }, ...["length", "offset", "angle"].map((name) => this.quantityRow(name, this.figures.adapting)));
    this.told = made("p", { class: "fault", role: "status" });
    this.warnings = made("div", { class: "round-wrongs", tabindex: "-1", role: "group", "aria-label": words.round_scale_warns, hidden: true });
    this.go = made("button", { class: "round-go" });
    const form = made("form", { class: "round-form", novalidate: true, autocomplete: "off" }, ...this.groups(), this.warnings, this.told, this.go);
    form.addEventListener("input", ({ target }) => this.take(/** @type {HTMLInputElement} */ (target)));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      void this.send();
    });
    return made("section", { class: "round-setup" }, this.heading, made("p", {}, words.round_use), this.summary, form);
  }

  groups() {
    const { words } = this;
    return [
      this.group(words.round_group_pattern, this.example ? made("p", {}, this.example) : null, this.patterns(), this.textRow("across"), this.textRow("down"), this.counted, this.picture),
      this.group(words.round_group_torque, made("p", {}, words.round_torque_says), this.quantityRow("torque", this.figures.ordering), this.textRow("page", words.round_page)),
      this.group(words.round_group_rounds, made("p", {}, words.round_rounds_says), this.shares, this.shareButtons()),
      this.group(words.round_group_adapter, made("p", {}, words.round_adapter_says), this.adapterTick(), this.adapter),
      this.group(words.round_group_scale, made("p", {}, words.round_scale_says), this.quantityRow("top", this.figures.ranging), this.quantityRow("bottom", this.figures.ranging)),
      this.group(words.round_group_name, this.textRow("label", words.round_label)),
    ];
  }

  /** @param {string} legend @param {...(Node | null | undefined)} inside */
  group(legend, ...inside) {
    return made("fieldset", { class: "round-group" }, made("legend", {}, legend), ...inside);
  }

  patterns() {
    const choices = this.figures.patterns().map(({ id, label }) => {
      const input = made("input", { type: "radio", name: "pattern", value: id });
      input.checked = this.typed.pattern === id;
      return made("label", { class: "round-choice" }, input, made("span", {}, label));
    });
    const fault = made("p", { class: "fault", id: "pattern-fault" });
    const element = made("div", { class: "round-choices" }, ...choices, made("p", { class: "small" }, this.words.round_own_count));
    const first = /** @type {HTMLInputElement} */ (element.querySelector("input"));
    first.id = "round-pattern";
    this.fields.set("pattern", { input: first, fault, echo: made("p"), element });
    element.append(fault);
    return element;
  }

  /** @param {string} name @param {string} [label]  else the Figure's @returns {HTMLElement} */
  textRow(name, label = this.text.labels[name].label) {
    return this.row(name, label, this.text.labels[name]?.note ?? "", this.input(name));
  }

  /** @param {string} name @param {import("../lib/present.js").Presenter} presenter  of the Figure whose input it is */
  quantityRow(name, presenter) {
    const { label, note } = presenter.text.labels[name];
    const { kind } = /** @type {import("../lib/calculator.js").Take} */ (presenter.figure.takes.find((take) => take.name === name));
    const symbols = presenter.kinds[kind].units.map((/** @type {string} */ id) => presenter.units[id].symbol);
    const unit = made("select", { name: `${name}.unit`, "aria-label": fill(this.words.round_unit_of, { label }) }, made("option", { value: "" }, this.words.round_unit_none));
    for (const symbol of symbols) unit.append(made("option", { value: symbol }, symbol));
    unit.value = this.typed[`${name}.unit`];
    if (unit.selectedIndex < 0) unit.value = "";
    return this.row(name, label, note, this.input(name), unit);
  }

  /** @param {string} name @param {string} label @param {string} note @param {HTMLInputElement} input @param {HTMLElement} [beside] @returns {HTMLElement} */
  row(name, label, note, input, beside) {
    const id = `round-${name}`;
    const [fault, echo, hint] = [made("p", { class: "fault", id: `${id}-fault` }), made("p", { class: "round-echo", id: `${id}-echo` }), made("span", { class: "round-note", id: `${id}-note` }, note)];
    input.id = id;
    input.setAttribute("aria-describedby", `${id}-fault ${id}-echo ${id}-note`);
    const element = made("div", { class: "round-row" }, made("label", { for: id }, label), note ? hint : null, made("div", { class: "round-field" }, input, beside), echo, fault);
    this.fields.set(name, { input, fault, echo, element });
    return element;
  }

  /** @param {string} name */
  input(name) {
    const input = made("input", { type: "text", name, maxlength: LONGEST, autocapitalize: "off", spellcheck: "false" });
    input.value = this.typed[name] ?? "";
    return input;
  }

  adapterTick() {
    const input = made("input", { type: "checkbox", name: "adapter", value: "1" });
    input.checked = this.typed.adapter === "1";
    return made("label", { class: "round-choice" }, input, made("span", {}, this.words.round_adapter_used));
  }

  shareButtons() {
    const change = (/** @type {(texts: string[]) => string[]} */ how) => {
      this.typed.shares = joinedShares(how(shareTexts(this.typed)));
      this.paint();
      this.soon();
    };
    this.more = button(this.words.round_more, () => change((texts) => [...texts.slice(0, -1), texts.at(-2) ?? "", texts.at(-1) ?? ""]));
    this.fewer = button(this.words.round_fewer, () => change((texts) => [...texts.slice(0, -2), texts.at(-1) ?? ""]));
    return made("div", { class: "round-pair" }, this.more, this.fewer);
  }

  // -- typed -> page ---------------------------------------------------------------------------------------------------------------

  /** @param {HTMLInputElement} field  has changed */
  take(field) {
    const { name, value, type, checked } = field;
    if (name.startsWith("share-")) this.typed.shares = joinedShares(shareTexts(this.typed).map((text, n) => (name === `share-${n}` ? value : text)));
    else this.typed[name] = type === "checkbox" ? (checked ? value : "") : value;
    this.paint();
    this.soon();
  }

  paint() {
    const { typed, words } = this;
    /** @type {HTMLElement} */ (this.fields.get("down")?.element).hidden = typed.pattern === "circle";
    /** @type {HTMLElement} */ (this.adapter).hidden = !typed.adapter;
    this.paintShares();
    this.paintPicture();
    this.paintEchoes();
    const found = [...wrongs(typed, this.figures, words), ...scaleWrongs(typed, this.figures, words)];
    for (const [name, { input, fault }] of this.fields) {
      const wrong = this.isJudged ? found.find((one) => one.name === name) : undefined;
      write(fault, wrong?.text ?? "");
      if (wrong) input.setAttribute("aria-invalid", "true");
      else input.removeAttribute("aria-invalid");
    }
    if (!found.length) /** @type {HTMLElement} */ (this.summary).hidden = true;
    // What was warned of is not so any more.
    if (this.warned && (found.length || scaleWarnings(typed, this.figures, words).join(" ") !== this.warned)) this.warned = "";
    /** @type {HTMLElement} */ (this.warnings).hidden = !this.warned;
    write(/** @type {HTMLElement} */ (this.go), this.warned ? words.round_begin_anyway : words.round_begin);
    return found;
  }

  paintShares() {
    const texts = shareTexts(this.typed);
    const box = /** @type {HTMLElement} */ (this.shares);
    while (box.children.length > texts.length) box.lastElementChild?.remove();
    for (let n = box.children.length; n < texts.length; n += 1) {
      const input = this.input(`share-${n}`);
      box.append(this.row(`share-${n}`, fill(this.words.round_nth, { round: String(n + 1) }), "", input, made("span", { "aria-hidden": "true" }, "%")));
      input.setAttribute("aria-label", fill(this.words.round_share_label, { round: String(n + 1) }));
    }
    for (const name of this.fields.keys()) if (name.startsWith("share-") && Number(name.slice(6)) >= texts.length) this.fields.delete(name);
    texts.forEach((text, n) => {
      const { input, echo } = /** @type {Field} */ (this.fields.get(`share-${n}`));
      if (input.value !== text) input.value = text;
      const { share } = this.figures.share(text);
      const torque = this.isUnitGiven() && share > 0 ? this.figures.torque(quantity(this.typed, "torque"), share) : null;
      write(echo, torque ? `= ${torque.number} ${torque.unit}` : "");
    });
    /** @type {HTMLElement} */ (this.more).hidden = texts.length >= MOST_ROUNDS;
    /** @type {HTMLElement} */ (this.fewer).hidden = texts.length <= 1;
  }

  paintPicture() {
    const { pattern, across, down } = this.typed;
    const plan = pattern ? this.figures.plan({ pattern, across, down }) : { order: [], places: new Map(), sentence: "" };
    const counted = /** @type {HTMLElement} */ (this.counted);
    write(counted, plan.order.length ? fill(this.words.round_counted, { count: String(plan.order.length), numbered: this.words[`round_numbered_${pattern}`] }) : "");
    const says = fill(this.words.round_picture_numbered, { count: String(plan.order.length) });
    this.picture?.replaceChildren(...(plan.order.length ? [roundPicture(plan, { next: plan.order[0], done: new Set(), says })] : []));
  }

  /** Each quantity in all its other units. */
  paintEchoes() {
    const { figures, typed } = this;
    const torque = this.isUnitGiven() ? figures.torque(quantity(typed, "torque")) : null;
    write(/** @type {Field} */ (this.fields.get("torque")).echo, torque ? listed(torque.others) : "");
    const adapter = adapterOf(typed);
    const view = adapter && figures.adapterView(adapter, quantity(typed, "torque"));
    const scale = figures.rangeView(figures.anyTorque(), { top: quantity(typed, "top"), bottom: quantity(typed, "bottom") });
    for (const name of ["top", "bottom"]) {
      const row = scale.rows.find((/** @type {import("../lib/present.js").View} */ one) => one.name === name);
      write(/** @type {Field} */ (this.fields.get(name)).echo, typed[name].trim() && typed[`${name}.unit`] ? listed(row.echo) : "");
    }
    for (const name of ["length", "offset", "angle"]) {
      const row = view?.rows.find((/** @type {import("../lib/present.js").View} */ one) => one.name === name);
      write(/** @type {Field} */ (this.fields.get(name)).echo, row && typed[`${name}.unit`] ? listed(row.echo) : "");
    }
  }

  isUnitGiven() {
    return Boolean(this.typed["torque.unit"]) || /[^\d\s.,]/.test(this.typed.torque);
  }

  // -- page -> address, phone --------------------------------------------------------------------------------------------------------

  soon() {
    clearTimeout(this.pause);
    this.pause = window.setTimeout(() => this.note(), QUIET_MS);
  }

  /** The address holds what is typed, so that a page that the phone has thrown away comes back as it was. */
  note() {
    clearTimeout(this.pause);
    const filled = FIELDS.flatMap((name) => (this.typed[name] ? [[name, this.typed[name]]] : []));
    try {
      history.replaceState(history.state, "", `${location.pathname}?${new URLSearchParams([["job", this.job.id], ...filled])}`);
    } catch {
      // Some browsers limit how often: the page works on without it.
    }
  }

  async send() {
    if (this.isSending) return;
    this.isJudged = true;
    this.note();
    const found = this.paint();
    this.paintSummary(found);
    if (found.length || this.warns()) return;
    this.isSending = true;
    const [id, at, round] = [newId(), Date.now(), roundOf(this.typed, this.figures, this.words)];
    const { did } = await doAct(this.job.id, (job) => addRound(job, id, round, at), { at });
    this.isSending = false;
    if (did) this.whenMade(id);
    else write(/** @type {HTMLElement} */ (this.told), this.words.round_not_made);
  }

  /** Whether there is something to be read before the round begins. */
  warns() {
    const sentences = scaleWarnings(this.typed, this.figures, this.words);
    const text = sentences.join(" ");
    if (text === this.warned) return Date.now() - this.warnedAt < READING_MS && text !== "";
    [this.warned, this.warnedAt] = [text, Date.now()];
    const box = /** @type {HTMLElement} */ (this.warnings);
    box.replaceChildren(made("p", {}, this.words.round_scale_warns), ...sentences.map((sentence) => made("p", {}, sentence)), made("p", {}, this.words.round_scale_maker));
    this.paint();
    box.focus();
    return true;
  }

  /** @param {import("../lib/round-typed.js").Wrong[]} found */
  paintSummary(found) {
    const summary = /** @type {HTMLElement} */ (this.summary);
    const items = found.map(({ name, label, text }) => {
      const way = made("a", { href: `#round-${name}` }, label ? fill(this.words.problem_line, { label, problem: text }) : text);
      way.addEventListener("click", (event) => {
        event.preventDefault();
        this.fields.get(name)?.input.focus();
      });
      return made("li", {}, way);
    });
    summary.replaceChildren(made("p", {}, this.words.round_wrongs), made("ul", {}, ...items));
    summary.hidden = !found.length;
    if (found.length) summary.focus();
  }
}

/** In one line that breaks between them only. @param {import("../lib/display.js").Shown[]} all */
export function listed(all) {
  return all.map(({ number, unit }) => `${number}\u00a0${unit}`).join(" · ");
}
