// What is done by a form, or by a tick, as a row of the outbox (store.js).

import { visitOfPage } from "./taken_along.js";

/** `told`: as `kept_form` gives it (kept_forms.py); outside a visit it belongs to the one its page was taken along with. */
export async function rowOfAct({ told, url, act, label, clock }) {
  return {
    person: told.person.id,
    name: told.person.name,
    ...(await visitOf(told)),
    url,
    entry: {
      answer: { client_uuid: crypto.randomUUID() },
      act: { ...act, logIn: told.log_in, filledInAt: new Date().toISOString(), clockOffsetMs: clock.offsetMs },
      label,
      words: "",
      href: location.pathname,
    },
  };
}

async function visitOf(told) {
  if (told.visit) return { visit: told.visit, at: told.visit_name, href: told.visit_url };
  const row = await visitOfPage(told.person.id, location.pathname);
  if (row) return { visit: row.visit, at: row.name, href: row.href };
  return { visit: 0, at: told.label, href: location.pathname };
}
