// The digest of a chosen file is computed in the browser and compared with those of the papers that were given out.

const form = document.querySelector("form[data-digests]");
const said = form?.querySelector("[data-said]");

async function digestOf(file) {
  const digest = await crypto.subtle.digest("SHA-256", await file.arrayBuffer());
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

async function compare(file) {
  if (!file) return "";
  if (!form.dataset.digests) return "No paper of this certificate was given out yet. Send the file, to be compared.";
  const isOurs = form.dataset.digests.split(" ").includes(await digestOf(file));
  return isOurs
    ? "✓ Ours, and unaltered: it is the file that the register gave out. Whether it was withdrawn since stands above."
    : "✕ Not the file that the register gave out: altered, or another one. Send it, to be told where it differs.";
}

// Without https there is no crypto.subtle: then the file is sent.
if (form && globalThis.crypto?.subtle) {
  form.querySelector("input[type=file]").addEventListener("change", async (event) => {
    said.textContent = await compare(event.target.files[0]);
  });
}
