/** Photos of a step: taken or chosen, made smaller on the phone, shown small and on a tap as wide as the page. */

import { describePhoto, remove } from "../lib/job-deeds.js";
import { thingsAt } from "../lib/job-list.js";
import { addPhoto, photo, prepare } from "../lib/photos.js";
import { labelled, renewEach, say } from "./job-kit.js";
import { when } from "./job-words.js";
import { button, made } from "./made.js";

export class Photos {
  /** @param {import("./job-card.js").Card} card @param {string} step  '' for none */
  constructor(card, step) {
    this.card = card;
    this.step = step;
    const { words } = card;
    /** @type {Map<string, string>} photo -> address of its picture in this window */
    this.addresses = new Map();
    this.list = made("ul", { class: "card-photos" });
    this.told = made("p", { role: "status", class: "card-photo-told" });
    const [camera, choose] = [this.chooser(true), this.chooser(false)];
    const acts = made("div", { class: "card-acts" }, button(words.card_photo_take, () => camera.click()), button(words.card_photo_choose, () => choose.click()));
    this.element = made("div", { class: "card-photo" }, this.list, acts, this.told, camera, choose);
  }

  /** The browser's own way to a picture; a button of ours opens it. @param {boolean} isCamera */
  chooser(isCamera) {
    const field = made("input", { type: "file", accept: "image/*", hidden: true, "aria-label": this.card.words[isCamera ? "card_photo_take" : "card_photo_choose"] });
    if (isCamera) field.setAttribute("capture", "environment");
    field.addEventListener("change", async () => {
      for (const file of [...(field.files ?? [])]) await this.add(file);
      field.value = "";
    });
    return field;
  }

  /** @param {File} file */
  async add(file) {
    const { card, step } = this;
    const { words } = card;
    this.told.textContent = words.card_photo_working;
    const ready = await prepare(file);
    if ("problem" in ready) {
      this.told.textContent = say(words, ready.problem.key, ready.problem.fields);
      return;
    }
    const done = await addPhoto(card.id, ready.picture, { step });
    this.told.textContent = done.did ? words.card_photo_added : done.why === "full" ? words.card_photo_full : words.card_photo_unkept;
    card.take(done.job);
  }

  paint() {
    const photos = thingsAt(this.card.job, "photos", this.step);
    renewEach(this.list, photos, (one) => this.item(one), /** @type {HTMLElement} */ (this.element.querySelector("button")));
  }

  /** @param {{id: string} & import("../lib/job.js").Photo} one */
  item({ id, words: said, at }) {
    const { card } = this;
    const { words } = card;
    const alt = said || say(words, "card_photo_of", { at: when(at) });
    const image = made("img", { alt, class: "card-picture" });
    const open = button("", () => {
      const isLarge = open.classList.toggle("is-large");
      open.setAttribute("aria-expanded", String(isLarge));
    }, { class: "card-picture-open", "aria-expanded": "false", "aria-label": say(words, "card_photo_open", { photo: alt }), "data-key": `photo ${id}` });
    open.append(image);
    void this.address(id).then((address) => (address ? (image.src = address) : open.replaceWith(made("p", {}, words.card_photo_gone))));
    const field = made("input", { type: "text", value: said, maxlength: 2000, autocomplete: "off", "data-key": `photo words ${id}` });
    field.addEventListener("change", () => void card.act((job) => describePhoto(job, id, field.value.trim())));
    const off = button(words.card_photo_remove, () => card.act((job) => remove(job, "photos", id, Date.now())), { class: "card-off" });
    return [open, labelled(words.card_photo_words, field), off];
  }

  /** @param {string} id @returns {Promise<string>} '' where the picture is not on the phone any more */
  async address(id) {
    const known = this.addresses.get(id);
    if (known) return known;
    const found = await photo(id);
    const address = found ? URL.createObjectURL(found.blob) : "";
    this.addresses.set(id, address);
    return address;
  }

  /** The pictures leave the memory with the step. */
  end() {
    this.addresses.forEach((address) => address && URL.revokeObjectURL(address));
    this.addresses.clear();
  }
}
