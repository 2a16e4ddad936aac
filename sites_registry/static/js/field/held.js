// Says on every page which answers wait on this phone unsent, and who has to log in for them to go out.

import { heldElsewhere } from "./store.js";

const line = document.querySelector("[data-held]");
const person = Number(document.body.dataset.person);

function sentence({ person: author, number, name, at, href }) {
  const paragraph = document.createElement("p");
  const isOne = number === 1;
  const whose = author === person ? "yours" : name;
  paragraph.append(`▲ ${number} answer${isOne ? "" : "s"} of ${whose} wait${isOne ? "s" : ""} on this phone, not recorded: ${at}. `);
  if (author === person) {
    const link = document.createElement("a");
    Object.assign(link, { href, textContent: "Open the visit to send" });
    paragraph.append(link, ".");
  } else {
    paragraph.append(`${isOne ? "It goes" : "They go"} out when ${name} logs in on this phone and opens the visit, never under another name.`);
  }
  return paragraph;
}

const show = () => {
  const held = heldElsewhere(person, Number(line.dataset.held));
  line.hidden = !held.length;
  line.replaceChildren(...held.map(sentence));
};
addEventListener("storage", show);
addEventListener("pageshow", show);
show();
