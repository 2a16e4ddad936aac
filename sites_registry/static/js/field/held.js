// On every page: where something waits on this phone, what says so and sends it is loaded; elsewhere nothing is.

const HINT = "register keeps something on this phone"; // set by database.js
const EARLIER = "answer of "; // how earlier versions named what they kept

function isSomethingKept() {
  try {
    return Object.keys(localStorage).some((key) => key === HINT || key.startsWith(EARLIER));
  } catch {
    return false;
  }
}

const load = () => isSomethingKept() && import("./held_lines.js");
addEventListener("storage", load);
addEventListener("pageshow", load);
load();
