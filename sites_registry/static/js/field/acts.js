// What is done by a form, as a swap or the end of a visit: kept and sent as an answer is, in its order among them.

/** Why an answer could not go: a sentence, and the same in a breath; `stops` where nothing else would go either. */
export class NotSent extends Error {
  constructor(sentence, inABreath, stops = false) {
    super(sentence);
    Object.assign(this, { inABreath, stops });
  }
}

/** Not sent, because the register answered otherwise than it should; with the number under which its log has it. */
export function answered(response) {
  const number = response.status >= 500 && response.headers.get("X-Request-Id");
  return new NotSent(`The register answered ${response.status}${number ? `, failure ${number}` : ""}.`, `answer ${response.status}`);
}

/** When the register answered, by its own clock (ISO 8601). */
export const answeredAt = (response) => new Date(response.headers.get("Date") ?? Date.now()).toISOString();

/** Send a kept form as its page would; the verdict, {fate, message, notes, at}, by what the register shows then, and its clock. */
export async function sendAct(row, token) {
  let response;
  try {
    response = await fetch(row.url, {
      method: "POST",
      headers: headersOf(row, token),
      body: new URLSearchParams(row.entry.act.fields),
    });
  } catch {
    throw new NotSent("No connection.", "no network", true);
  }
  const isLogIn = response.redirected && new URL(response.url).pathname === row.entry.act.logIn;
  if (isLogIn || response.status === 403 || response.status === 409) throw new NotSent("You are logged out, or somebody else is logged in.", "log in", true);
  if (response.status >= 500 || response.status === 429) throw answered(response);
  return { ...(await verdictShown(response)), at: answeredAt(response) };
}

async function verdictShown(response) {
  if (response.headers.get("Content-Type")?.startsWith("application/json")) return verdictOf(response, await response.json());
  const page = new DOMParser().parseFromString(await response.text(), "text/html");
  const [notDone] = response.redirected ? wordsAt(page, ".message.error, .message.danger") : [];
  if (response.redirected && !notDone) return { fate: "taken", message: "", notes: wordsAt(page, ".message:not(.danger, .error)") };
  const [message = notDone ?? `The register answered ${response.status}: this form can no longer be taken.`] = wordsAt(page, REFUSALS);
  return { fate: "refused", message, notes: [] };
}

const REFUSALS = ".error-list li, .invalid-feedback, .field-error, .message.danger";

/** When the form was filled in goes along, with what puts the clock of this phone right. */
function headersOf({ person, entry: { act } }, token) {
  const { filledInAt, clockOffsetMs, accept } = act;
  const headers = { "X-CSRFToken": token, "X-Person": String(person), "X-Sent-At": new Date().toISOString() };
  if (accept) headers.Accept = accept;
  if (filledInAt) headers["X-Filled-In-At"] = filledInAt; // earlier versions kept none
  if (Number.isInteger(clockOffsetMs)) headers["X-Clock-Offset-Ms"] = String(clockOffsetMs);
  return headers;
}

function verdictOf(response, { sentence }) {
  if (response.ok && !sentence) return { fate: "taken", message: "", notes: [] };
  return { fate: "refused", message: sentence ?? `The register answered ${response.status}.`, notes: [] };
}

function wordsAt(page, selector) {
  return [...page.querySelectorAll(selector)].map((element) => element.textContent.replace(/\s+/g, " ").trim()).filter(Boolean);
}
