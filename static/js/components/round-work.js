/**
 * A torque round at work: which fastener is next, at what torque, and one large control that marks it. Each mark is on the phone
 * before the next fastener shows; whoever comes back goes on at the same one.
 */

import { markBolt, repeatRounds } from "../lib/round-deeds.js";
import { remove, restore } from "../lib/job-deeds.js";
import { pastActions } from "../lib/job-history.js";
import { isMarked, marksOf, nextBolt, orderIn } from "../lib/job-rounds.js";
import { withUnit } from "../lib/display.js";
import { doAct, undo } from "../lib/job-store.js";
import { typedOf } from "../lib/round-typed.js";
import { whenInWords } from "../lib/when.js";
import { nameOf } from "./card-choice.js";
import { fill, write } from "./figure-paint.js";
import { made, button, link } from "./made.js";
import { roundPicture } from "./round-picture.js";
import { listed } from "./round-setup.js";
import { ScreenOn } from "./screen-on.js";

/** @typedef {import("./torque-round.js").Tools} Tools */
/** @typedef {import("../lib/job.js").Job} Job */
/** @typedef {import("../lib/job-rounds.js").Turn} Turn */
/** @typedef {import("../lib/round-figures.js").Torque} Torque */

/** Nobody tightens a fastener in less: a glove that taps twice means one mark. */
const BREATH_MS = 600;
const TAKES_SPACE = "button, a, input, select, textarea, summary, [contenteditable]";

export class RoundWork {
  /** @param {Tools} tools @param {Job} job @param {string} id  of the round @param {(query: URLSearchParams) => void} goTo */
  constructor(tools, job, id, goTo) {
    this.tools = tools;
    this.words = tools.words;
    this.figures = tools.figures;
    this.id = id;
    this.goTo = goTo;
    this.job = job;
    this.plan = this.figures.plan(this.round());
    this.isBusy = false;
    this.screen = new ScreenOn(this.words);
    this.element = this.build();
  }

  round() {
    return this.job.rounds[this.id];
  }

  /** @returns {Turn | null} */
  turn() {
    return this.plan.order.length ? nextBolt(this.round(), this.plan.order) : null;
  }

  begin() {
    document.addEventListener("keydown", this.onKey);
    this.paint();
    const turn = this.turn();
    const last = lastMark(this.round());
    // Whoever comes back is told where the work stands.
    if (turn && last) this.tell(fill(this.words.round_resumed, { at: this.when(last) }), false);
    if (turn && last) this.say(this.placeOf(turn));
  }

  // -- made once --------------------------------------------------------------------------------------------------------------------

  build() {
    const { words } = this;
    this.which = made("h2", { class: "round-which", tabindex: "-1" });
    this.change = made("p", { class: "round-change" });
    this.torque = made("div", { class: "round-torque" });
    this.setting = made("div", { class: "round-setting" });
    this.picture = made("div", { class: "round-shown" });
    this.next = made("span", { class: "round-bolt" });
    this.mark = button("", () => void this.markNext(), { class: "round-mark" });
    this.dock = made("div", { class: "round-dock" }, this.next, this.mark);
    this.told = made("p", {});
    this.back = button("", () => void this.takeBack());
    this.aloud = made("p", { class: "out-of-sight", role: "status", "data-part": "aloud" });
    this.hint = made("p", { class: "round-hint" });
    this.again = button("", () => void this.repeat());
    this.record = made("div", {});
    this.fault = made("p", { class: "fault", role: "status" });
    const rest = made(
      "div", { class: "round-rest" }, this.hint, this.again, this.screen.element, made("details", { class: "fold" }, made("summary", {}, words.round_record), this.record),
      made("div", { class: "round-ways" }, ...this.ways()),
    );
    const slab = (this.slab = made("div", { class: "round-slab" }, made("p", { class: "round-name" }, this.round().label), this.which, this.change, this.torque, this.setting));
    return made("section", { class: "round-work" }, this.fault, slab, this.picture, made("div", { class: "round-told" }, this.told, this.back), rest, this.dock, this.aloud);
  }

  ways() {
    const { words, tools } = this;
    const { pattern, across, down, torque } = this.round();
    const order = link(`${tools.base}figures/tightening-order/?${new URLSearchParams({ pattern, across: String(across), down: String(down), torque })}`, words.round_see_figure, { class: "call" });
    const anew = button(words.round_anew, () => this.goTo(new URLSearchParams([["job", this.job.id], ...Object.entries(typedOf(this.round(), this.figures))])));
    this.off = button(words.round_remove, () => void this.remove());
    const card = link(`${tools.base}job/card/?job=${encodeURIComponent(this.job.id)}`, fill(words.round_to_card, { name: nameOf(this.job, words) }), { class: "call" });
    return [card, order, anew, this.off];
  }

  // -- card -> page -----------------------------------------------------------------------------------------------------------------

  /** @param {Job} job  as it is now, here or by another window */
  follow(job) {
    if (!this.element.isConnected) return;
    const round = Object.hasOwn(job.rounds, this.id) ? job.rounds[this.id] : null;
    if (!round) return;
    this.job = job;
    this.paint();
  }

  paint() {
    const turn = this.turn();
    const round = this.round();
    const isGone = round.gone > 0;
    write(this.need("fault"), this.plan.sentence ? fill(this.words.round_no_order, { sentence: this.plan.sentence }) : isGone ? this.words.round_removed : "");
    this.paintHead(turn);
    this.paintPicture(turn);
    const isOpen = Boolean(turn) && !isGone;
    this.need("dock").hidden = !isOpen;
    if (turn) write(this.need("next"), fill(this.words.round_fastener, { bolt: String(turn.bolt) }));
    if (turn) write(this.need("mark"), fill(this.words.round_mark, { bolt: String(turn.bolt) }));
    const last = this.lastAction();
    const back = this.need("back");
    back.hidden = !last || isGone;
    if (last) write(back, last.what === "round_mark" ? fill(this.words.round_take_back, { bolt: last.fields.bolt }) : this.words.round_take_back_repeat);
    this.paintHint(turn);
    this.paintRecord();
    write(this.need("off"), isGone ? this.words.round_bring_back : this.words.round_remove);
    this.screen.open(isOpen);
  }

  /** @param {Turn | null} turn */
  paintHead(turn) {
    const { words, figures } = this;
    const round = this.round();
    write(this.need("which"), turn ? this.placeWords(turn) : round.done ? fill(words.round_all_done, { at: this.when(round.done) }) : "");
    const share = turn ? turn.share : 1;
    const [torque, setting] = [figures.torque(round.torque, share), figures.setting(round, share)];
    const isNew = turn?.nth === 1;
    write(this.need("change"), !turn || !isNew ? "" : turn.isCheck ? words.round_change_check : turn.round ? words.round_change : words.round_first_hint);
    const at = round.page ? fill(words.round_from_page, { page: round.page }) : "";
    const label = setting ? words.round_at_nut : turn?.isCheck ? words.round_check_at : fill(words.round_share_of, { share: figures.percent(share) });
    this.need("torque").replaceChildren(...this.numberOf(torque ?? { number: round.torque, unit: "", others: [] }, label, at, setting ? "" : "round-main"));
    this.need("setting").replaceChildren(...(setting ? this.settingOf(setting) : []));
    // What the wrench is set to is what the hand needs first.
    this.element.classList.toggle("has-adapter", setting !== null);
  }

  /** @param {Torque} torque @param {string} label @param {string} note @param {string} name  class */
  numberOf({ number, unit, others }, label, note, name) {
    const main = made("p", { class: `round-number ${name}` }, made("span", { class: "round-label" }, label), " ", made("span", { class: "round-value" }, made("b", {}, number), " ", made("span", { class: "round-unit" }, unit)));
    return [main, made("p", { class: "round-others" }, listed(others)), note ? made("p", { class: "round-page" }, note) : null].filter((one) => one !== null);
  }

  /** @param {import("../lib/round-figures.js").Setting} setting */
  settingOf(setting) {
    if (setting.sentence) return [made("p", { class: "fault" }, setting.sentence)];
    return [...this.numberOf(setting, this.words.round_set_wrench, "", "round-main"), ...setting.warnings.map((text) => made("p", { class: "round-warning" }, text))];
  }

  /** @param {Turn | null} turn */
  paintPicture(turn) {
    const { words, plan } = this;
    if (!plan.order.length) return;
    const n = turn ? turn.round : this.round().shares.length;
    const done = new Set(plan.order.filter((bolt) => isMarked(this.round(), n, bolt)));
    const later = orderIn(this.round(), n, plan.order).length - done.size - (turn ? 1 : 0);
    const fields = { bolt: String(turn?.bolt ?? ""), done: String(done.size), later: String(later) };
    const says = turn ? fill(words.round_picture, fields) : words.round_picture_done;
    this.need("picture").replaceChildren(roundPicture(plan, { next: turn?.bolt ?? null, done, says }));
  }

  /** @param {Turn | null} turn */
  paintHint(turn) {
    const { words } = this;
    const isChecking = !turn || turn.isCheck;
    write(this.need("hint"), turn?.isCheck ? words.round_check_hint : turn ? fill(words.round_hint, { numbered: words[`round_numbered_${this.round().pattern}`] ?? "" }) : "");
    const again = this.need("again");
    again.hidden = !isChecking || !this.plan.order.length || this.round().gone > 0;
    write(again, words.round_repeat);
  }

  /** When each was done, round by round. */
  paintRecord() {
    const { words } = this;
    const round = this.round();
    const pieces = [...round.shares, 1].flatMap((share, n) => {
      const marks = marksOf(round, n);
      if (!marks.length) return [];
      const isCheck = n === round.shares.length;
      const torque = this.figures.torque(round.torque, share);
      const fields = { round: String(n + 1), torque: torque ? `${torque.number} ${torque.unit}` : round.torque, done: String(marks.length), of: String(this.plan.order.length) };
      const items = marks.map(({ bolt, at }) => made("li", {}, fill(words.round_marked_at, { bolt: String(bolt), at: this.when(at) })));
      return [made("h3", {}, fill(isCheck ? words.round_record_check : words.round_record_round, fields)), made("ol", { class: "round-marks" }, ...items)];
    });
    this.need("record").replaceChildren(...(pieces.length ? pieces : [made("p", {}, words.round_record_empty)]));
  }

  // -- page -> card -----------------------------------------------------------------------------------------------------------------

  /** Space marks, wherever the keyboard stands, but not a key that is held down, and not in place of a control's own space. */
  onKey = (/** @type {KeyboardEvent} */ event) => {
    if (!this.element.isConnected) {
      document.removeEventListener("keydown", this.onKey);
      return;
    }
    const target = /** @type {Element | null} */ (event.target);
    const isMark = target === this.mark;
    if (event.key === "Enter" && isMark && event.repeat) event.preventDefault();
    if (event.key !== " " || event.ctrlKey || event.altKey || event.metaKey || (!isMark && target?.closest(TAKES_SPACE))) return;
    if (isMark && !event.repeat) return; // the button's own
    event.preventDefault();
    if (!event.repeat) void this.markNext();
  };

  async markNext() {
    const turn = this.turn();
    if (!turn || this.isBusy || this.round().gone || this.need("mark").dataset.rests !== undefined) return;
    this.isBusy = true;
    const at = Date.now();
    const done = await doAct(this.job.id, (job) => markBolt(job, this.id, turn.round, turn.bolt, at, turn.of), { at });
    this.isBusy = false;
    this.rest();
    if (done.job) this.follow(done.job);
    if (!done.did) return;
    this.tell(fill(this.words.round_marked_at, { bolt: String(turn.bolt), at: this.when(at) }), true);
    this.sayNext(turn);
    this.bringInSight();
  }

  /** The warning stands first; once marks are made, the picture and the way back must be seen above the control, as far as the screen has room. */
  bringInSight() {
    const [told, dock] = [this.need("back").getBoundingClientRect(), this.need("dock").getBoundingClientRect()];
    const below = told.bottom - dock.top;
    const bar = document.querySelector(".bar")?.getBoundingClientRect().bottom ?? 0;
    const room = (this.slab?.getBoundingClientRect().top ?? 0) - bar;
    if (dock.height && below > 0 && room > 0) scrollBy(0, Math.min(below, room));
  }

  /** A tap that follows too soon is not meant for the next fastener. */
  rest() {
    const { dataset } = this.need("mark");
    dataset.rests = "";
    setTimeout(() => delete dataset.rests, BREATH_MS);
  }

  /** Takes the last mark back, or the marks that were given up for a round made again. */
  async takeBack() {
    const last = this.lastAction();
    if (!last || this.isBusy) return;
    this.isBusy = true;
    const { job } = await undo(this.job.id, last.id);
    this.isBusy = false;
    if (job) this.follow(job);
    this.tell(last.what === "round_mark" ? fill(this.words.round_taken_back, { bolt: last.fields.bolt }) : this.words.round_taken_back_repeat, true);
    const turn = this.turn();
    if (turn) this.say(`${this.need("told").textContent} ${this.placeOf(turn)}`);
    if (!this.lastAction()) this.need("mark").focus({ preventScroll: true });
  }

  /** One moved in the check round: the last round is made again. */
  async repeat() {
    const { shares } = this.round();
    const done = await doAct(this.job.id, (job) => repeatRounds(job, this.id, shares.length - 1));
    if (done.job) this.follow(done.job);
    const turn = this.turn();
    if (!done.did || !turn) return;
    this.tell(this.words.round_repeated, true);
    this.say(`${this.words.round_repeated} ${this.placeOf(turn)}`);
    this.need("mark").focus({ preventScroll: true });
  }

  async remove() {
    const at = Date.now();
    const isGone = this.round().gone > 0;
    const done = await doAct(this.job.id, (job) => (isGone ? restore(job, "rounds", this.id) : remove(job, "rounds", this.id, at)), { at });
    if (done.job) this.follow(done.job);
  }

  /** The last thing done to this round's marks that has not been taken back. */
  lastAction() {
    return pastActions(this.job).find(({ what, undone, sets }) => !undone && ["round_mark", "round_repeat"].includes(what) && sets[0]?.path[1] === this.id) ?? null;
  }

  // -- words ------------------------------------------------------------------------------------------------------------------------

  /** @param {Turn} turn  that has just been marked: the next one is said, once */
  sayNext(turn) {
    const next = this.turn();
    if (!next) return this.say(this.need("which").textContent ?? "");
    const setting = this.figures.setting(this.round(), next.share);
    const torque = (setting?.number ? setting : null) ?? this.figures.torque(this.round().torque, next.share);
    const isNew = next.round !== turn.round && torque;
    const set = isNew ? [fill(this.words.round_say_set, { torque: withUnit(torque.number, torque.unit) })] : [];
    return this.say([this.placeOf(next), ...set].join(" "));
  }

  /** 'Round 2 of 3, fastener 7, 4 of 10.' @param {Turn} turn */
  placeOf({ round, bolt, isCheck, nth, of }) {
    const fields = { round: String(round + 1), rounds: String(this.round().shares.length), bolt: String(bolt), nth: String(nth), of: String(of) };
    return fill(isCheck ? this.words.round_say_check : this.words.round_say, fields);
  }

  /** @param {Turn} turn */
  placeWords({ round, isCheck, nth, of }) {
    const fields = { round: String(round + 1), rounds: String(this.round().shares.length), nth: String(nth), of: String(of) };
    return fill(isCheck ? this.words.round_which_check : this.words.round_which, fields);
  }

  /** @param {string} sentence @param {boolean} isNew  it has just been done */
  tell(sentence, isNew) {
    write(this.need("told"), sentence);
    this.need("told").classList.toggle("is-new", isNew);
  }

  /** @param {string} sentence  for a screen reader */
  say(sentence) {
    write(this.need("aloud"), sentence);
  }

  /** @param {number} at */
  when(at) {
    return whenInWords(at, Date.now(), document.documentElement.lang);
  }

  /** @param {"which" | "change" | "torque" | "setting" | "picture" | "next" | "mark" | "dock" | "told" | "back" | "aloud" | "hint" | "again" | "record" | "fault" | "off"} name @returns {HTMLElement} */
  need(name) {
    return /** @type {HTMLElement} */ (this[name]);
  }
}

/** @param {import("../lib/job.js").Round} round  @returns {number} ms; 0: nothing marked */
function lastMark({ marks }) {
  return Math.max(0, ...Object.values(marks));
}
