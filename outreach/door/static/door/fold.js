// What the screen shows: the roster as it was fetched, with everything done here laid over it. Pure: no clock, no
// storage. The counts of the server (`live`) hold what it has stored; people of the roster may be older than that,
// so `stored` rows still change people but no longer change counts.

import { sameAddress } from "./search.js";

const COUNTED = new Set(["stored", "settled"]);

export function fold({ roster, live, rows }) {
  const state = begin(roster);
  const undone = new Map(rows.filter((row) => row.kind === "undone").map((row) => [row.body.event, row]));
  for (const row of rows) {
    const back = undone.get(row.id);
    if (row.state === "settled") {
      if (back && back.state !== "settled") takeBack(state, row);
    } else if (!back) {
      lay(state, row);
    }
    note(state, row, back);
  }
  count(state, live, rows, undone);
  return finished(state, rows);
}

export const keyOf = (body) => (body.participant != null ? `p${body.participant}` : `w${body.person}`);

function begin(roster) {
  const households = new Map((roster?.households ?? []).map((one) => [one.id, { ...one, bins: [...one.bins] }]));
  const people = new Map(
    (roster?.people ?? []).map((one) => {
      const came = one.place === "attended" || one.place === "walk_in";
      return [`p${one.participant}`, { ...one, key: `p${one.participant}`, came, given: [], rows: [] }];
    }),
  );
  return { roster, households, people, walkIns: new Map(), history: [] };
}

const APPLY = {
  walked_in(state, { body }) {
    const household = [...state.households.values()].find((one) =>
      sameAddress(one, { address: body.street, unit: body.unit }),
    );
    const person = {
      ...{ key: `w${body.person}`, participant: null, person: body.person, registration: null },
      ...{ name: body.name, address: body.street, unit: body.unit, city: body.city, zip: body.zip },
      ...{ household: household?.id ?? null, place: "walk_in", came: true, party: body.party },
      ...{ language: body.language, waiver: null, code: "", promised: false, given: [], rows: [] },
    };
    state.people.set(person.key, person);
  },
  arrived(state, { body }) {
    change(state, body, (person) => Object.assign(person, { came: true, place: "attended", party: body.party }));
  },
  waiver_accepted(state, { body, happened_at }) {
    change(state, body, (person) => Object.assign(person, { waiver: happened_at, acceptedHere: true }));
  },
  bin_given(state, { body, id }) {
    change(state, body, (person) => {
      person.given.push({ event: id, ...body });
      const household = state.households.get(person.household);
      if (household) household.givenHere = body.model;
    });
  },
  headcount() {},
  undone() {},
};

// What the roster already shows of an event that was undone since.
const TAKE_BACK = {
  arrived(state, { body }) {
    change(state, body, (person) => Object.assign(person, { came: false, place: "booked" }));
  },
  walked_in(state, { body }) {
    const person = personOf(state, body);
    if (person) state.people.delete(person.key);
  },
  waiver_accepted(state, { body }) {
    change(state, body, (person) => Object.assign(person, { waiver: null }));
  },
  bin_given(state, { body }) {
    change(state, body, (person) => {
      const household = state.households.get(person.household);
      if (household) household.takenBack = true;
    });
  },
};

const lay = (state, row) => APPLY[row.kind]?.(state, row);
const takeBack = (state, row) => TAKE_BACK[row.kind]?.(state, row);

function change(state, body, how) {
  const person = personOf(state, body);
  if (person) how(person);
}

/** The person an event is about. A walk-in that the roster has by now is found by the id made on the device. */
function personOf(state, body) {
  const direct = state.people.get(keyOf(body));
  if (direct || body.person == null) return direct;
  for (const person of state.people.values()) if (person.person === body.person) return person;
  return undefined;
}

function note(state, row, back) {
  const person = row.kind === "undone" || row.kind === "headcount" ? null : personOf(state, row.body);
  state.history.push({ row, undone: Boolean(back), who: person?.name ?? row.body.name ?? "" });
  if (person && !back) person.rows.push(row);
}

function count(state, live, rows, undone) {
  state.left = {};
  for (const model of state.roster?.models ?? []) state.left[model.id] = live?.bins_left?.[model.id] ?? model.left;
  state.peopleIn = live?.people_in ?? state.roster?.live?.people_in ?? 0;
  state.headcount = 0;
  for (const row of rows) {
    const back = undone.get(row.id);
    // 1: it happened; 0: it did not. On the left as it is, on the right as the server's counts have it.
    const step = (back ? 0 : 1) - (COUNTED.has(row.state) && !(back && COUNTED.has(back.state)) ? 1 : 0);
    if (row.kind === "bin_given" && row.body.model in state.left) state.left[row.body.model] -= step;
    if (row.kind === "arrived" || row.kind === "walked_in") state.peopleIn += step * (row.body.party ?? 1);
    if (row.kind === "headcount") {
      state.peopleIn += step * row.body.people;
      if (!back) state.headcount += row.body.people;
    }
  }
}

function finished(state, rows) {
  const people = [...state.people.values()].sort((one, other) => one.name.localeCompare(other.name));
  const unsent = rows.filter((row) => row.state === "unsent").length;
  const held = rows.filter((row) => row.state === "held").length;
  return {
    people,
    households: state.households,
    models: (state.roster?.models ?? []).map((model) => ({ ...model, left: state.left[model.id] })),
    binsLeft: Object.values(state.left).reduce((sum, left) => sum + left, 0),
    peopleIn: state.peopleIn,
    headcount: state.headcount,
    history: state.history,
    unsent,
    held,
  };
}
