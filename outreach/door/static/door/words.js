// What is said, in the language of the crew and in that of the resident.

const catalogues = new Map();

export async function load(languages) {
  await Promise.all(
    languages.map(async (language) => {
      const answer = await fetch(`/door/words/${language}.json`);
      if (!answer.ok) throw new Error(`no words in ${language}: ${answer.status}`);
      catalogues.set(language, await answer.json());
    }),
  );
}

const crewLanguage = () => document.documentElement.lang || "en";

/** A sentence for the crew; where it counts `n`, in the right number. */
export const say = (key, values = {}) => said(crewLanguage(), "crew", key, values);

/** A sentence for a resident, in their language. */
export const tell = (language, key, values = {}) => said(language, "resident", key, values);

function said(language, part, key, values) {
  const group = catalogues.get(language)?.[part] ?? {};
  const number = values.n === undefined ? "other" : new Intl.PluralRules(language).select(values.n);
  const text = group[key] ?? group[`${key}_${number}`] ?? group[`${key}_other`] ?? key;
  return text.replace(/\{(\w+)\}/g, (whole, name) => values[name] ?? whole);
}

export const money = (cents) =>
  new Intl.NumberFormat(crewLanguage(), { style: "currency", currency: "USD" }).format(cents / 100);

export const languageName = (code) => say(`language_${code}`);
