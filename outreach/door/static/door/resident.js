// The screen turned to a resident, in their language: may they have a bin, the waiver to read, their name to type.
// Nothing of anybody else can be seen while it is turned.

import { byId, el, field } from "./dom.js";
import { named } from "./events.js";
import { standingOf } from "./standing.js";
import { say, tell } from "./words.js";

const OTHER = { en: "es", es: "en" };
const NAMES = { en: "English", es: "Español" };

export function turnToResident(door, key, language) {
  const person = personOf(door, key);
  if (!person) return;
  const { waiver: asked, consent = null } = door.roster;
  const draft = { typed: "", mayAsk: person.may_ask === true };
  const turned = { door, key, language, asked, consent, draft, problem: "", isDone: false };
  const dialog = byId("resident");
  dialog.onclose = () => close(turned);
  show(turned);
  if (!dialog.open) dialog.showModal();
  dialog.scrollTop = 0;
  byId("resident-heading").focus();
}

function personOf(door, key) {
  const { people } = door.view;
  return people.find((person) => person.key === key || (person.person && `w${person.person}` === key));
}

function close({ door, key, isDone }) {
  byId("resident").replaceChildren();
  const person = personOf(door, key);
  if (!person) return;
  if (isDone) door.announce(say("said_waiver", { who: person.name }));
  door.turned(isDone ? `bin-${person.key}` : `waiver-${person.key}`);
}

function show(turned) {
  const dialog = byId("resident");
  dialog.lang = turned.language;
  dialog.replaceChildren(...(turned.isDone ? thanks(turned) : waiver(turned)).filter(Boolean));
}

const backButton = (language, kind) =>
  el("button", { type: "button", id: "resident-back", class: kind, click: () => byId("resident").close() }, tell(language, "back"));

function thanks({ language }) {
  return [el("h2", { id: "resident-heading", tabindex: "-1" }, tell(language, "thanks")), backButton(language, null)];
}

function waiver(turned) {
  const { door, key, language, asked } = turned;
  const person = personOf(door, key);
  const text = asked?.text[language] ?? asked?.text.en ?? "";
  const other = OTHER[language];
  const change = () => {
    turned.language = other;
    show(turned);
    byId("resident-heading").focus();
  };
  return [
    el("button", { type: "button", id: "resident-language", class: "second", lang: other, click: change }, NAMES[other]),
    el("h2", { id: "resident-heading", tabindex: "-1" }, tell(language, "hello", { name: person.name })),
    el("p", {}, standingTold(door, person, language)),
    el("h3", {}, tell(language, "waiver_heading")),
    el("div", { class: "door-waiver" }, text.split(/\n\s*\n/).map((part) => el("p", {}, part))),
    form(turned, person),
    backButton(language, "second"),
  ];
}

function standingTold(door, person, language) {
  const standing = standingOf(person, door.view, door.roster);
  if (standing.sentence) return standing.sentence[language] ?? standing.sentence.en;
  if (standing.may) return tell(language, "may_have");
  return tell(language, standing.key === "bin_here_today" ? "had_today" : "not_served");
}

function form(turned, person) {
  const { language, draft, problem } = turned;
  return el(
    "form",
    {
      ...{ class: "door-give", novalidate: true },
      submit: (event) => {
        event.preventDefault();
        accept(turned, person);
      },
    },
    field({ id: "typed", name: "typed", label: tell(language, "type_name"), draft, problem, autocapitalize: "words", maxlength: 200 }),
    mayAsk(turned),
    el("button", { id: "accept" }, tell(language, "accept")),
  );
}

/** Whether they may be asked later: ticked where they said so before, theirs to tick or leave. */
function mayAsk({ consent, draft, language }) {
  if (!consent) return null;
  const change = (event) => (draft.mayAsk = event.target.checked);
  return el(
    "div",
    { class: "field door-choice" },
    el("label", { for: "may-ask" }, el("input", { id: "may-ask", type: "checkbox", checked: draft.mayAsk, change }), consent.text[language] ?? consent.text.en),
  );
}

async function accept(turned, person) {
  const { door, language, draft, asked, consent } = turned;
  const typed_name = draft.typed.trim();
  turned.problem = typed_name ? "" : tell(language, "need_name");
  if (!typed_name) {
    show(turned);
    return byId("typed").focus();
  }
  const body = { ...named(person), version: asked.version, language, typed_name };
  if (consent) body.consent = { given: draft.mayAsk, version: consent.version };
  if (!(await door.act("waiver_accepted", body))) return byId("resident").close();
  turned.isDone = true;
  show(turned);
  byId("resident-heading").focus();
}
