// Says plainly when there is no network, and keeps a form from being sent into nothing: what was chosen stays.
const line = document.querySelector("[data-offline]");
const show = () => {
  line.hidden = navigator.onLine;
};
addEventListener("online", show);
addEventListener("offline", show);
show();

for (const form of document.querySelectorAll("form[data-needs-network]")) {
  form.addEventListener("submit", (event) => {
    if (navigator.onLine) return;
    event.preventDefault();
    show();
    line.scrollIntoView({ block: "center" });
  });
}
