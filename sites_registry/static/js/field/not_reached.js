// A storey or room that could not be entered: each of its tests without an outcome is recorded as not accessible, with
// one reason.

import { answerAt } from "./answer.js";
import { letListRest } from "./screen.js";

const counted = (number) => `${number} test${number === 1 ? "" : "s"}`;

/** [{stop, point}] of what has no outcome on the page or on this phone; of `room` where one is named. */
function openIn(storey, stops, answered, room = null) {
  const done = answered();
  const here = new Set([...storey.querySelectorAll(".stops > li:not([hidden])")].map((row) => row.id));
  return stops
    .filter((stop) => here.has(stop.anchor) && (room === null || stop.room === room))
    .flatMap((stop) => stop.open.filter((point) => !done.has(point)).map((point) => ({ stop, point })));
}

/** Offer the rooms that have something left, where there are several; what was chosen stays while it is offered. */
function showRooms(where, left) {
  const rooms = [...new Set(left.map(({ stop }) => stop.room).filter(Boolean))];
  const chosen = where.selectedIndex > 0 ? where.value : null;
  const options = ["", ...rooms].map((room) => new Option(room || "All of it", room, false, room === chosen));
  where.replaceChildren(...options);
  where.closest("[data-where]").hidden = rooms.length < 2;
}

/** An outcome over it would let go of what is typed there. */
function sayHalfWritten(line, rows) {
  line.hidden = !rows.length;
  const links = [...new Set(rows.map(({ stop }) => stop))].flatMap((stop) => [" ", Object.assign(document.createElement("a"), { className: "tag", href: stop.url, textContent: stop.tag })]);
  line.replaceChildren(`▲ ${counted(rows.length)} half written ${rows.length === 1 ? "is" : "are"} not among them:`, ...links);
}

/** `answered` gives the test points answered on this phone, `isTyped` whether something is half written at one; `onRecorded` is called when all are kept. */
export function offerNotReached({ stops, queue, answered, isTyped, onRecorded }) {
  for (const offer of document.querySelectorAll("[data-not-reached]")) {
    const storey = offer.closest(".storey");
    const button = offer.querySelector("button");
    const error = offer.querySelector("[data-not-reached-error]");
    const where = offer.querySelector("select");
    const left = () => openIn(storey, stops, answered, where.selectedIndex > 0 ? where.value : null);
    const asked = () => left().filter(({ point }) => !isTyped(point));
    const show = () => {
      showRooms(where, openIn(storey, stops, answered));
      sayHalfWritten(offer.querySelector("[data-half-written]"), left().filter(({ point }) => isTyped(point)));
      const number = asked().length;
      offer.hidden = !number;
      button.textContent = `Record ${counted(number)} as not accessible`;
    };
    button.addEventListener("click", async () => {
      const reason = offer.querySelector("textarea").value.trim();
      error.hidden = Boolean(reason);
      error.textContent = reason ? "" : "Say why.";
      if (!reason) return offer.querySelector("textarea").focus();
      button.disabled = true;
      letListRest();
      await queue.addAll(
        asked().map(({ stop, point }) => ({
          answer: answerAt(point, "not_accessible", queue.clock, { reason }),
          told: { label: stop.tag, words: `not accessible · ${reason}`, isFirst: true, href: stop.url },
        })),
      );
      button.disabled = false;
      show();
      onRecorded();
      if (offer.hidden) storey.querySelector("summary").focus(); // where the keys go on
    });
    where.addEventListener("change", show);
    queue.addEventListener("change", show);
    show();
  }
}
