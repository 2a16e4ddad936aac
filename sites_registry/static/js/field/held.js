// On every page: where something waits on this phone or was sent, what says so and sends it is loaded; elsewhere nothing is.

const HINT = "register keeps something on this phone"; // set by database.js
const EARLIER = "answer of "; // how earlier versions named what they kept

const SENT = `last sent by ${document.body.dataset.person}`; // set by outbox.js

function isSomethingKept(...alsoWhere) {
  try {
    return Object.keys(localStorage).some((key) => key === HINT || key.startsWith(EARLIER) || alsoWhere.includes(key));
  } catch {
    return false;
  }
}

/** A page from this phone says so, and sends its forms with the token of now: that of then may have run out. */
async function sayThatItIsKept() {
  const { kept } = document.body.dataset;
  if (!kept) return;
  document.addEventListener("submit", ({ target }) => {
    const field = target.elements.csrfmiddlewaretoken;
    if (field) field.value = /(?:^|; )csrftoken=([^;]*)/.exec(document.cookie)?.[1] ?? field.value;
  });
  const { momentInWords } = await import("../days.js");
  const line = document.querySelector("[data-kept-line]");
  line.textContent = `No network: this page is as it was taken along on ${momentInWords(kept)}.`;
  line.hidden = false;
}

for (const form of document.querySelectorAll("form[data-log-out]"))
  form.addEventListener("submit", async (event) => {
    if (!isSomethingKept() || !navigator.onLine) return;
    event.preventDefault();
    const { mayLogOut } = await import("./log_out.js");
    if (await mayLogOut(Number(document.body.dataset.person))) form.submit();
  });

/** What nothing keeps would lead to the browser's own page: it stays as it is typed, and says so. After all that hear of it. */
addEventListener("submit", (event) => {
  const form = event.target;
  if (event.defaultPrevented || navigator.onLine || form.getAttribute("method")?.toLowerCase() !== "post") return;
  event.preventDefault();
  delete form.dataset.sent; // it was not (register.js)
  form.querySelector("[data-not-sent-words]")?.remove();
  const line = Object.assign(document.createElement("p"), { className: "message warning", textContent: "▲ Nothing was sent: this needs a network. Do it again when there is one." });
  line.dataset.notSentWords = "";
  line.setAttribute("role", "alert");
  form.append(line);
  line.scrollIntoView({ block: "nearest" });
});

const load = () => isSomethingKept(SENT) && import("./held_lines.js");
addEventListener("storage", load);
addEventListener("pageshow", load);
load();
sayThatItIsKept();

