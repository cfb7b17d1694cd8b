// Someone who is on no list: name and address, then one tap checks them in and turns the screen to them.

import { el, field } from "./dom.js";
import { newId } from "./events.js";
import { turnToResident } from "./resident.js";
import { clearSearch } from "./screen.js";
import { languageName, say } from "./words.js";

const LANGUAGES = ["en", "es"];

export function walkIn(door) {
  return door.ui.walkIn ? form(door) : beginButton(door);
}

function beginButton(door) {
  const begin = () => {
    const searched = door.ui.search.trim();
    door.ui.walkIn = { party: "1", name: /\d/.test(searched) ? "" : searched, ...placeOnlyServed(door) };
    door.turned("walk-in-name");
  };
  return el("button", { id: "walk-in-button", type: "button", class: "second", click: begin }, say("walk_in"));
}

/** Where only one city or one ZIP is served, it stands in its field already. */
function placeOnlyServed(door) {
  const { cities = [], zips = [] } = door.roster?.places_served ?? {};
  return { city: cities.length === 1 ? cities[0] : "", zip: zips.length === 1 ? zips[0] : "" };
}

function form(door) {
  const draft = door.ui.walkIn;
  const problems = door.ui.problems.walkIn ?? {};
  const { cities = [], zips = [] } = door.roster?.places_served ?? {};
  const one = (name, facts) => field({ id: `walk-in-${name}`, name, draft, problem: problems[name], label: say(name), ...facts });
  return el(
    "form",
    {
      ...{ class: "door-give", novalidate: true, "aria-labelledby": "walk-in-heading" },
      submit: (event) => {
        event.preventDefault();
        checkIn(door, event.submitter?.value || LANGUAGES[0]);
      },
    },
    el("h2", { id: "walk-in-heading" }, say("walk_in")),
    one("name", { maxlength: 200 }),
    one("street", { maxlength: 200 }),
    el("div", { class: "door-pair" }, one("city", { list: "served-cities", maxlength: 100 }), one("zip", { list: "served-zips", inputmode: "numeric", maxlength: 10 })),
    suggestions("served-cities", cities),
    suggestions("served-zips", zips),
    one("party", { type: "number", inputmode: "numeric", min: 1, max: 30, label: say("party") }),
    el(
      "details",
      { open: Boolean(draft.unit || draft.email || draft.phone) },
      el("summary", {}, say("more_about_them")),
      one("unit", { maxlength: 40 }),
      one("email", { type: "email", help: say("reach_help"), maxlength: 254 }),
      one("phone", { type: "tel", maxlength: 40 }),
    ),
    LANGUAGES.map((language, place) =>
      el("button", { id: `check-in-${language}`, value: language, class: place ? "second" : null }, buttonWords(door, language)),
    ),
    el("button", { type: "button", id: "walk-in-back", class: "undoing", click: () => leave(door, "walk-in-button") }, say("never_mind")),
  );
}

const suggestions = (id, values) => el("datalist", { id }, values.map((value) => el("option", { value })));

const buttonWords = (door, language) =>
  say(door.roster?.waiver ? "check_in_and_turn" : "check_in_in", { language: languageName(language) });

function leave(door, focus) {
  Object.assign(door.ui, { walkIn: false });
  delete door.ui.problems.walkIn;
  door.turned(focus);
}

function missing(draft) {
  const problems = {};
  const party = Number(draft.party);
  if (!draft.name?.trim()) problems.name = say("need_name");
  if (!draft.street?.trim()) problems.street = say("need_street");
  if (!Number.isInteger(party) || party < 1 || party > 30) problems.party = say("need_count", { low: 1, high: 30 });
  return problems;
}

async function checkIn(door, language) {
  const draft = door.ui.walkIn;
  const problems = missing(draft);
  door.ui.problems.walkIn = problems;
  const [first] = Object.keys(problems);
  if (first) return door.turned(`walk-in-${first}`);
  const person = newId();
  const text = (name) => (draft[name] ?? "").trim();
  const body = { person, name: text("name"), street: text("street"), unit: text("unit"), city: text("city"), zip: text("zip"), language, party: Number(draft.party) };
  for (const name of ["email", "phone"]) if (text(name)) body[name] = text(name);
  if (!(await door.act("walked_in", body))) return;
  door.announce(say("said_checked_in", { who: body.name }));
  clearSearch(door);
  door.ui.open = `w${person}`;
  leave(door, `bin-w${person}`);
  if (door.roster?.waiver) turnToResident(door, `w${person}`, language);
}
