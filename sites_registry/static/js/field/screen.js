// One test a screen: which one is shown stands in the address (#point-7, #here), so that back, forward and a reload keep it.

// A second touch of a gloved finger must not answer the test that has just come up under it; as the page comes, early.js
// sees to that.
const REST_MS = 500;

export function currentScreen() {
  const named = document.getElementById(location.hash.slice(1));
  return named?.closest(".points") ? named : document.querySelector(".points > .is-first");
}

function letRest(screen) {
  const buttons = [...screen.querySelectorAll(".dock button:not([hidden])")];
  for (const button of buttons) button.disabled = true;
  setTimeout(() => buttons.forEach((button) => (button.disabled = false)), REST_MS);
}

/** Many were recorded by one touch, and the list moves: the second touch must not land on what comes up under it. */
export function letListRest() {
  const { style } = document.querySelector("main");
  style.pointerEvents = "none";
  setTimeout(() => (style.pointerEvents = ""), REST_MS);
}

export function show(id) {
  if (location.hash === `#${id}`) return;
  location.hash = id;
  letRest(currentScreen()); // at once: the address tells of its change only later
}

/** Come up with another screen than the page's first; no way back leads to that one. */
export function beginWith(id) {
  location.replace(`#${id}`);
  letRest(currentScreen());
}

/** Keep the page as high as what is seen of it: some keyboards cover a page instead of making it smaller. */
function fitAboveTheKeyboard() {
  const height = () => document.body.style.setProperty("--seen-height", `${Math.round(visualViewport.height * visualViewport.scale)}px`);
  visualViewport.addEventListener("resize", height);
  height();
}

/** Say at the thumb when a caution does not end above it: a text that is cut between two lines looks whole. */
function sayWhetherACautionGoesOn(body) {
  const caution = body.querySelector(":scope > .point-caution");
  const goesOn = Boolean(caution) && caution.getBoundingClientRect().bottom > body.getBoundingClientRect().bottom + 1;
  body.parentElement.querySelector(".dock")?.toggleAttribute("data-read-on", goesOn);
}

function watchCautions() {
  const seen = new ResizeObserver((entries) => entries.forEach(({ target }) => sayWhetherACautionGoesOn(target)));
  for (const body of document.querySelectorAll(".point-body")) {
    seen.observe(body);
    body.addEventListener("scroll", () => sayWhetherACautionGoesOn(body), { passive: true });
  }
}

/** `onShow` is called with each screen that comes up. */
export function followTheAddress(onShow) {
  const shown = () => {
    const screen = currentScreen();
    letRest(screen);
    screen.querySelector(".point-body").scrollTop = 0;
    screen.focus({ preventScroll: true });
    onShow(screen);
  };
  addEventListener("hashchange", shown);
  watchCautions();
  if (window.visualViewport) fitAboveTheKeyboard();
  onShow(currentScreen());
}
