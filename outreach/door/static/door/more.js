// Behind 'More': the headcount, bins at the table, what was done on this device, and finishing.

import { leftWords } from "./bin_step.js";
import { draw, el, field } from "./dom.js";
import { undo } from "./person.js";
import { modelName } from "./standing.js";
import { say } from "./words.js";

const MOST_IN_A_ROOM = 5000;

export function drawMore(container, door, isShown) {
  const { view, ui, opening } = door;
  const facts = [isShown, isShown && [view.history.map(({ row, undone }) => [row.id, undone]), view.models, view.headcount], ui.turn, opening?.live, view.unsent, door.offline.mayBeCleared];
  draw(container, facts, () => (isShown ? [headcount(door), stock(door), done(door), finish(door)] : []));
}

function part(id, heading, ...children) {
  return el("section", { class: "door-part", "aria-labelledby": id }, el("h2", { id, tabindex: "-1" }, heading), children.filter(Boolean));
}

function headcount(door) {
  const draft = (door.ui.drafts.headcount ??= {});
  return part(
    "headcount-heading",
    say("headcount"),
    el("p", {}, say("headcount_noted", { n: door.view.headcount })),
    el(
      "form",
      {
        ...{ class: "door-give", novalidate: true },
        submit: (event) => {
          event.preventDefault();
          noteHeadcount(door, draft);
        },
      },
      field({ id: "headcount", name: "people", label: say("headcount"), draft, type: "number", inputmode: "numeric", min: 0, problem: door.ui.problems.headcount }),
      el("button", { id: "headcount-save", class: "second" }, say("headcount_save")),
    ),
  );
}

async function noteHeadcount(door, draft) {
  const people = draft.people === undefined || draft.people === "" ? NaN : Number(draft.people);
  const isRight = Number.isInteger(people) && people >= 0 && people <= MOST_IN_A_ROOM;
  door.ui.problems.headcount = isRight ? "" : say("need_count", { low: 0, high: MOST_IN_A_ROOM });
  if (!isRight) return door.turned("headcount");
  if (!(await door.act("headcount", { people }))) return;
  door.ui.drafts.headcount = {};
  door.announce(say("did_headcount", { n: people }));
  door.turned("headcount");
}

function stock(door) {
  const { live } = door.opening;
  const told = live
    ? [live.exceptions ? say("others", { n: live.exceptions }) : "", live.devices_unsent ? say("devices_unsent", { n: live.devices_unsent }) : ""]
    : [];
  return part(
    "stock-heading",
    say("stock"),
    el("ul", { class: "plain" }, door.view.models.map((model) => el("li", {}, `${model.name}: ${leftWords(model)}`))),
    told.filter(Boolean).map((words) => el("p", {}, words)),
  );
}

function done(door) {
  const history = [...door.view.history].reverse();
  const lines = history.filter(({ row }) => row.kind !== "undone").map((entry) => line(door, entry));
  const loose = door.offline.mayBeCleared && door.view.unsent ? el("p", {}, say("may_be_cleared")) : null;
  return part("done-heading", say("done_here"), loose, lines.length ? el("ul", { class: "plain" }, lines) : el("p", {}, say("done_none")));
}

function line(door, { row, undone, who }) {
  const words = doneWords(door, row, who);
  return el(
    "li",
    { class: "door-done" },
    el("span", {}, words, undone ? el("small", {}, ` · ${say("was_undone")}`) : null),
    undone
      ? null
      : el("button", { id: `take-back-${row.id}`, type: "button", class: "undoing", "aria-label": say("undo_of", { what: words }), click: () => undo(door, row, "done-heading") }, say("undo")),
  );
}

function doneWords(door, { kind, body }, who) {
  const n = kind === "headcount" ? body.people : body.party;
  return say(`did_${kind}`, { who: who || say("someone"), model: modelName(door.roster, body.model), n });
}

function finish(door) {
  return part(
    "finish-heading",
    say("finish"),
    el("p", {}, say("finish_help")),
    el("button", { id: "finish", type: "button", class: "undoing", click: () => door.finish() }, say("finish")),
  );
}
