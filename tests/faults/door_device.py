"""One device in a process of its own: does what it is told at the Door of a workshop, and sends until all is named.

`python -m tests.faults.door_device PORT < plan.json` with `{"token", "workshop", "by", "acts", "seed"}`; prints what
it sent and what it was answered. An act is `{"kind", "body"}`; a tenth of all batches is delivered twice.
With `"calmly"` it sends one at a time, once; with `"path"` it sends to another address than the Door's.
"""

import http.client
import json
import random
import sys
import time
import uuid
from datetime import UTC, datetime

PATIENCE_SECONDS = 30
GIVE_UP_SECONDS = 1800


class Device:
    """Its queue in order, and what the server said."""

    def __init__(self, port: int, plan: dict) -> None:
        self.port, self.plan, self.is_calm = port, plan, plan.get("calmly", False)
        self.chance = random.Random(plan["seed"])
        self.queue = [self.event(number, act) for number, act in enumerate(plan["acts"], start=1)]
        self.said = {
            "sent": [event["id"] for event in self.queue],
            "bad": [],
            "seconds": [],
            "cut_off": 0,
            "held": 0,
        }

    def event(self, number: int, act: dict) -> dict:
        return {
            "id": str(uuid.UUID(int=self.chance.getrandbits(128), version=4)),
            "seq": number,
            "schema": 1,
            "workshop": self.plan["workshop"],
            "happened_at": datetime.now(UTC).isoformat(),
            "offset_ms": 0,
            "by": self.plan["by"],
            **act,
        }

    def deliver_all(self) -> dict:
        until = time.monotonic() + GIVE_UP_SECONDS
        while self.queue and time.monotonic() < until:
            batch = self.queue[: 1 if self.is_calm else self.chance.choice((1, 1, 1, 2, 5))]
            answers = self.send(batch)
            if answers is not None and not self.is_calm and self.chance.random() < 0.1:
                self.send(batch)
            self.queue = [event for event in self.queue if event["id"] not in (answers or {})]
        return self.said | {"left": len(self.queue)}

    def send(self, batch: list[dict]) -> dict | None:
        """The answers by number; none where the server was gone."""
        body = json.dumps({"schema": 1, "sent_at": datetime.now(UTC).isoformat(), "events": batch})
        headers = {"Authorization": f"Bearer {self.plan['token']}", "Content-Type": "application/json"}
        begun = time.monotonic()
        try:
            connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_SECONDS)
            connection.request("POST", self.plan.get("path", "/api/door/events"), body, headers)
            answer = connection.getresponse()
            text = answer.read().decode()
        except (OSError, http.client.HTTPException):
            self.said["cut_off"] += 1
            time.sleep(self.chance.uniform(0.05, 0.3))
            return None
        finally:
            connection.close()
        self.said["seconds"].append(time.monotonic() - begun)
        if answer.status != 200 or "locked" in text:
            self.said["bad"].append(f"{answer.status}: {text[:300]}")
            return None
        answers = json.loads(text)["answers"]
        self.said["held"] += sum(told["state"] == "held" for told in answers.values())
        return answers


if __name__ == "__main__":
    print(json.dumps(Device(int(sys.argv[1]), json.load(sys.stdin)).deliver_all()))
