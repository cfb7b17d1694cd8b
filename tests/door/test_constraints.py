"""Each rule of the Door's tables, broken through the ORM, answers with its sentence."""

import pytest
from django.core.exceptions import ValidationError
from django.db import DatabaseError, transaction

from outreach.door.models import Closing, Copay, DoorEvent
from tests.factories.door import TEN, make_device, make_door_pass, make_event, make_outcome
from tests.factories.staff import make_member
from tests.factories.workshops import make_workshop

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


def broken(record, sentence):
    """Both the check before saving and the database itself refuse the record."""
    with pytest.raises(ValidationError, match=sentence):
        record.validate_constraints()
    with pytest.raises(DatabaseError), transaction.atomic():
        record.save()


def changed(record, **differences):
    for name, value in differences.items():
        setattr(record, name, value)
    return record


def closing(**differences) -> Closing:
    facts = {
        "workshop": make_workshop(),
        "closed_at": TEN,
        "closed_by": make_member(),
        "people_came": 1,
        "people_missed": 0,
        "people_unlisted": 0,
    }
    return Closing(**facts | differences)


def test_a_pass_that_was_revoked_says_by_whom():
    broken(changed(make_door_pass(), revoked_at=TEN), "Say who revoked the pass")


def test_a_device_is_once_at_the_door_of_a_workshop():
    device = make_device()
    broken(changed(make_device(workshop=device.workshop), uuid=device.uuid), "already at the Door")


def test_a_device_is_let_in_by_a_pass_or_by_staff():
    broken(changed(make_device(), door_pass=None), "by a door pass or by someone who signed in")
    broken(changed(make_device(), staff_member=make_member()), "by a door pass or by someone who signed in")


def test_a_device_has_a_name_and_an_end():
    broken(changed(make_device(), by_name=""), "Give the name")
    broken(changed(make_device(), expires_at=TEN), "until a later instant")
    broken(changed(make_device(), revoked_at=TEN), "Say who revoked the device")


def test_a_device_gives_each_number_once():
    event = make_event()
    second = DoorEvent(device=event.device, seq=event.seq, id=make_device().uuid, received_at=TEN)
    broken(second, "already sent an event of that number")


def test_a_time_is_kept_by_both_clocks():
    event = DoorEvent(id=make_device().uuid, device=make_device(), seq=1, received_at=TEN, happened_at=TEN)
    broken(event, "A time by the device's clock has one by ours")


@pytest.mark.parametrize("change", ["update", "delete"])
def test_an_event_is_never_changed(change):
    event = make_event()
    with pytest.raises(DatabaseError, match="never changed or removed"), transaction.atomic():
        DoorEvent.objects.filter(pk=event.pk).update(kind="arrived") if change == "update" else event.delete()


def test_what_waits_says_what_for():
    broken(changed(make_outcome(), state="held"), "says what for")


def test_what_is_set_aside_says_why_and_by_whom():
    ruled = {"ruled_at": TEN, "ruled_by": make_member()}
    broken(changed(make_outcome(), state="set_aside", **ruled), "Say why it is set aside")
    broken(changed(make_outcome(), ruled_at=TEN), "Say who ruled")


def test_a_waived_copay_is_no_money():
    broken(Copay(event=make_event(), how="waived", cents=500), "no money taken")


@pytest.mark.parametrize(
    "difference", [{"cash_found_cents": 5}, {"cheques_noted_cents": 5}, {"bins_differ": True}]
)
def test_a_difference_is_explained(difference):
    broken(closing(**difference), "Say why what was counted differs")
    closing(**difference, difference_explained="a note was lost").save()


def test_closing_without_a_device_says_why():
    broken(closing(devices_left=1), "may still hold what happened")


def test_a_closing_is_never_changed():
    made = closing()
    made.save()
    with pytest.raises(DatabaseError, match="Open the workshop again"), transaction.atomic():
        Closing.objects.update(materials="nothing")
