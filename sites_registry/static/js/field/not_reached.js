// A storey that could not be entered: each of its tests without an outcome is recorded as not accessible, with one reason.

import { newUuid } from "./answer.js";

const counted = (number) => `${number} test${number === 1 ? "" : "s"}`;

/** [{stop, point}] of what has no outcome on the page or on this phone. */
function openIn(storey, stops, answered) {
  const here = new Set([...storey.querySelectorAll(".stops > li:not([hidden])")].map((row) => row.id));
  return stops
    .filter((stop) => here.has(stop.anchor))
    .flatMap((stop) => stop.open.filter((point) => !answered().has(point)).map((point) => ({ stop, point })));
}

function answerAt(point, reason, clock) {
  return {
    client_uuid: newUuid(),
    test_point: point,
    outcome: "not_accessible",
    reason,
    seen_at: new Date().toISOString(),
    clock_offset_ms: clock.offsetMs,
    knows: [],
    correction_reason: "",
  };
}

/** `answered` gives the test points answered on this phone; `onRecorded` is called when all are kept. */
export function offerNotReached({ stops, queue, answered, onRecorded }) {
  for (const offer of document.querySelectorAll("[data-not-reached]")) {
    const storey = offer.closest(".storey");
    const button = offer.querySelector("button");
    const error = offer.querySelector("[data-not-reached-error]");
    const show = () => {
      const number = openIn(storey, stops, answered).length;
      offer.hidden = !number;
      button.textContent = `Record ${counted(number)} as not accessible`;
    };
    button.addEventListener("click", async () => {
      const reason = offer.querySelector("textarea").value.trim();
      error.hidden = Boolean(reason);
      error.textContent = reason ? "" : "Say why.";
      if (!reason) return offer.querySelector("textarea").focus();
      button.disabled = true;
      await queue.addAll(
        openIn(storey, stops, answered).map(({ stop, point }) => ({
          answer: answerAt(point, reason, queue.clock),
          told: { label: stop.tag, words: `not accessible · ${reason}`, isFirst: true, href: stop.url },
        })),
      );
      button.disabled = false;
      show();
      onRecorded();
    });
    queue.addEventListener("change", show);
    show();
  }
}
