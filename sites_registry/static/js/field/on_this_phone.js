// What a person has taken along, and "Take my week along": on their home, and in place of a page that is not here.

import { momentInWords } from "../days.js";
import { canTakeAlong, letGo, takeAlong, takenBy } from "./taken_along.js";

const section = document.querySelector("[data-on-this-phone]");
const list = section.querySelector("ul") ?? section.appendChild(document.createElement("ul"));
list.className = "plain-list";
const line = section.querySelector("[data-line]");

/** Who is logged in; without a network, whose pages the worker answers with. */
async function person() {
  const here = Number(document.body.dataset.person);
  if (here) return here;
  const known = await caches.match("/who", { cacheName: "who is logged in" });
  return Number((await known?.text()) || 0);
}

function item(row) {
  const link = Object.assign(document.createElement("a"), { href: row.href, textContent: row.name });
  const words = row.isWhole ? ` as of ${momentInWords(row.madeAt)}, ${(row.bytes / 1e6).toFixed(1)} MB ` : " not whole ";
  const button = Object.assign(document.createElement("button"), { type: "button", className: "button small", textContent: "Let go" });
  button.setAttribute("aria-label", `Let ${row.name} go from this phone`);
  button.addEventListener("click", async () => {
    const isGone = await letGo(row);
    if (!isGone && line) line.textContent = `${row.name} stays: answers or photographs of it are not sent yet.`;
    show();
  });
  const entry = document.createElement("li");
  entry.append(link, words, button);
  return entry;
}

/** Pages of nobody are not shown: whoever is out of the log-in is told that, not that they took nothing along. */
function sayThatNobodyIsLoggedIn() {
  const why = document.querySelector("[data-why-not-here]");
  if (why) why.textContent = "Nobody is logged in on this phone: what was taken along opens after a log-in, which needs a network. What was answered here is kept.";
}

async function show() {
  const who = await person();
  if (!who) sayThatNobodyIsLoggedIn();
  const rows = await takenBy(who);
  list.replaceChildren(...rows.map(item));
  section.hidden = !rows.length && !section.querySelector("[data-take]");
}

async function takeWeek(button) {
  button.disabled = true;
  const visits = JSON.parse(document.getElementById("visits-of-the-week").textContent);
  for (const [number, { name, along_url: address }] of visits.entries()) {
    try {
      await takeAlong(await person(), address, ({ done, of }) => {
        line.textContent = `Visit ${number + 1} of ${visits.length}, ${name}: ${done} of ${of} pages.`;
      });
    } catch (error) {
      line.textContent = `▲ ${name} is not whole on this phone: ${error.message} Touch again to go on.`;
      break;
    }
    await show();
    if (number === visits.length - 1) line.textContent = `All of ${visits.length} on this phone.`;
  }
  button.disabled = false;
}

const button = section.querySelector("[data-take]");
if (button) {
  button.hidden = !canTakeAlong;
  button.addEventListener("click", () => takeWeek(button));
}
show();
