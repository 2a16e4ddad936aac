// Says plainly when there is no network; what a form does then is held.js's.
const line = document.querySelector("[data-offline]");
const show = () => {
  line.hidden = navigator.onLine;
};
addEventListener("online", show);
addEventListener("offline", show);
show();
