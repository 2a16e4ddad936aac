// How photographs leave this phone: announced, then in parts; after a break the register says where to go on.

import { answeredAt, answered, NotSent } from "./acts.js";

const PART_BYTES = 256 * 1024;
const MOST_WITHOUT_PROGRESS = 3;

async function ask(row, address, token, type, body) {
  let response;
  try {
    response = await fetch(address, {
      method: "POST",
      headers: { "Content-Type": type, "X-CSRFToken": token, "X-Person": String(row.person) },
      body,
    });
  } catch {
    throw new NotSent("No connection.", "no network", true);
  }
  if (response.redirected || response.status === 403 || response.status === 409) throw new NotSent("You are logged out, or somebody else is logged in.", "log in", true);
  if (response.status === 404) return { fate: "refused", message: "The register shows this visit to you no longer." };
  const isJson = response.headers.get("Content-Type")?.startsWith("application/json");
  if (!response.ok || !isJson) throw answered(response);
  return { ...(await response.json()), at: answeredAt(response) };
}

/**
 * Send one photograph; its fate, {fate, message, at} by the register's clock, or null where `mayGoOn` said before a part that something else goes
 * first. Throws NotSent.
 */
export async function sendPhoto(row, token, mayGoOn) {
  const announced = JSON.stringify({ photo: row.told, sent_at: new Date().toISOString() });
  let fate = await ask(row, row.url, token, "application/json", announced);
  const partsUrl = fate.parts_url;
  let withoutProgress = 0;
  while (fate.fate === "going_on") {
    if (!mayGoOn()) return null;
    const from = fate.next;
    fate = await ask(row, `${partsUrl}?from=${from}`, token, "application/octet-stream", row.blob.slice(from, from + PART_BYTES));
    withoutProgress = fate.next > from ? 0 : withoutProgress + 1;
    if (fate.fate === "going_on" && withoutProgress > MOST_WITHOUT_PROGRESS) throw new NotSent("A photograph does not get on.", "photograph stuck");
  }
  return fate;
}
