// Stands inside a page that is opened from a disk: it loads nothing, and holds files against the list in that page.

const holder = document.getElementById("given");
const list = holder.textContent.trim();
const given = JSON.parse(list);
const hexOf = (buffer) => [...new Uint8Array(buffer)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
const bytesOf = (hex) => Uint8Array.from(hex.match(/../g), (pair) => Number.parseInt(pair, 16));
const nameOf = (path) => path.split("/").pop();
const whole = new Set();

function row(table, ...cells) {
  const line = document.getElementById(table).tBodies[0].insertRow();
  for (const [text, look] of cells) {
    const cell = line.insertCell();
    cell.textContent = text;
    cell.className = look;
  }
}

function judged(file, digest) {
  const ours = given.files.filter((one) => one.sha256 === digest);
  for (const one of ours) whole.add(one);
  if (ours.length) return [`✓ As handed over: ${ours.map((one) => one.title).join("; ")}`, "whole"];
  const named = given.files.find((one) => one.path && nameOf(one.path) === file.name);
  if (named) return [`✕ Not as handed over: '${named.title}' had other content. It was altered, or is damaged.`, "altered"];
  if (given.beside.includes(file.name)) {
    return ["○ Goes with the archive and is made anew for each: not compared. What counts is the list in this page.", ""];
  }
  return ["▲ None of the files handed over, or altered and renamed.", "other"];
}

// A few by name, so that whoever looks knows what to look for.
function notSeen(left) {
  const named = left.slice(0, 5).map((one) => `'${one.title}'`).join(", ");
  return left.length > 5 ? `${named} and ${left.length - 5} more` : named;
}

function sum(looked) {
  const left = given.files.filter((one) => !whole.has(one));
  const rest = left.length ? ` Not yet seen as handed over: ${notSeen(left)}.` : " That is all of them.";
  document.getElementById("sum").textContent =
    `${looked} looked at just now; ${whole.size} of the ${given.files.length} files handed over seen unaltered.${rest}`;
}

async function look(event) {
  const files = [...event.target.files];
  document.getElementById("found").hidden = false;
  for (const file of files) {
    try {
      row("found", [file.name, "code"], judged(file, hexOf(await crypto.subtle.digest("SHA-256", await file.arrayBuffer()))));
    } catch {
      row("found", [file.name, "code"], ["▲ Could not be read. Choose it again.", "other"]);
    }
  }
  sum(files.length);
}

// The seal is over the digest of the list, letter by letter as it stands in the page.
async function sealSays() {
  const digest = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(list));
  let key;
  try {
    key = await crypto.subtle.importKey("raw", bytesOf(holder.dataset.key), "Ed25519", false, ["verify"]);
  } catch {
    return ["▲ This browser cannot prove the seal of the list (Ed25519); a newer one can.", "other"];
  }
  return (await crypto.subtle.verify("Ed25519", key, bytesOf(holder.dataset.seal), digest))
    ? ["✓ The list in this page is as it was sealed.", "whole"]
    : ["✕ The list in this page was altered after it was sealed. Do not rely on it.", "altered"];
}

for (const one of given.files) row("list", [one.title, ""], [one.path, "code"], [one.sha256, "code"]);
if (globalThis.crypto?.subtle) {
  document.getElementById("cannot").hidden = true;
  document.getElementById("choose").hidden = false;
  for (const input of document.querySelectorAll("input")) input.addEventListener("change", look);
  sealSays().then(([words, look]) => {
    const line = document.getElementById("seal");
    [line.textContent, line.className] = [words, look];
  });
}
