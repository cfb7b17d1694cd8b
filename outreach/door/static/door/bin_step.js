// The third step: which bin leaves the table, how the co-pay was settled, and why if it is an exception.

import { choice, el, field } from "./dom.js";
import { named, newId } from "./events.js";
import { draftOf, undoButton } from "./person.js";
import { modelName } from "./standing.js";
import { money, say } from "./words.js";

const SETTLED_BY = ["cash", "cheque", "waived"];

export function binStep(door, person, standing) {
  const mine = person.rows.filter((row) => row.kind === "bin_given");
  const given = mine.map((row) => givenHere(door, person, row));
  if (!person.came) return el("p", {}, say("first_check_in"));
  if (mine.length) return given;
  if (!standing.may && !door.opening.may_except) return el("p", { class: "door-problem" }, say("ask_someone"));
  if (door.view.models.length === 0) return el("p", { class: "door-problem" }, say("no_models"));
  return form(door, person, standing);
}

function givenHere(door, person, row) {
  const { model, copay } = row.body;
  const words = say("given", { model: modelName(door.roster, model), copay: copayWords(copay) });
  return el("div", { class: "door-act" }, el("p", {}, words), undoButton(door, person, row));
}

function copayWords({ how, cents, receipt }) {
  const amount = cents ? ` ${money(cents)}` : "";
  return `${say(`copay_${how}`)}${amount}${receipt ? `, ${receipt}` : ""}`;
}

function form(door, person, standing) {
  const draft = draftOf(door, person);
  const problems = door.ui.problems[person.key] ?? {};
  const { models } = door.view;
  if (models.length === 1) draft.model ??= models[0].id;
  const about = { draft, problems, key: person.key, turned: () => door.turned() };
  const waiverMissing = door.roster.waiver && !person.waiver;
  return el(
    "form",
    {
      ...{ class: "door-give", novalidate: true, "aria-describedby": `standing-${person.key}` },
      submit: (event) => {
        event.preventDefault();
        give(door, person, standing);
      },
    },
    waiverMissing ? el("p", { class: "door-problem" }, say("waiver_missing")) : null,
    modelChoice(models, about),
    copayFields(chosen(models, draft), about),
    standing.may ? null : reasonField(about),
    lotField(about),
    el("button", { id: `give-${person.key}` }, say(standing.may ? "give" : "give_exception")),
  );
}

const chosen = (models, draft) => models.find((model) => String(model.id) === String(draft.model));

function modelChoice(models, { draft, problems, key, turned }) {
  const options = models.map((model) => ({
    value: model.id,
    label: model.name,
    note: [model.litres ? say("litres", { n: model.litres }) : "", leftWords(model)].filter(Boolean).join(", "),
  }));
  return choice({ id: `model-${key}`, legend: say("which_bin"), options, draft, name: "model", problem: problems.model, changed: turned });
}

export const leftWords = ({ left }) => (left > 0 ? say("left", { n: left }) : say("left_none"));

function copayFields(model, { draft, problems, key, turned }) {
  if (!model?.copay_cents) return null;
  const options = SETTLED_BY.map((how) => ({ value: how, label: say(`copay_${how}`) }));
  const legend = say("copay", { amount: money(model.copay_cents) });
  const optional = say("optional");
  return [
    choice({ id: `copay-${key}`, legend, options, draft, name: "copay", problem: problems.copay, changed: turned }),
    ["cash", "cheque"].includes(draft.copay)
      ? field({ id: `receipt-${key}`, name: "receipt", label: say("receipt"), draft, optional, maxlength: 40 })
      : null,
    draft.copay === "waived"
      ? field({ id: `why-${key}`, name: "why", label: say("waived_why"), draft, problem: problems.why, maxlength: 300 })
      : null,
  ];
}

const reasonField = ({ draft, problems, key }) =>
  field({
    ...{ id: `reason-${key}`, name: "reason", tag: "textarea", label: say("exception_reason"), help: say("exception_help") },
    ...{ draft, problem: problems.reason, maxlength: 300 },
  });

const lotField = ({ draft, key }) =>
  field({ id: `lot-${key}`, name: "lot", label: say("lot"), draft, optional: say("optional"), maxlength: 40 });

/** What is missing, by field; nothing is sent until it is there. */
function missing(draft, model, standing) {
  const problems = {};
  const text = (name) => (draft[name] ?? "").trim();
  if (!model) problems.model = say("need_model");
  if (model?.copay_cents && !draft.copay) problems.copay = say("need_copay");
  if (model?.copay_cents && draft.copay === "waived" && !text("why")) problems.why = say("need_why");
  if (!standing.may && !text("reason")) problems.reason = say("need_reason");
  return problems;
}

async function give(door, person, standing) {
  const draft = draftOf(door, person);
  const model = chosen(door.view.models, draft);
  const problems = missing(draft, model, standing);
  door.ui.problems[person.key] = problems;
  const [first] = Object.keys(problems);
  if (first) return door.turned(firstField(first, person.key, draft, door.view.models));
  const exception = standing.may ? null : { reason: draft.reason.trim() };
  const lot = (draft.lot ?? "").trim();
  const body = { handout: newId(), ...named(person), model: model.id, copay: settled(draft, model), exception, ...(lot ? { lot } : {}) };
  if (!(await door.act("bin_given", body))) return;
  delete door.ui.drafts[person.key];
  door.announce(say("said_given", { who: person.name, model: model.name }));
  door.turned(`row-${person.key}`);
}

const firstField = (name, key, draft, models) =>
  ({ model: `model-${key}-${models[0]?.id}`, copay: `copay-${key}-cash` })[name] ?? `${name}-${key}`;

function settled(draft, model) {
  if (!model.copay_cents) return { how: "none", cents: 0, receipt: "", why: "" };
  const isPaid = draft.copay !== "waived";
  return {
    how: draft.copay,
    cents: isPaid ? model.copay_cents : 0,
    receipt: isPaid ? (draft.receipt ?? "").trim() : "",
    why: isPaid ? "" : draft.why.trim(),
  };
}
