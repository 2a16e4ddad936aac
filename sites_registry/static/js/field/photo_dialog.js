// The page over a page in which a photograph is looked at, written and drawn on before it goes out.

import { MarkedPicture } from "./photo_picture.js";

export class PhotoDialog {
  /** `remembers`: where it is kept whether this person lets places be kept. */
  constructor(dialog, remembers) {
    Object.assign(this, { dialog, remembers, tool: "arrow", settle: null });
    this.picture = new MarkedPicture(dialog.querySelector("canvas"), () => this.tool);
    this.error = dialog.querySelector("[data-photo-error]");
    this.caption = dialog.querySelector("[name=caption]");
    this.stages = dialog.querySelector("[data-photo-stages]");
    this.place = dialog.querySelector("[name=place]");
    this.place.checked = localStorage.getItem(remembers) === "yes";
    this.place.addEventListener("change", () => this.#rememberPlace());
    dialog.addEventListener("click", ({ target }) => this.#touched(target.closest("button")));
    dialog.addEventListener("cancel", (event) => {
      event.preventDefault(); // a phone's "back" leaves it unfinished, and kept
      this.#answer("later");
    });
    dialog.querySelector("form").addEventListener("submit", (event) => {
      event.preventDefault(); // "done" on the keyboard puts it away
      document.activeElement.blur();
    });
  }

  /** Show a photograph; resolves with {act: "keep" | "again" | "discard" | "later", caption, stage, marks, place}. */
  async ask(row, hasStages) {
    const { told } = row;
    this.dialog.querySelector("[data-photo-of]").textContent = row.label;
    this.caption.value = told.caption ?? "";
    this.stages.hidden = !hasStages;
    for (const radio of this.stages.querySelectorAll("input")) radio.checked = radio.value === (told.stage ?? "");
    this.say("");
    await this.picture.show(row.blob, told.marks ?? []);
    if (!this.dialog.open) this.dialog.showModal();
    this.caption.focus({ preventScroll: true });
    return new Promise((resolve) => {
      this.settle = resolve;
    });
  }

  say(words) {
    this.error.textContent = words;
    this.error.hidden = !words;
  }

  close() {
    this.dialog.close();
  }

  #rememberPlace() {
    if (this.place.checked) localStorage.setItem(this.remembers, "yes");
    else localStorage.removeItem(this.remembers);
  }

  #touched(button) {
    if (!button) return;
    const { tool, act } = button.dataset;
    if (tool) this.#choose(tool);
    else if ("undo" in button.dataset) this.picture.undo();
    else if (act) this.#answer(act);
  }

  #choose(tool) {
    this.tool = tool;
    for (const button of this.dialog.querySelectorAll("[data-tool]")) button.setAttribute("aria-pressed", String(button.dataset.tool === tool));
  }

  #answer(act) {
    const stage = this.stages.hidden ? "" : (this.stages.querySelector("input:checked")?.value ?? "");
    const { settle } = this;
    this.settle = null;
    settle?.({ act, caption: this.caption.value.trim(), stage, marks: [...this.picture.marks], mayKeepPlace: this.place.checked });
  }
}
