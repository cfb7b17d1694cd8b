"""Every rule of the post that the database holds, broken through the ORM, with its sentence."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.db import DatabaseError, IntegrityError, transaction

from outreach.post.models import Message, TextVersion, Unsubscribed
from tests.factories.post import AT, make_message, make_text_version

pytestmark = [pytest.mark.django_db, pytest.mark.postgres, pytest.mark.usefixtures("known_kinds")]
HOUR = datetime.timedelta(hours=1)

BROKEN_MESSAGES = [
    ({"recipient_email": ""}, "An e-mail that waits needs an address"),
    ({"channel": "call"}, "A call that waits needs a phone number"),
    ({"channel": "letter"}, "A letter that waits needs a postal address"),
    ({"channel": "none"}, "Without an address or a phone a message cannot wait"),
    ({"body": ""}, "A message that waits must say something"),
    ({"state": "leased"}, "Only an e-mail that is being sent is held"),
    ({"lease_until_at": AT}, "Only an e-mail that is being sent is held"),
    (
        {"state": "leased", "channel": "call", "recipient_phone": "5", "lease_until_at": AT},
        "Only an e-mail that is being sent is held",
    ),
    ({"state": "given_up"}, "Say when a message was settled"),
    ({"settled_at": AT}, "Say when a message was settled"),
    ({"state": "said", "settled_at": AT}, "E-mails are sent, calls are said"),
    ({"state": "printed", "settled_at": AT}, "E-mails are sent, calls are said"),
    ({"state": "sent", "channel": "call", "settled_at": AT}, "E-mails are sent, calls are said"),
    ({"not_before": AT + HOUR, "useless_after": AT + HOUR}, "of no use any more before it may be sent"),
]


def refused(row, sentence):
    with pytest.raises(ValidationError, match=sentence):
        row.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        row.save()


@pytest.mark.parametrize(("differences", "sentence"), BROKEN_MESSAGES)
def test_a_broken_message_is_refused_by_form_and_database(differences, sentence):
    message = make_message()
    for name, value in differences.items():
        setattr(message, name, value)

    refused(message, sentence)


def test_a_message_is_in_the_outbox_once():
    first = make_message(dedupe_key="booking:1:offer:5")
    second = Message.objects.get(pk=first.pk)
    second.pk = None

    refused(second, "in the outbox already")


def test_a_version_of_a_text_is_written_once():
    make_text_version().save()

    refused(make_text_version(body="Other"), "Someone else changed this text meanwhile")


def test_versions_count_from_one():
    refused(make_text_version(version=0), "Versions count from 1")


@pytest.mark.parametrize("field", ["subject", "body"])
def test_a_text_says_something(field):
    version = make_text_version(**{field: ""})

    with pytest.raises(ValidationError):
        version.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        version.save()


def test_a_wording_is_never_changed_or_removed():
    make_text_version().save()

    for change in (lambda: TextVersion.objects.update(body="x"), lambda: TextVersion.objects.all().delete()):
        with pytest.raises(DatabaseError, match="Write a new one beside it"), transaction.atomic():
            change()


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"address_key": "k"}, "This address gets no reminders already"),
        ({"recipient_number": 7}, "This person gets no reminders already"),
    ],
)
def test_nobody_unsubscribes_twice(fields, sentence):
    Unsubscribed.objects.create(**fields, unsubscribed_at=AT)

    refused(Unsubscribed(**fields, unsubscribed_at=AT), sentence)


@pytest.mark.parametrize("fields", [{}, {"address_key": "k", "recipient_number": 7}])
def test_an_address_or_a_person_unsubscribes(fields):
    refused(
        Unsubscribed(**fields, unsubscribed_at=AT), "Say which address wants no reminders, or which person"
    )
