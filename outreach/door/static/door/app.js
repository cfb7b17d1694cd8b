// The Door of one workshop: what is kept on the device, laid over the roster, drawn, and acted on.

import { makeEvent } from "./events.js";
import { fold } from "./fold.js";
import { byId } from "./dom.js";
import * as keep from "./keep.js";
import { installed, mayBeCleared, takeNewerFiles } from "./offline.js";
import { drawScreen } from "./screen.js";
import { Sync } from "./sync.js";
import { load, say } from "./words.js";

const CHANNEL = "loambook-door";

class Door {
  constructor(workshop) {
    this.workshop = workshop;
    Object.assign(this, { opening: null, roster: null, rows: [], view: null, openings: [], finished: false });
    this.link = { state: "starting" };
    this.offline = { can: null, mayBeCleared: false };
    this.failure = "";
    // What the person at the screen has opened and typed; `turn` counts what changes its shape.
    this.ui = { search: "", open: null, walkIn: false, more: false, drafts: {}, problems: {}, refused: 0, turn: 0 };
    this.sync = new Sync({ workshop, told: (link) => this.linked(link), changed: () => this.changed() });
    this.others = new BroadcastChannel(CHANNEL);
    this.others.onmessage = () => this.refresh();
  }

  async begin() {
    await takeNewerFiles();
    await this.refresh();
    if (!this.opening) return;
    installed().then(async (can) => {
      this.offline = { can, mayBeCleared: await mayBeCleared() };
      this.draw();
    });
    navigator.storage?.persist?.();
    this.sync.soon();
    setInterval(() => this.refresh(), 30_000);
  }

  linked(link) {
    if (JSON.stringify(link) === JSON.stringify(this.link)) return;
    this.link = link;
    this.draw();
  }

  async changed() {
    await this.refresh();
    this.others.postMessage("changed");
  }

  /** Read what is kept and draw it; an opening past its time loses its roster, also without a network. */
  async refresh() {
    const kept = await keep.everything(this.workshop);
    if (kept.opening && !kept.opening.ended && this.isPast(kept.opening)) {
      await keep.end(this.workshop, "");
      return this.refresh();
    }
    if (!kept.opening) this.openings = await keep.openings();
    Object.assign(this, kept);
    this.view = fold({ roster: this.roster, live: this.opening?.live, rows: this.rows });
    if (!this.opening || this.opening.ended) this.nameNobody();
    if (this.opening?.ended && this.view.unsent === 0) await this.leave("ended_clean");
    this.draw();
  }

  isPast({ expires_at, offset_ms }) {
    return expires_at && Date.now() + (offset_ms ?? 0) >= Date.parse(expires_at);
  }

  /** Keep an event, show it, and send it when there is a connection. Returns the event, or null if it was not kept. */
  async act(kind, body) {
    let event = null;
    try {
      const now = Date.now();
      event = await keep.record(this.workshop, (opening, seq) => makeEvent({ opening, seq, kind, body, now }));
      this.failure = "";
    } catch (error) {
      console.warn(error);
      this.failure = say("storage_failed", { why: error.message || error.name });
    }
    await this.changed();
    if (event) this.sync.soon();
    return event;
  }

  /** Take roster, token and all rows off the device; only when everything was sent. */
  async finish() {
    await this.sync.soon();
    const { opening, rows } = await keep.everything(this.workshop);
    const unsent = rows.filter((row) => row.state === "unsent").length;
    this.ui.refused = unsent;
    if (unsent || !opening) return this.turned();
    await this.sync.goodbye(opening);
    await this.leave("finished");
  }

  async leave(words) {
    try {
      await keep.wipe(this.workshop);
    } catch (error) {
      if (!(error instanceof keep.StillUnsent)) throw error;
      this.ui.refused = error.count;
      return this.turned();
    }
    clearTimeout(this.sync.timer);
    Object.assign(this, { opening: null, roster: null, rows: [], finished: words });
    this.nameNobody();
    this.view = fold({ roster: null, live: null, rows: [] });
    this.others.postMessage("changed");
    this.turned();
  }

  /** Nothing that was said or typed of a resident stays on a screen whose roster is gone. */
  nameNobody() {
    Object.assign(this.ui, { search: "", open: null, walkIn: false, more: false, drafts: {}, problems: {} });
    this.announce("");
    byId("resident").close();
  }

  /** Something the person did changed the shape of the screen. */
  turned(focus = null) {
    this.ui.turn += 1;
    this.draw();
    if (focus) byId(focus)?.focus();
  }

  announce(words) {
    byId("said").textContent = words;
  }

  draw() {
    if (this.view) drawScreen(this);
  }
}

const workshop = Number(/^\/door\/(\d+)\/$/.exec(location.pathname)?.[1] ?? 0);
await load(["en", "es"]);
await new Door(workshop).begin();
