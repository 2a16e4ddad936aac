// Terminals seen on site, ticked without a network: each is kept and sent as an answer is; the page shows what waits.

import { rowOfAct } from "./kept_acts.js";
import { outboxOf } from "./outbox.js";

const told = JSON.parse(document.getElementById("kept-form").textContent);
const outbox = await outboxOf(told.person.id);

const rowsOf = (input) => outbox.rows.filter((row) => row.entry.act?.of === input.dataset.tick);
const isTicked = (row) => row.entry.act.fields.some(([name, value]) => name === "checked" && value === "1");

/** Keep a tick, or that it was taken back; of one terminal only the last waits. */
export async function keepTick(input) {
  for (const row of rowsOf(input)) {
    if (row.entry.refused) await outbox.drop(row);
    else await outbox.takeBack(row.entry.answer.client_uuid);
  }
  const act = { of: input.dataset.tick, fields: [["checked", input.checked ? "1" : "0"]], accept: "application/json" };
  const label = `${input.dataset.tickOf} ${input.checked ? "seen on site" : "not seen on site"}`;
  await outbox.addAll([await rowOfAct({ told, url: input.dataset.tick, act, label, clock: outbox.clock })]);
}

const words = ({ isOnlyHere, entry: { refused } }) => {
  if (refused) return `■ not recorded: ${refused}`;
  return isOnlyHere ? "■ on this page only: this phone has no room" : "▲ kept on this phone";
};

function show() {
  for (const input of document.querySelectorAll("input[data-tick]")) {
    const row = rowsOf(input).at(-1);
    const said = input.closest("label").querySelector("[data-tick-word]");
    if (row) {
      input.checked = isTicked(row);
      said.textContent = words(row);
      said.dataset.kept = "";
    } else if ("kept" in said.dataset) {
      said.textContent = input.checked ? "seen, sent" : "";
      delete said.dataset.kept;
    }
  }
}

outbox.addEventListener("change", show);
show();
