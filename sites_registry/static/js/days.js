// Days as the register writes them, 3 Mar 2026, and boxes to type them in, each with the calendar of the browser beside it.

const MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split(" ");
const inWords = (iso) => {
  const [day, hour] = iso.split("T");
  const [year, month, date] = day.split("-").map(Number);
  return `${date} ${MONTHS[month - 1]} ${year}${hour ? `, ${hour.slice(0, 5)}` : ""}`;
};
const asIso = (words, kind) => {
  const [, date, month, year, hour] = words.match(/^\s*(\d{1,2}) (\w{3})\w* (\d{4})(?:, (\d{1,2}:\d{2}))?\s*$/) ?? [];
  const number = MONTHS.indexOf(month) + 1;
  if (!number) return "";
  const iso = `${year}-${String(number).padStart(2, "0")}-${date.padStart(2, "0")}`;
  return kind === "date" ? iso : `${iso}T${(hour ?? "00:00").padStart(5, "0")}`;
};
/** A moment by the clock of this device: 3 Mar 2026, 08:05. */
export const momentInWords = (when) => {
  const at = new Date(when);
  const [hour, minute] = [at.getHours(), at.getMinutes()].map((number) => String(number).padStart(2, "0"));
  return `${at.getDate()} ${MONTHS[at.getMonth()]} ${at.getFullYear()}, ${hour}:${minute}`;
};

/** When it was, as short as a bar has room for: 08:05 of today, 3 Mar of another day. */
export const shortMoment = (when) => {
  const [day, hour] = momentInWords(when).split(", ");
  return isToday(when) ? hour : day.replace(/ \d{4}$/, "");
};
export const isToday = (when) => new Date(when).toDateString() === new Date().toDateString();

for (const box of document.querySelectorAll("input[data-day]")) {
  const calendar = Object.assign(document.createElement("input"), { type: box.dataset.day, tabIndex: -1, className: "calendar" });
  if (!calendar.showPicker || box.readOnly) continue;
  calendar.setAttribute("aria-hidden", "true");
  const button = Object.assign(document.createElement("button"), { type: "button", className: "calendar-button" });
  button.setAttribute("aria-label", "Choose in a calendar");
  const both = Object.assign(document.createElement("span"), { className: "calendar-beside" });
  both.append(button, calendar);
  box.after(both);
  button.addEventListener("click", () => {
    calendar.value = asIso(box.value, box.dataset.day);
    calendar.showPicker();
  });
  calendar.addEventListener("change", () => {
    if (!calendar.value) return;
    box.value = inWords(calendar.value);
    box.dispatchEvent(new Event("input", { bubbles: true }));
    box.dispatchEvent(new Event("change", { bubbles: true }));
  });
}
