// One person of the list; opened in place, with the three steps: here, waiver, bin.

import { binStep } from "./bin_step.js";
import { el } from "./dom.js";
import { named } from "./events.js";
import { turnToResident } from "./resident.js";
import { clearSearch } from "./screen.js";
import { standingOf } from "./standing.js";
import { languageName, say } from "./words.js";

const MOST_IN_A_PARTY = 30;

export function personRow(door, person, isOpen) {
  const id = `row-${person.key}`;
  const toggle = () => {
    door.ui.open = isOpen ? null : person.key;
    door.turned();
  };
  return el(
    "li",
    { class: isOpen ? "door-person open" : "door-person" },
    el(
      "button",
      { id, type: "button", class: "door-row", "aria-expanded": String(isOpen), "aria-controls": isOpen ? `of-${person.key}` : null, click: toggle },
      el("span", { class: "door-name" }, person.name),
      el("span", { class: "door-address" }, [person.address, person.unit].filter(Boolean).join(", "), person.code ? ` · ${say("code", { code: person.code })}` : ""),
      el("span", { class: "door-marks" }, marksOf(door, person).map(([shape, words]) => mark(shape, words))),
    ),
    isOpen ? el("div", { class: "door-steps", id: `of-${person.key}` }, steps(door, person)) : null,
  );
}

const mark = (shape, words) => el("span", { class: `door-mark ${shape}` }, words);

function marksOf(door, person) {
  const household = door.view.households.get(person.household);
  const hasBin = person.given.length > 0 || household?.givenHere || (household?.bins.length && !household.takenBack);
  const place = { standby: "standby", missed: "missed" }[person.place];
  return [
    person.came ? ["done", say(person.person && !person.participant ? "walked_in" : "here")] : ["open", say(place ?? "not_here")],
    person.waiver && door.roster?.waiver ? ["done", say("waiver_done")] : null,
    hasBin ? ["done", say("bin_done")] : null,
    person.promised && !hasBin ? ["open", say("promised")] : null,
    person.rows.some((row) => row.state === "unsent") ? ["open", say("unsent_mark")] : null,
    person.rows.some((row) => row.state === "held") ? ["wants", say("held_mark")] : null,
  ].filter(Boolean);
}

function steps(door, person) {
  const standing = standingOf(person, door.view, door.roster);
  return [
    el("p", { class: standing.may ? "door-standing" : "door-standing wants", id: `standing-${person.key}` }, standingWords(standing)),
    extraWords(door, person),
    el(
      "ol",
      {},
      el("li", {}, el("h3", {}, say("step_here")), hereStep(door, person)),
      el("li", {}, el("h3", { id: `waiver-${person.key}`, tabindex: "-1" }, say("step_waiver")), waiverStep(door, person)),
      el("li", {}, el("h3", { id: `bin-${person.key}`, tabindex: "-1" }, say("step_bin")), binStep(door, person, standing)),
    ),
  ];
}

export function standingWords({ may, sentence, key, values }) {
  if (sentence) return sentence[document.documentElement.lang] ?? sentence.en;
  return `${say(may ? "may" : "may_not")} ${say(key, values)}`;
}

function extraWords(door, person) {
  const household = door.view.households.get(person.household);
  const had = household?.bins.length ? say("bins_had", { bins: household.bins.join("; ") }) : "";
  const known = household && !person.participant ? say("known_address") : "";
  const words = [known, had].filter(Boolean).join(" ");
  return words ? el("p", {}, words) : null;
}

function hereStep(door, person) {
  const came = person.rows.find((row) => row.kind === "arrived" || row.kind === "walked_in");
  if (person.came) {
    return el("div", { class: "door-act" }, el("p", {}, say("is_here", { n: person.party })), came ? undoButton(door, person, came) : null);
  }
  const draft = draftOf(door, person);
  draft.party ??= Math.max(person.party ?? 1, 1);
  const step = (by) => () => {
    draft.party = Math.min(Math.max(draft.party + by, 1), MOST_IN_A_PARTY);
    door.turned();
  };
  return el(
    "div",
    { class: "door-act" },
    el("button", { id: `check-${person.key}`, type: "button", click: () => checkIn(door, person, draft.party) }, say("check_in", { n: draft.party })),
    el(
      "div",
      { class: "door-party", role: "group", "aria-label": say("party") },
      el("button", { id: `fewer-${person.key}`, type: "button", class: "second", "aria-label": say("party_fewer"), disabled: draft.party <= 1, click: step(-1) }, "−"),
      el("output", { "aria-live": "polite" }, String(draft.party)),
      el("button", { id: `more-${person.key}`, type: "button", class: "second", "aria-label": say("party_more"), disabled: draft.party >= MOST_IN_A_PARTY, click: step(1) }, "+"),
    ),
  );
}

async function checkIn(door, person, party) {
  if (!(await door.act("arrived", { ...named(person), party }))) return;
  door.announce(say("said_checked_in", { who: person.name }));
  clearSearch(door);
  door.turned(door.roster.waiver && !person.waiver ? `waiver-${person.key}` : `bin-${person.key}`);
}

function waiverStep(door, person) {
  const { waiver } = door.roster;
  if (!waiver) return el("p", {}, say("no_waiver"));
  const mine = person.rows.find((row) => row.kind === "waiver_accepted");
  if (person.waiver) {
    const words = person.acceptedHere ? say("waiver_version", { version: waiver.version }) : person.waiver;
    return el("div", { class: "door-act" }, el("p", {}, words), mine ? undoButton(door, person, mine) : null);
  }
  if (!person.came) return el("p", {}, say("first_check_in"));
  const first = person.language === "es" ? ["es", "en"] : ["en", "es"];
  return el(
    "div",
    { class: "door-act" },
    first.map((language, place) =>
      el(
        "button",
        { id: `turn-${language}-${person.key}`, type: "button", class: place ? "second" : null, click: () => turnToResident(door, person.key, language) },
        say("turn", { language: languageName(language) }),
      ),
    ),
  );
}

export function undoButton(door, person, row) {
  return el("button", { id: `undo-${row.id}`, type: "button", class: "undoing", click: () => undo(door, row, `row-${person.key}`) }, say("undo"));
}

/** Undoing is an event of its own; what was sent stays on record beside it. */
export async function undo(door, row, focus) {
  if (!(await door.act("undone", { event: row.id }))) return;
  door.announce(say("said_undone"));
  door.turned(focus);
}

export const draftOf = (door, person) => (door.ui.drafts[person.key] ??= {});
