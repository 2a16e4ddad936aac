// Goes on with putting a hand-over together until all of it is there; without script, a button does.

const form = document.querySelector("form[data-goes-on]");
if (form) setTimeout(() => form.requestSubmit(), 300);
