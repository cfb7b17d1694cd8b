// The parts of the screen, from top to foot.

import { best, byCode, find } from "./search.js";
import { byId, draw, el } from "./dom.js";
import { drawMore } from "./more.js";
import { personRow } from "./person.js";
import { canScan, scan } from "./scan.js";
import { walkIn } from "./walk_in.js";
import { say } from "./words.js";

export function drawScreen(door) {
  const isOpen = Boolean(door.opening && !door.opening.ended);
  drawHead(door, isOpen);
  drawNotices(door);
  drawFind(door, isOpen && !door.ui.more);
  drawWalkIn(door, isOpen && !door.ui.more);
  drawPeople(door, isOpen && !door.ui.more);
  drawMore(byId("more"), door, isOpen && door.ui.more);
  drawFoot(door);
}

function drawHead(door, isOpen) {
  const { workshop } = door.roster ?? {};
  draw(byId("head"), [workshop, isOpen, door.ui.more, door.opening?.by], () => [
    el(
      "div",
      {},
      el("h1", {}, workshop?.venue ?? "Door"),
      workshop ? el("p", {}, dayInWords(workshop.held_on), " · ", say("opened_by", { name: door.opening.by })) : null,
    ),
    isOpen
      ? el(
          "button",
          {
            ...{ id: "more-button", type: "button", class: "second", "aria-expanded": String(door.ui.more) },
            click: () => {
              door.ui.more = !door.ui.more;
              door.turned();
            },
          },
          say(door.ui.more ? "less" : "more"),
        )
      : null,
  ]);
}

export const dayInWords = (iso) =>
  new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "long", year: "numeric", timeZone: "UTC" }).format(
    new Date(`${iso}T00:00Z`),
  );

/** Where the device cannot keep the page: the sheet of this workshop, for whoever may sign in. */
function onPaper(door) {
  const address = `/workshops/${door.workshop}/print/sheet/`;
  return el("p", { class: "actions" }, el("a", { class: "button second", href: address, target: "_blank" }, say("print_roster")));
}

function drawNotices(door) {
  const sentences = noticesOf(door);
  draw(byId("notices"), [sentences, door.openings], () => [
    ...sentences.map((words) => el("p", { class: "door-notice" }, words)),
    door.opening && door.offline.can === false ? onPaper(door) : null,
    door.opening ? null : elsewhere(door),
  ]);
}

function noticesOf(door) {
  const { opening, view, offline } = door;
  if (!opening) return [say(door.finished || "not_opened")];
  if (opening.ended) {
    const unsent = view.unsent ? say("ended_unsent", { n: view.unsent }) : "";
    const why = opening.ended === "ended" ? say("ended") : opening.ended;
    return [`${why} ${unsent}`, door.link.state === "unknown" ? say("token_unknown") : ""].filter(Boolean);
  }
  return [
    door.failure,
    door.link.state === "unknown" ? say("token_unknown") : "",
    door.roster ? "" : say("roster_missing"),
    offline.can === false ? say("not_ready_offline") : "",
    view.held ? say("held", { n: view.held }) : "",
    door.ui.refused && view.unsent ? say("finish_refused", { n: door.ui.refused }) : "",
  ].filter(Boolean);
}

function elsewhere(door) {
  const others = door.openings.filter((one) => one.workshop !== door.workshop);
  return el(
    "p",
    { class: "actions" },
    others.map((one) => el("a", { class: "button", href: `/door/${one.workshop}/` }, one.title || one.workshop)),
    el("a", { class: "button second", href: "/door/" }, say("not_opened_step")),
  );
}

function drawFind(door, isShown) {
  draw(byId("find"), [isShown, door.ui.cleared], () => (isShown ? findForm(door) : []));
}

function findForm(door) {
  const look = (words) => {
    door.ui.search = words;
    door.turned();
  };
  return el(
    "form",
    {
      ...{ role: "search", class: "door-find" },
      submit: (event) => {
        event.preventDefault();
        openFirst(door);
      },
    },
    el("label", { for: "search" }, say("search")),
    el(
      "div",
      { class: "door-find-row" },
      el("input", {
        ...{ id: "search", type: "search", autocomplete: "off", enterkeyhint: "search", value: door.ui.search },
        input: (event) => look(event.target.value),
      }),
      canScan()
        ? el("button", { type: "button", id: "scan", class: "second", click: () => scan(door, scanned(door)) }, say("scan"))
        : null,
    ),
    el("div", { id: "scanning" }),
  );
}

function openFirst(door) {
  const found = door.ui.search ? best(find(door.view.people, door.ui.search), door.ui.search) : null;
  if (!found) return;
  door.ui.open = found.key;
  door.turned(`row-${found.key}`);
}

const scanned = (door) => (code) => {
  const person = byCode(door.view.people, code);
  if (!person) return door.announce(say("scan_unknown", { code }));
  Object.assign(door.ui, { search: "", open: person.key, cleared: (door.ui.cleared ?? 0) + 1 });
  door.turned(`row-${person.key}`);
};

/** After someone was found and served, the field is empty for the next. */
export function clearSearch(door) {
  if (!door.ui.search) return;
  Object.assign(door.ui, { search: "", cleared: (door.ui.cleared ?? 0) + 1 });
}

function drawWalkIn(door, isShown) {
  const served = door.roster?.places_served;
  draw(byId("walk-in"), [isShown, Boolean(door.ui.walkIn), door.ui.problems.walkIn, served, Boolean(door.roster?.waiver)], () =>
    isShown ? walkIn(door) : [],
  );
}

function drawPeople(door, isShown) {
  const { view, ui, roster, opening } = door;
  const people = isShown && !ui.walkIn ? find(view.people, ui.search) : [];
  const facts = [isShown, ui.walkIn, people, [...view.households], view.models, ui.turn, opening?.may_except];
  draw(byId("people"), facts, () => {
    if (!isShown || ui.walkIn || !roster) return [];
    const key = openKey(door);
    return [
      el("h2", { class: "door-count" }, say("people_heading"), el("small", {}, ` ${say("people_count", { n: people.length })}`)),
      people.length ? null : el("p", {}, emptyList(door)),
      el("ul", { class: "door-list" }, people.map((person) => personRow(door, person, person.key === key))),
    ];
  });
}

/** A walk-in of this device gets a number of the roster later; the open row stays open. */
function openKey(door) {
  const { people } = door.view;
  if (people.some((person) => person.key === door.ui.open)) return door.ui.open;
  return people.find((person) => person.person && `w${person.person}` === door.ui.open)?.key ?? null;
}

const emptyList = (door) =>
  door.ui.search ? say("nobody_found", { search: door.ui.search }) : say("people_none");

function drawFoot(door) {
  const { view, opening } = door;
  const state = connectionWords(door);
  draw(byId("foot"), [view.peopleIn, view.binsLeft, view.unsent, Boolean(opening), state], () => {
    if (!opening) return [];
    return [
      el(
        "dl",
        { class: "door-figures" },
        opening.ended ? [] : [figure("foot_people", view.peopleIn), figure("foot_bins", view.binsLeft)],
        figure("foot_unsent", view.unsent, "unsent"),
      ),
      el("p", { id: "connection", role: "status" }, state),
    ];
  });
}

const figure = (key, number, id = key) =>
  el("div", {}, el("dt", {}, say(key)), el("dd", { id, class: "number" }, String(number)));

function connectionWords({ link, offline }) {
  if (link.state === "connected") return `${say("connected")}${offline.can ? ` ${say("ready_offline")}` : ""}`;
  if (link.state === "trouble") return say("server_trouble", { status: link.status });
  if (link.state === "unknown") return say("token_unknown");
  return say(link.state);
}

