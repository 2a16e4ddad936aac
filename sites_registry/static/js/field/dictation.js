// Words spoken instead of typed, where the browser writes them down. What it heard stands in the field, to be read before
// it is recorded; nothing is recorded by a word.

const Recognition = window.SpeechRecognition ?? window.webkitSpeechRecognition;

const REASONS = {
  network: "Dictation needs a network on this phone: type it.",
  "not-allowed": "This page may not use the microphone: allow it in the browser's settings of this site, or type it.",
  "service-not-allowed": "This browser writes nothing down here: type it.",
  "audio-capture": "This phone has no microphone that a page may use: type it.",
  "no-speech": "Nothing was heard.",
  "language-not-supported": "This phone does not write English down: type it.",
};

let underWay = null; // one at a time

function write(field, heard) {
  const text = [field.value.trimEnd(), heard.trim()].filter(Boolean).join(" ");
  field.value = field.maxLength > 0 ? text.slice(0, field.maxLength) : text;
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function listen(field, button, said) {
  const recognition = new Recognition();
  Object.assign(recognition, { lang: document.documentElement.lang, continuous: true });
  recognition.addEventListener("result", ({ results, resultIndex }) => {
    if (underWay !== recognition) return; // recorded meanwhile: the field is of another answer by now
    for (const result of [...results].slice(resultIndex)) if (result.isFinal) write(field, result[0].transcript);
  });
  recognition.addEventListener("error", ({ error }) => {
    if (error !== "aborted") said.textContent = REASONS[error] ?? `Dictation stopped (${error}): type it.`;
  });
  recognition.addEventListener("end", () => {
    if (underWay === recognition) underWay = null;
    button.textContent = "Dictate";
  });
  underWay?.stop();
  underWay = recognition;
  said.textContent = "Listening. Some browsers send speech to their maker to write it down: name nobody.";
  button.textContent = "Stop dictating";
  recognition.start();
}

function offer(field) {
  const button = Object.assign(document.createElement("button"), { type: "button", className: "text-action", textContent: "Dictate" });
  const [label] = field.labels;
  label.id ||= `label-of-${field.id}`;
  button.setAttribute("aria-describedby", label.id);
  const said = Object.assign(document.createElement("p"), { className: "soft small" });
  said.setAttribute("role", "status");
  let own = null;
  button.addEventListener("click", () => {
    if (own && underWay === own) return own.stop();
    listen(field, button, said);
    own = underWay;
  });
  field.form.addEventListener("reset", () => {
    said.textContent = "";
    if (!own || underWay !== own) return;
    underWay = null;
    own.abort();
  });
  field.after(button, said);
}

/** A button beneath each of these fields that writes down what is said; none where the browser cannot. */
export function offerDictation(fields) {
  if (Recognition) fields.forEach(offer);
}
