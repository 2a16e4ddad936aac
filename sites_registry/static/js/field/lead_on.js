// Where the walk goes on, as it stands with what was answered on this phone: the first stop with something open, or the end.

const ENDED = "▲ The end of this visit is kept on this phone, not sent yet";
const FINISHED = "● This visit is finished";

/** `stops` in the order of the walk; `answered` gives the test points answered on this phone. */
export function leadOn({ stops, queue, answered }) {
  const end = document.querySelector("[data-to-the-end]");
  if (!end) return; // over
  const link = document.querySelector("[data-go-on]"); // none where all was done when the page was made
  const missing = document.querySelector("[data-missing]");
  const asMade = end.textContent;
  const finishes = end.pathname;
  let isFinished = false;
  const show = () => {
    const done = answered();
    const next = stops.find((stop) => stop.open.some((point) => !done.has(point)));
    const isEnded = queue.waiting.some(({ act }) => act?.of === finishes);
    end.hidden = Boolean(next);
    end.textContent = isFinished ? FINISHED : isEnded ? ENDED : asMade;
    if (missing) missing.hidden = !next;
    if (!link) return;
    link.hidden = !next;
    if (!next) return;
    link.href = next.url;
    link.querySelector(".tag").textContent = `\u00a0${next.tag}`;
  };
  queue.addEventListener("verdict", ({ detail: { verdict, entry } }) => {
    if (entry.act?.of !== finishes || verdict.fate === "refused") return;
    isFinished = true;
    end.href = finishes.replace(/finish\/$/, ""); // what became of it
  });
  queue.addEventListener("change", show);
  show();
}
