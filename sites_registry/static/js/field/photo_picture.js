// The picture of a photograph on this phone: smaller, upright, without what the camera wrote into it; marks on it.

const LONGEST_SIDE = 1600;
const QUALITY = 0.8;
const [INK, EDGE] = ["#d4351c", "#ffffff"]; // as the register draws them (inspections/photos/pictures.py)

/** A JPEG of a file that the camera gave. Throws where the browser cannot read it. */
export async function smaller(file) {
  const bitmap = await createImageBitmap(file); // turned upright
  const scale = Math.min(1, LONGEST_SIDE / Math.max(bitmap.width, bitmap.height));
  const canvas = Object.assign(document.createElement("canvas"), { width: Math.round(bitmap.width * scale), height: Math.round(bitmap.height * scale) });
  const context = canvas.getContext("2d");
  context.imageSmoothingQuality = "high";
  context.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  bitmap.close();
  const blob = await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", QUALITY));
  if (!blob) throw new Error("The picture is too large for this phone.");
  return blob;
}

export async function digestOf(blob) {
  const digest = await crypto.subtle.digest("SHA-256", await blob.arrayBuffer());
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

const shapes = {
  circle(context, [fromX, fromY], [toX, toY]) {
    context.ellipse((fromX + toX) / 2, (fromY + toY) / 2, Math.abs(toX - fromX) / 2, Math.abs(toY - fromY) / 2, 0, 0, 2 * Math.PI);
  },
  arrow(context, [fromX, fromY], [toX, toY]) {
    const back = Math.atan2(fromY - toY, fromX - toX);
    const length = Math.max(Math.hypot(toX - fromX, toY - fromY) / 5, context.lineWidth * 4);
    context.moveTo(fromX, fromY);
    context.lineTo(toX, toY);
    for (const turn of [Math.PI / 7, -Math.PI / 7]) {
      context.moveTo(toX, toY);
      context.lineTo(toX + length * Math.cos(back + turn), toY + length * Math.sin(back + turn));
    }
  },
};

/** What is drawn on it with a finger; nothing of that touches the picture itself, so that each mark can be taken back. */
export class MarkedPicture {
  constructor(canvas, toolNow) {
    Object.assign(this, { canvas, toolNow, bitmap: null, marks: [], drawn: null });
    canvas.addEventListener("pointerdown", (event) => this.#begin(event));
    canvas.addEventListener("pointermove", (event) => this.drawn && this.#go(event));
    canvas.addEventListener("pointerup", () => this.#end());
    canvas.addEventListener("pointercancel", () => this.#end());
  }

  async show(blob, marks) {
    this.bitmap?.close();
    this.bitmap = await createImageBitmap(blob);
    this.marks = [...marks];
    Object.assign(this.canvas, { width: this.bitmap.width, height: this.bitmap.height });
    this.#paint();
  }

  undo() {
    this.marks.pop();
    this.#paint();
  }

  /** Where a finger is, in parts of width and height. */
  #at({ clientX, clientY }) {
    const { left, top, width, height } = this.canvas.getBoundingClientRect();
    const part = (number) => Math.round(Math.min(1, Math.max(0, number)) * 1e4) / 1e4;
    return [part((clientX - left) / width), part((clientY - top) / height)];
  }

  #begin(event) {
    this.canvas.setPointerCapture(event.pointerId);
    const at = this.#at(event);
    this.drawn = { kind: this.toolNow(), from: at, to: at };
  }

  #go(event) {
    this.drawn.to = this.#at(event);
    this.#paint();
  }

  #end() {
    const { drawn } = this;
    this.drawn = null;
    const isTouch = drawn && Math.hypot(drawn.to[0] - drawn.from[0], drawn.to[1] - drawn.from[1]) < 0.02;
    if (drawn && !isTouch) this.marks.push(drawn);
    this.#paint();
  }

  #paint() {
    const { width, height } = this.canvas;
    const context = this.canvas.getContext("2d");
    context.drawImage(this.bitmap, 0, 0);
    const line = Math.max(3, Math.round(Math.max(width, height) / 130));
    for (const [colour, lineWidth] of [[EDGE, line + 4], [INK, line]])
      for (const { kind, from, to } of [...this.marks, ...(this.drawn ? [this.drawn] : [])]) {
        Object.assign(context, { strokeStyle: colour, lineWidth, lineCap: "round" });
        context.beginPath();
        shapes[kind](context, [from[0] * width, from[1] * height], [to[0] * width, to[1] * height]);
        context.stroke();
      }
  }
}
