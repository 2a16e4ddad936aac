// A stop-watch beside a reading in seconds, and a screen that stays on while a test is open.

const STEP_MS = 100;

/** Elapsed time by a clock that nobody sets. */
export function watchStrokes(form) {
  const button = form.querySelector("[data-stop-watch]");
  if (!button) return;
  const [word, shown] = button.children;
  let startedMs = null;
  let ticking = 0;
  const seconds = () => ((performance.now() - startedMs) / 1000).toFixed(1);

  function start() {
    startedMs = performance.now();
    word.textContent = "Stop";
    ticking = setInterval(() => (shown.textContent = `${seconds()} s`), STEP_MS);
  }

  function stop() {
    const reading = form.elements.reading;
    reading.value = seconds();
    clearInterval(ticking);
    startedMs = null;
    shown.textContent = "";
    word.textContent = "Time it again";
    reading.dispatchEvent(new Event("input", { bubbles: true }));
  }

  button.addEventListener("click", () => (startedMs === null ? start() : stop()));
  button.hidden = false;
}

/** Ask the phone not to darken while this page is in sight; some refuse, and then it darkens as ever. */
export function stayAwake() {
  const ask = () => document.visibilityState === "visible" && navigator.wakeLock?.request("screen").catch(() => {});
  document.addEventListener("visibilitychange", ask);
  ask();
}
