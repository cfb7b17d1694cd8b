"""A stand-in for the server of the Door, so that the screen is tested alone: it keeps events and can be cut off."""

import datetime
import json
from collections.abc import Iterator
from typing import Any
from urllib.parse import urlsplit

from playwright.sync_api import BrowserContext, Page, Route

WORKSHOP = 7
NOW = datetime.datetime.now(datetime.UTC)
RULE = {
    "en": "Since 1 January 2026 the rule allows 1 subsidised bin per household, ever.",
    "es": "Desde el 1 de enero de 2026 la regla permite 1 compostero subvencionado por hogar.",
}
MAY = {
    "may": True,
    "kind": "",
    "sentence": {
        "en": f"This household may have a bin. {RULE['en']}",
        "es": f"Este hogar puede recibir un compostero. {RULE['es']}",
    },
}
HAD_ONE = {
    "may": False,
    "kind": "second_bin",
    "sentence": {
        "en": f"The household had its bin on 9 May 2026. {RULE['en']}",
        "es": f"El hogar recibió su compostero el 9 de mayo de 2026. {RULE['es']}",
    },
}
WAIVER = {
    "version": 3,
    "text": {
        "en": "I take part at my own risk.\n\nI lift with my knees and wash my hands afterwards.",
        "es": "Participo bajo mi propia responsabilidad.\n\nLevanto con las rodillas y me lavo las manos al final.",
    },
}
CONSENT = {
    "version": 1,
    "text": {
        "en": "You may ask us later how the composting goes",
        "es": "Pueden preguntarnos después cómo va la composta",
    },
}
MESH = {"id": 1, "name": "Mesh bin 110 gal", "family": "mesh", "litres": 416, "copay_cents": 0, "left": 11}
TUMBLER = {
    "id": 2,
    "name": "Tumbler 50 gal",
    "family": "tumbler",
    "litres": 190,
    "copay_cents": 1500,
    "left": 4,
}
STREETS = ("12 Alder St", "14 Alder St", "3 Ñandú Ct", "29 Bellweather Cres")
NAMES = ("Amara Boateng", "Bram Oyelaran", "Íñigo Peña", "Philippa Ravensworth")


def roster(**differences: Any) -> dict[str, Any]:
    """Four people of four households, the last of whom had a bin before; the third reads Spanish."""
    people = [
        {
            **{"registration": number, "participant": 100 + number, "household": 10 + number, "name": name},
            **{"address": street, "unit": "", "place": "booked", "party": 1, "waiver": None},
            **{"language": "es" if number == 3 else "en", "code": f"K{number}R", "promised": number == 1},
            "person": None,
        }
        for number, (name, street) in enumerate(zip(NAMES, STREETS, strict=True), 1)
    ]
    households = [
        {
            **{"id": 10 + number, "address": street, "unit": "", "served": True},
            **{"standing": HAD_ONE if number == 4 else MAY},
            **{"bins": ["mesh bin, 9 May 2026"] if number == 4 else []},
        }
        for number, street in enumerate(STREETS, 1)
    ]
    return {
        "server_now": NOW.isoformat(),
        "workshop": {
            **{"id": WORKSHOP, "name": "Class at Orchard House", "venue": "Orchard House"},
            **{
                "held_on": "2026-05-09",
                "starts": "10:30",
                "ends": "12:00",
                "kind": "class",
                "languages": ["en"],
            },
        },
        "waiver": WAIVER,
        "consent": CONSENT,
        "models": [MESH, TUMBLER],
        "people": people,
        "households": households,
        "places_served": {"zips": ["00071"], "cities": ["Quillby"]},
        "copays": ["cash", "cheque", "waived"],
        **differences,
    }


class DoorApi:
    """Answers what a device asks; `is_down` cuts it off, `ended` ends the pass, `holds` keeps events for release."""

    def __init__(self, **differences: Any) -> None:
        self.roster = roster(**differences)
        self.events: dict[str, dict[str, Any]] = {}
        self.order: list[str] = []
        self.asked: list[str] = []
        self.is_down = False
        self.loses_answers = False
        self.ended = ""
        self.unknown = False
        self.holds = False
        self.behind_ms = 0

    def answer_in(self, context: BrowserContext) -> None:
        context.route("**/api/door/**", self._answer)

    def kinds(self) -> list[str]:
        return [self.events[one]["kind"] for one in self.order]

    def bodies(self, kind: str) -> Iterator[dict[str, Any]]:
        return (self.events[one]["body"] for one in self.order if self.events[one]["kind"] == kind)

    def _standing(self, kind: str) -> list[dict[str, Any]]:
        undone = {body["event"] for body in self.bodies("undone")}
        return [e["body"] for e in self.events.values() if e["kind"] == kind and e["id"] not in undone]

    def _answer(self, route: Route) -> None:
        path = urlsplit(route.request.url).path.removeprefix("/api/door/")
        self.asked.append(path)
        if self.is_down:
            return route.abort("connectionrefused")
        status, told = getattr(self, f"_{path}")(route)
        if self.loses_answers:
            return route.abort("connectionreset")
        return route.fulfill(status=status, body=json.dumps(told), content_type="application/json")

    def _now(self) -> str:
        return (
            datetime.datetime.now(datetime.UTC) - datetime.timedelta(milliseconds=self.behind_ms)
        ).isoformat()

    def _live(self) -> dict[str, Any]:
        given = [body["model"] for body in self._standing("bin_given")]
        left = {model["id"]: model["left"] - given.count(model["id"]) for model in self.roster["models"]}
        came = [body["party"] for kind in ("arrived", "walked_in") for body in self._standing(kind)]
        came += [body["people"] for body in self._standing("headcount")]
        return {"people_in": sum(came), "bins_left": left, "exceptions": 0, "devices_unsent": 0}

    def _devices(self, route: Route) -> tuple[int, Any]:
        asked = json.loads(route.request.post_data or "{}")
        if asked["pass"] != "FERN-2Q":
            return 403, {"sentence": "This pass is not known here, or it has ended. Ask for a new one."}
        return 201, {
            **{"device": asked["device"], "token": "t", "workshop": WORKSHOP, "by": asked["name"]},
            **{"may_except": False, "expires_at": in_hours(10), "server_now": self._now()},
        }

    def _roster(self, _route: Route) -> tuple[int, Any]:
        if self.ended:
            return 410, {"sentence": self.ended}
        people = [dict(person) for person in self.roster["people"]]
        for person in people:
            if any(body.get("participant") == person["participant"] for body in self._standing("arrived")):
                person["place"] = "attended"
        people += [_as_listed(number, body) for number, body in enumerate(self._standing("walked_in"), 190)]
        return 200, {**self.roster, "people": people, "server_now": self._now(), "live": self._live()}

    def _events(self, route: Route) -> tuple[int, Any]:
        if self.unknown:
            return 401, {"sentence": "This device is not known here."}
        answers = {}
        for event in json.loads(route.request.post_data or "{}")["events"]:
            if event["id"] not in self.events:
                self.order.append(event["id"])
            self.events[event["id"]] = event
            answers[event["id"]] = {"state": "held" if self.holds or self.ended else "stored", "words": ""}
        return 200, {"server_now": self._now(), "answers": answers, "live": self._live()}

    def _goodbye(self, _route: Route) -> tuple[int, Any]:
        return 204, None


def _as_listed(number: int, body: dict[str, Any]) -> dict[str, Any]:
    """A walk-in as the roster has them later: with a number, and with the one that the device gave."""
    said = {key: body[key] for key in ("person", "name", "unit", "party", "language")}
    more = {"participant": number, "registration": number, "household": None, "address": body["street"]}
    return {**said, **more, "place": "walk_in", "waiver": None, "code": "", "promised": False}


def in_hours(hours: float) -> str:
    return (datetime.datetime.now(datetime.UTC) + datetime.timedelta(hours=hours)).isoformat()


OPEN = """async (opening) => {
  const keep = await import("/static/door/keep.js");
  await keep.saveOpening(opening);
}"""


def open_door(page: Page, base: str, **differences: Any) -> Page:
    """A page of the Door whose device holds a pass already."""
    opening = {
        **{"device": "00000000-0000-4000-8000-000000000007", "token": "t", "workshop": WORKSHOP},
        **{"by": "Fern Adeyemi", "may_except": False, "expires_at": in_hours(10), "offset_ms": 0},
        **differences,
    }
    page.goto(f"{base}/door/{WORKSHOP}/")
    page.evaluate(OPEN, opening)
    page.goto(f"{base}/door/{WORKSHOP}/")
    return page
