// Logging out on a phone that several people use: pages that were taken along go, what waits unsent stays for its author.

import { counted } from "./counted.js";
import { outboxOf } from "./outbox.js";
import { letGoOfAll } from "./taken_along.js";

/** Whether to go on; asks where answers or photographs of this person wait. */
export async function mayLogOut(person) {
  const outbox = await outboxOf(person);
  if (outbox.isAnythingWaiting && navigator.onLine) await outbox.send();
  const number = outbox.rows.length + outbox.photos.length;
  const words = `${counted(outbox.rows.length, outbox.photos.length)} ${number === 1 ? "is" : "are"} not recorded yet. They stay on this phone for you alone and go out when you log in here again. Log out?`;
  if (number && !confirm(words)) return false;
  await letGoOfAll(person);
  return true;
}
