"""Any order and any split of the same events, before a person has ruled, come to the same end."""

import datetime

import pytest
from django.db import transaction
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from outreach.bins.models import Handout, Promise, Stay, StockBalance
from outreach.door.models import Copay, EventOutcome
from outreach.door.receiving import Delivery, receive
from outreach.households.models import Household, Participant
from outreach.workshops.models import Registration, WaiverAcceptance, Workshop
from tests.factories.bins import make_bin_model, make_handout, make_rule
from tests.factories.door import TEN, Phone, make_device, make_table
from tests.factories.households import make_household, make_participant
from tests.factories.places import make_jurisdiction, make_served_place
from tests.factories.workshops import make_registration, make_waiver_text, make_workshop

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]

MINUTES = st.integers(0, 90)
STREETS = ("12 Reed Street", "12 reed st.", "12 Reed St")
NAMES = ("Ada Lindqvist", "LINDQVIST, Ada", "Bo Ek")


class Park:
    """A workshop with its list, a table with two bins, and two devices that may except or not."""

    def __init__(self) -> None:
        self.jurisdiction = make_jurisdiction(name="Quillby")
        make_served_place(jurisdiction=self.jurisdiction, city_name="Quillby", zip_code="00071")
        self.workshop = make_workshop(seats=30, jurisdiction=self.jurisdiction)
        self.mesh, self.can = make_bin_model(family="mesh"), make_bin_model(family="lidded_can")
        make_table(self.workshop, bins=2, bin_model=self.mesh)
        make_waiver_text()
        make_rule()
        homes = [make_household(jurisdiction=self.jurisdiction) for _ in range(3)]
        self.people = [make_participant(household=home) for home in (homes[0], homes[0], homes[1], homes[2])]
        states = (
            {"state": "booked"},
            {"state": "standby", "standby_place": 1},
            {"state": "booked"},
            {"state": "missed"},
        )
        for person, place in zip(self.people, states, strict=True):
            make_registration(workshop=self.workshop, participant=person, **place)
        self._keep_a_bin_for(homes[0])
        # One of them had a bin before, and another took one today that is on paper already.
        make_handout(household=homes[1], bin_model=self.mesh, handed_on=datetime.date(2024, 5, 9))
        make_handout(household=homes[2], bin_model=self.mesh, workshop=self.workshop)
        self.phones = [
            Phone(make_device(workshop=self.workshop, may_except=may_except)) for may_except in (False, True)
        ]

    def _keep_a_bin_for(self, home: Household) -> None:
        Promise.objects.create(household=home, counted_under=home, workshop=self.workshop, made_at=TEN)


@st.composite
def happenings(draw):
    """What two devices do in an hour and a half, as recipes: who, what, when, and which of it is undone."""
    kinds = st.sampled_from(["arrived", "walked_in", "waiver", "bin", "bin", "bin_of_walk_in", "headcount"])
    recipe = st.tuples(
        kinds, st.integers(0, 1), MINUTES, st.integers(0, 3), st.integers(0, 2), st.integers(1, 3)
    )
    done = draw(st.lists(recipe, min_size=2, max_size=7))
    undone = draw(st.lists(st.tuples(st.integers(0, len(done) - 1), MINUTES, st.integers(0, 1)), max_size=3))
    order = draw(
        st.permutations(range(len(done) + len(undone) + sum(r[0] == "bin_of_walk_in" for r in done)))
    )
    cuts = draw(st.sets(st.integers(1, len(order)), max_size=3))
    return done, undone, order, sorted(cuts)


def events_of(park, done, undone):
    events, named = [], []
    for kind, phone_number, minute, person, variant, party in done:
        phone = park.phones[phone_number]
        at = TEN + datetime.timedelta(minutes=minute)
        who = park.people[person]
        match kind:
            case "arrived":
                made = [phone.arrived(who, party=party, at=at)]
            case "walked_in":
                made = [_walk_in(phone, variant, party, at)]
            case "waiver":
                accepted = {"version": 1, "language": "en", "typed_name": f"{who} {variant}"}
                made = [phone.event("waiver_accepted", participant=who.pk, at=at, **accepted)]
            case "bin":
                made = [_bin(park, phone, {"participant": who.pk}, variant, at)]
            case "bin_of_walk_in":
                walk_in = _walk_in(phone, variant, party, at)
                made = [walk_in, _bin(park, phone, {"person": walk_in["body"]["person"]}, variant, at)]
            case _:
                made = [phone.event("headcount", people=party, at=at)]
        named.append(made[-1])
        events += [(phone_number, event) for event in made]
    for which, minute, phone_number in undone:
        at = TEN + datetime.timedelta(minutes=minute)
        events.append((phone_number, park.phones[phone_number].undone(named[which], at=at)))
    return events


def _walk_in(phone, variant, party, at):
    said = {"unit": "", "city": "Quillby", "zip": "00071", "party": party, "at": at}
    said |= {"email": f"ada{variant}@example.org" if variant else "", "phone": f"555-555-010{variant}"}
    return phone.walked_in(NAMES[variant], STREETS[variant], **said)


def _bin(park, phone, who, variant, at):
    model = park.can if variant == 2 else park.mesh
    copay = (
        {"how": "cash", "cents": 500 * variant}
        if variant
        else {"how": "waived", "cents": 0, "why": "hardship"}
    )
    exception = {"reason": "a big garden"} if variant == 1 else None
    return phone.bin_given(who, model, copay=copay, exception=exception, at=at)


def deliver(park, events, order, cuts):
    at = TEN + datetime.timedelta(hours=3)
    sent = [events[index] for index in order]
    for start, end in zip([0, *cuts], [*cuts, len(sent)], strict=True):
        for number, phone in enumerate(park.phones):
            mine = [event for phone_number, event in sent[start:end] if phone_number == number]
            receive(device=phone.device, delivery=Delivery(events=mine), at=at)


def end_state() -> dict:
    """Everything in force, named by events and words instead of numbers."""
    people = Participant.objects.filter(pk__in=EventOutcome.objects.values("participant"))
    return {
        "outcomes": dict(EventOutcome.objects.values_list("event", "state")),
        "came": sorted(
            Registration.objects.exclude(state="cancelled").values_list(
                "participant__household__street_key",
                "participant__name_key",
                "state",
                "arrived_at",
                "standby_place",
                "came_with",
            ),
            key=str,
        ),
        "people": sorted(people.values_list("full_name", "email", "phone", "language", "household__street")),
        "waivers": sorted(
            WaiverAcceptance.objects.values_list("participant", "typed_name", "accepted_at", "event_id")
        ),
        "handouts": sorted(
            (
                str(one.event_id if one.entered_by or one.entered_at > TEN else one.pk),
                one.household.street_key,
                one.slot,
                one.copay_cents,
                one.exception and (one.exception.kind, one.exception.about, one.exception.reason),
                one.stock_exception is not None,
            )
            for one in Handout.objects.standing().select_related("exception", "stock_exception", "household")
        ),
        "stays": sorted(Stay.objects.values_list("household__street_key", "family", "from_day", "until_day")),
        "balances": sorted(
            StockBalance.objects.exclude(on_hand=0).values_list("bin_model", "place", "on_hand", "excused")
        ),
        "promises": sorted(Promise.objects.values_list("household", "state", "handout__event_id"), key=str),
        "money": sorted(Copay.objects.at(Workshop.objects.get()).standing().values_list("how", "cents")),
        "workshop": Workshop.objects.values("state", "booked_people", "headcount_unlisted").get(),
    }


def forget() -> None:
    transaction.set_rollback(True)


# Without shrinking: a case takes a second, and the smallest would take minutes to find.
@settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=list(HealthCheck),
    phases=[Phase.reuse, Phase.generate],
)
@given(happenings())
def test_any_order_and_any_split_come_to_the_same_end(drawn):
    done, undone, order, cuts = drawn
    ends = []
    with transaction.atomic():
        park = Park()
        events = events_of(park, done, undone)
        for arrival, split in (
            (sorted(order), []),
            (order, cuts),
            (list(reversed(order)), list(range(1, len(order)))),
        ):
            with transaction.atomic():
                deliver(park, events, arrival, split)
                ends.append(end_state())
                deliver(park, events, order, [])
                assert end_state() == ends[-1], "delivered again"
                forget()
        forget()

    assert ends[1] == ends[0]
    assert ends[2] == ends[0]
