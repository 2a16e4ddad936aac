// What a label's code, or a typed text, stands for among the places of a visit: {position, tag, serial, …}.

const ADDRESS = /^\/(?:at|positions)\/(\d+)\/$/;
// GS1 element strings: by their carrier, in brackets, with a separator, or beginning with a trade item number. Source:
// GS1 General Specifications, sections 3 and 5, from memory; zones/engineering/unit_labels.py takes them apart.
const ELEMENTS = /^(?:\](?:C1|e0|d2|Q3)|\(\d{2,4}\)|01\d{14})|\u001d/;

const tidy = (text) => text.trim().toUpperCase();

/** The position that the address of a label of this register names, or null. */
export function positionIn(text, hosts) {
  let address;
  try {
    address = new URL(text.trim());
  } catch {
    return null;
  }
  const number = hosts.includes(address.host) && ADDRESS.exec(address.pathname)?.[1];
  return number ? Number(number) : null;
}

/** Whether an element string holds this serial: (21), up to the next element or the end. */
function holdsSerial(text, serial) {
  return ["(21)", "21"].some((identifier) => {
    const at = text.indexOf(identifier + serial);
    return at >= 0 && ["", "\u001d", "("].includes(text.charAt(at + identifier.length + serial.length));
  });
}

/** The places that a text names outright: the address of a label, a tag, a serial, or an element string with one. */
export function placesNamed(places, text, hosts) {
  const position = positionIn(text, hosts);
  if (position !== null) return places.filter((place) => place.position === position);
  const wanted = tidy(text);
  const exact = places.filter((place) => tidy(place.tag) === wanted || tidy(place.serial) === wanted);
  if (exact.length || !ELEMENTS.test(wanted)) return exact;
  return places.filter((place) => place.serial && holdsSerial(wanted, tidy(place.serial)));
}

/** The places whose tag or serial holds a text, those that begin with it first. */
export function placesLike(places, text) {
  const wanted = tidy(text);
  const rank = (place) => [tidy(place.tag), tidy(place.serial)].reduce((least, one) => Math.min(least, one.startsWith(wanted) ? 0 : one.includes(wanted) ? 1 : 2), 2);
  return places.filter((place) => rank(place) < 2).sort((one, other) => rank(one) - rank(other));
}
