// Making events: an id of our own, the device's clock as it is, and how far it was off at the last contact.

export const SCHEMA = 1;

/** A version 4 UUID, also where the page is not served over HTTPS and randomUUID is missing. */
export function newId() {
  if (crypto.randomUUID) return crypto.randomUUID();
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}

export function makeEvent({ opening, seq, kind, body, now, id = newId() }) {
  return {
    id,
    seq,
    schema: SCHEMA,
    kind,
    workshop: opening.workshop,
    happened_at: new Date(now).toISOString(),
    offset_ms: opening.offset_ms ?? 0,
    by: opening.by,
    body,
  };
}

/** The envelope as the server reads it, without what the device notes beside it. */
export function asSent({ id, seq, schema, kind, workshop, happened_at, offset_ms, by, body }) {
  return { id, seq, schema, kind, workshop, happened_at, offset_ms, by, body };
}

/** Server minus device clock, from one exchange: the server answered somewhere between asking and hearing. */
export function measuredOffset({ serverNow, askedAt, heardAt }) {
  return Math.round(Date.parse(serverNow) - (askedAt + heardAt) / 2);
}

/** How a person is named in an event: by the roster's number, or by the walk-in made here. */
export const named = (person) =>
  person.participant != null ? { participant: person.participant } : { person: person.person };
