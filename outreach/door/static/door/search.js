// Finding people by a part of a name, an address or a code; accents, case and order of words do not matter.

export const fold = (text) =>
  (text ?? "")
    .normalize("NFD")
    .replace(/\p{Diacritic}/gu, "")
    .toLowerCase()
    .replace(/[^\p{Letter}\p{Number}]+/gu, " ")
    .trim();

/** People in whom every word of the search begins a word; a code that is typed whole comes first. */
export function find(people, search) {
  const words = fold(search).split(" ").filter(Boolean);
  if (words.length === 0) return people;
  const found = people.filter((person) => {
    const told = ` ${fold([person.name, person.address, person.unit, person.code].join(" "))}`;
    return words.every((word) => told.includes(` ${word}`));
  });
  const whole = byCode(people, search);
  return whole && !found.includes(whole) ? [whole, ...found] : found;
}

/** Whom to open when the search is sent off: who carries the code, else who has every word whole, else the first. */
export function best(found, search) {
  const words = fold(search).split(" ");
  const isWhole = (person) => {
    const told = ` ${fold([person.name, person.address, person.unit].join(" "))} `;
    return words.every((word) => told.includes(` ${word} `));
  };
  return byCode(found, search) ?? found.find(isWhole) ?? found[0] ?? null;
}

/** The person whose row carries a code, as it was typed or as a scanned code holds it (alone or ending an address). */
export function byCode(people, scanned) {
  const said = tight(scanned);
  if (!said) return null;
  const last = tight(scanned.split(/[/=#?&]/).filter(Boolean).at(-1) ?? "");
  return people.find((person) => person.code && [said, last].includes(tight(person.code))) ?? null;
}

const tight = (text) => fold(text).replaceAll(" ", "");

/** Two spellings of one address that differ only in case, accents, points and spaces. */
export const sameAddress = (one, other) =>
  fold(one.address) !== "" && fold(one.address) === fold(other.address) && fold(one.unit) === fold(other.unit);
