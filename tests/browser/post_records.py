"""A mail, a call, a letter and a new wording on record, and where the page of each is."""

from collections.abc import Iterator
from typing import Any

from outreach.households.models import Participant
from outreach.post import kinds, posting, texts, unsubscribing
from outreach.post.kinds import Text
from outreach.post.models import Message
from outreach.post.posting import Addressee

KIND = "workshops.reminder"


def make_post(season: Any) -> Iterator[tuple[str, dict[str, Any]]]:
    """Messages to people on record, by each way, one of them given up; a wording of our own."""
    person = Participant.objects.get(full_name="Philippa Ravensworth")
    home = (person.household.street, "Quillby 00071")
    ways = {
        "mail": {"email": person.email, "phone": person.phone, "postal_lines": home},
        "call": {"phone": person.phone, "postal_lines": home, "language": "es"},
        "letter": {"postal_lines": home},
        "lost": {},
    }
    made = {name: _post(name, person, season, **way) for name, way in ways.items()}
    kind = kinds.kind_of(KIND)
    wording = Text("Do you remember? $workshop", f"{kind.texts['en'].body}\n\n$link")
    texts.write(kind=KIND, language="en", text=wording, after=0, by=season.by, at=season.at)
    for name in ("message", "message_letter"):
        yield name, {"pk": made["mail"].pk}
    yield "text", {"key": KIND}
    yield "unsubscribe", {"token": unsubscribing.path_of(made["mail"]).rstrip("/").rsplit("/", 1)[1]}
    yield "call_outcome", {"pk": made["call"].pk}
    yield "message_step", {"pk": made["lost"].pk, "step": "leave"}


def _post(name: str, person: Participant, season: Any, *, language: str = "en", **way: Any) -> Message:
    return posting.post(
        kind=KIND,
        to=Addressee(name=person.full_name, language=language, number=person.pk, **way),
        values=kinds.kind_of(KIND).sample,
        dedupe_key=f"records:{name}",
        at=season.at,
        about_url="/workshops/",
    )
