// What is done by a form, or by a tick, as a row of the outbox (store.js).

import { taken, visitOfPage } from "./taken_along.js";

const JUST_BEFORE_MS = 1000;

function actRow({ person, name, visit, at, href }, { url, act, label, logIn, clock, filledInAt = new Date() }) {
  return {
    person,
    name,
    visit,
    at,
    href,
    url,
    entry: {
      answer: { client_uuid: crypto.randomUUID() },
      act: { ...act, logIn, filledInAt: filledInAt.toISOString(), clockOffsetMs: clock.offsetMs },
      label,
      words: "",
      href: location.pathname,
    },
  };
}

/** `told`: as `kept_form` gives it (kept_forms.py); outside a visit it belongs to the one its page was taken along with. */
export async function rowOfAct({ told, url, act, label, clock }) {
  const of = { person: told.person.id, name: told.person.name, ...(await visitOf(told)) };
  return actRow(of, { url, act, label, logIn: told.log_in, clock });
}

/**
 * What starts a visit that was taken along while it was planned, before all else of it goes out; none where it has been
 * started from this phone. `starts`: the address that does it, "" where the visit is under way.
 */
export async function startFirst(outbox, { starts, logIn, ...of }) {
  if (!starts || outbox.starting.has(starts)) return [];
  outbox.starting.add(starts);
  if (outbox.rows.some((row) => row.entry.act?.of === starts) || (await taken(of.person, of.visit))?.isStarted) return [];
  const act = { of: starts, fields: [], isStart: true };
  const filledInAt = new Date(Date.now() - JUST_BEFORE_MS);
  return [actRow(of, { url: starts, act, label: "start of the visit", logIn, clock: outbox.clock, filledInAt })];
}

async function visitOf(told) {
  if (told.visit) return { visit: told.visit, at: told.visit_name, href: told.visit_url };
  const row = await visitOfPage(told.person.id, location.pathname);
  if (row) return { visit: row.visit, at: row.name, href: row.href };
  return { visit: 0, at: told.label, href: location.pathname };
}
