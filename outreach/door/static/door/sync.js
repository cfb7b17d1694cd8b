// Sending what was done, in order, and fetching the roster: one tab of a browser at a time, with back-off.

import { SCHEMA, asSent, measuredOffset } from "./events.js";
import * as keep from "./keep.js";

const AT_ONCE = 50;
const PATIENCE_MS = 20_000;
const FIRST_PAUSE_MS = 2_000;
const LONGEST_PAUSE_MS = 60_000;
const BETWEEN_LOOKS_MS = 30_000;
const API = "/api/door/";

class Unreachable extends Error {}
class Refused extends Error {
  constructor(status, sentence) {
    super(sentence || String(status));
    Object.assign(this, { status, sentence });
  }
}

/** Where browsers have no locks (a page without HTTPS), at least one round of this tab at a time. */
const alone = (name, work) => (navigator.locks ? navigator.locks.request(name, work) : inTurn(work));
let last = Promise.resolve();
const inTurn = (work) => (last = last.then(work, work));

export class Sync {
  /** `told` is called with {state: "connected" | "sending" | "unreachable" | "trouble" | "unknown", status}. */
  constructor({ workshop, told, changed }) {
    Object.assign(this, { workshop, told, changed, pause: FIRST_PAUSE_MS, timer: null, running: null, again: false });
    window.addEventListener("online", () => this.soon());
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && this.soon());
  }

  /** Send now, or right after the round that is under way. */
  soon() {
    this.again = Boolean(this.running);
    return (this.running ??= this.round().finally(() => {
      this.running = null;
      if (this.again) this.soon();
    }));
  }

  later(milliseconds) {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.soon(), milliseconds);
  }

  async round() {
    this.again = false;
    clearTimeout(this.timer);
    try {
      await alone(`loambook-door-${this.workshop}`, () => this.exchange());
      this.pause = FIRST_PAUSE_MS;
      this.later(BETWEEN_LOOKS_MS);
    } catch (error) {
      if (!(error instanceof Unreachable || error instanceof Refused)) console.error(error);
      this.tellOf(error);
      this.later(this.pause * (0.75 + Math.random() / 2));
      this.pause = Math.min(this.pause * 2, LONGEST_PAUSE_MS);
    }
    await this.changed();
  }

  tellOf(error) {
    if (error instanceof Unreachable) this.told({ state: "unreachable" });
    else if (error.status === 401 || error.status === 403) this.told({ state: "unknown" });
    else this.told({ state: "trouble", status: error.status ?? error.message });
  }

  async exchange() {
    const { opening } = await keep.everything(this.workshop);
    if (!opening) return;
    await this.sendAll(opening);
    if (!opening.ended) await this.fetchRoster();
    this.told({ state: "connected" });
  }

  async sendAll(opening) {
    for (;;) {
      const { rows } = await keep.everything(this.workshop);
      const unsent = rows.filter((row) => row.state === "unsent").slice(0, AT_ONCE);
      // What is held may have been released since; asking again is safe, and says so.
      const batch = unsent.length ? unsent : opening.ended ? [] : this.heldToAsk(rows);
      if (batch.length === 0) return;
      if (unsent.length) this.told({ state: "sending" });
      const beyond = rows.filter((row) => row.state === "unsent").length - unsent.length;
      const named = await this.sendBatch(opening, batch, beyond);
      await this.changed();
      if (named === 0) throw new Refused(200, "the server named none of them");
      if (unsent.length === 0) return;
    }
  }

  heldToAsk(rows) {
    return rows.filter((row) => row.state === "held").slice(0, AT_ONCE);
  }

  async sendBatch(opening, batch, unsent) {
    const sent_at = new Date().toISOString();
    const heard = await this.ask(opening, "events", {
      method: "POST",
      body: JSON.stringify({ schema: SCHEMA, sent_at, unsent, events: batch.map(asSent) }),
    });
    const named = await keep.noteAnswers(this.workshop, heard.told.answers ?? {});
    const live = heard.told.live;
    await keep.changeOpening(this.workshop, { offset_ms: heard.offset, ...(live && !opening.ended ? { live } : {}) });
    return named;
  }

  async fetchRoster() {
    const { opening, rows } = await keep.everything(this.workshop);
    const stored = new Set(rows.filter((row) => row.state === "stored").map((row) => row.id));
    try {
      const heard = await this.ask(opening, "roster", {
        headers: opening.etag ? { "If-None-Match": opening.etag } : {},
      });
      if (heard.status === 304) return await keep.rosterUnchanged(this.workshop, stored);
      await keep.saveRoster(this.workshop, heard.told, stored);
      const { venue, held_on } = heard.told.workshop;
      await keep.changeOpening(this.workshop, {
        ...{ etag: heard.etag, offset_ms: heard.offset, live: heard.told.live ?? null, title: `${venue}, ${held_on}` },
      });
    } catch (error) {
      if (!(error instanceof Refused) || ![401, 403, 410].includes(error.status)) throw error;
      await keep.end(this.workshop, error.sentence);
    }
  }

  /** One request with the device's token; the answer with its offset, or why there is none. */
  async ask(opening, path, options = {}) {
    const askedAt = Date.now();
    const headers = { Authorization: `Bearer ${opening.token}`, "Content-Type": "application/json", ...options.headers };
    let answer;
    let told = null;
    try {
      const signal = AbortSignal.timeout(PATIENCE_MS);
      answer = await fetch(API + path, {
        ...{ ...options, headers, signal, credentials: "omit", cache: "no-store", redirect: "error" },
      });
      if (![204, 304].includes(answer.status)) told = await answer.json().catch(() => null);
    } catch (error) {
      throw new Unreachable(String(error));
    }
    if (answer.status === 304 || answer.status === 204) return { status: answer.status };
    if (!answer.ok || told === null) throw new Refused(answer.status, told?.sentence);
    const offset = measuredOffset({ serverNow: told.server_now, askedAt, heardAt: Date.now() });
    return { status: answer.status, told, offset, etag: answer.headers.get("ETag") ?? "" };
  }

  /** Tell the server that this device is done; without a network the pass ends by itself that night. */
  async goodbye(opening) {
    await this.ask(opening, "goodbye", { method: "POST", body: "{}" }).catch((error) => {
      if (!(error instanceof Unreachable || error instanceof Refused)) throw error;
    });
  }
}
