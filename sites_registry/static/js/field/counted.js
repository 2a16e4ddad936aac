// "2 answers and 3 photographs", as all lines of a phone say it.

const many = (number, word) => (number ? `${number} ${word}${number === 1 ? "" : "s"}` : "");

export const photographs = (number) => many(number, "photograph");

/** Of answers and photographs, what there is. */
export function counted(answers, photos) {
  return [many(answers, "answer"), photographs(photos)].filter(Boolean).join(" and ");
}
