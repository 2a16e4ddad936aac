// Goes on with putting a hand-over together until all of it is there; without script, a button does. Then looks again
// until its file was made.

const LOOKS_EVERY_MS = 4_000;
const form = document.querySelector("form[data-goes-on]");
if (form) setTimeout(() => form.requestSubmit(), 300);
if (document.querySelector("[data-waits]")) setTimeout(() => location.reload(), LOOKS_EVERY_MS);
