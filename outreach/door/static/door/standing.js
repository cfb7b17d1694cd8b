// May this person's household have a bin now? The server's sentence, unless this device knows something later.

import { fold } from "./search.js";

/** {may, key, values, sentence}: `sentence` is {en, es} from the server; else `key` and `values` are for words.js. */
export function standingOf(person, view, roster) {
  const household = view.households.get(person.household);
  const given = household?.givenHere ?? person.given.at(-1)?.model;
  if (given != null) return { may: false, key: "bin_here_today", values: { model: modelName(roster, given) } };
  if (household?.takenBack) return { may: true, key: "bin_taken_back", values: {} };
  if (household) return { may: household.standing.may, sentence: household.standing.sentence };
  return standingElsewhere(person, roster);
}

// A walk-in at an address that is not on the list: all that is known offline is whether the place is served.
function standingElsewhere(person, roster) {
  const place = [person.city, person.zip].filter(Boolean).join(" ");
  if (!place) return { may: true, key: "unknown_place", values: {} };
  const { zips = [], cities = [] } = roster?.places_served ?? {};
  const isServed = zips.includes((person.zip ?? "").slice(0, 5)) || cities.some((one) => fold(one) === fold(person.city));
  return { may: isServed, key: isServed ? "served_walk_in" : "elsewhere", values: { place } };
}

export const modelName = (roster, id) => roster?.models?.find((model) => model.id === id)?.name ?? "";
