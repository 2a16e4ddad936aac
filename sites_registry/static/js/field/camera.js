// Reads codes with the phone's camera, on the phone: QR, Data Matrix and Code 128. No picture leaves the page.

/* global ZXingWASM */

const FORMATS = ["QRCode", "DataMatrix", "Code128"];
const LONGEST_SIDE = 800; // a label held before the phone is read at that; larger pictures only take longer
const BETWEEN_MS = 60;

const REASONS = {
  NotAllowedError: "This page may not use the camera: allow it in the browser's settings of this site, or type what the label says.",
  NotFoundError: "This phone has no camera that a page may use: type what the label says.",
  NotReadableError: "Another program uses the camera: close it there, or type what the label says.",
};

class CameraError extends Error {}

export class Camera {
  constructor(video, readerUrl) {
    Object.assign(this, { video, stream: null });
    this.canvas = document.createElement("canvas");
    ZXingWASM.prepareZXingModule({ overrides: { locateFile: (name, folder) => (name.endsWith(".wasm") ? readerUrl : folder + name) } });
  }

  static get isThere() {
    return Boolean(navigator.mediaDevices?.getUserMedia) && typeof WebAssembly === "object";
  }

  /** Look until a code is read, or `stop`; resolves with its text, or null. Throws CameraError. */
  async read() {
    this.stop();
    const stream = await this.#open();
    this.stream = stream;
    this.video.srcObject = stream;
    await this.video.play();
    while (this.stream === stream) {
      const text = await this.#look();
      if (text && this.stream === stream) {
        this.stop();
        navigator.vibrate?.(40);
        return text;
      }
      await new Promise((resolve) => setTimeout(resolve, BETWEEN_MS));
    }
    return null;
  }

  async #open() {
    try {
      return await navigator.mediaDevices.getUserMedia({ video: { facingMode: { ideal: "environment" }, width: { ideal: 1280 } } });
    } catch (error) {
      throw new CameraError(REASONS[error.name] ?? `The camera did not start (${error.name}): type what the label says.`);
    }
  }

  async #look() {
    const { videoWidth: width, videoHeight: height } = this.video;
    if (!width) return null;
    const scale = Math.min(1, LONGEST_SIDE / Math.max(width, height));
    Object.assign(this.canvas, { width: Math.round(width * scale), height: Math.round(height * scale) });
    const context = this.canvas.getContext("2d", { willReadFrequently: true });
    context.drawImage(this.video, 0, 0, this.canvas.width, this.canvas.height);
    const picture = context.getImageData(0, 0, this.canvas.width, this.canvas.height);
    const [hit] = await ZXingWASM.readBarcodes(picture, { formats: FORMATS, maxNumberOfSymbols: 1 });
    return hit?.isValid ? hit.text : null;
  }

  get #track() {
    return this.stream?.getVideoTracks()[0];
  }

  get hasLight() {
    return Boolean(this.#track?.getCapabilities?.().torch);
  }

  light(isOn) {
    return this.#track?.applyConstraints({ advanced: [{ torch: isOn }] });
  }

  stop() {
    for (const track of this.stream?.getTracks() ?? []) track.stop();
    this.stream = null;
    this.video.srcObject = null;
  }
}
