"""Wrong codes from one address of the network are counted, so that nobody can try them all."""

from datetime import datetime, timedelta

from django.utils.crypto import salted_hmac

from outreach.workshops.models import SignUpTry

# A crew mistypes a few times; a script needs millions. Common practice, no source.
MOST_WRONG = 20
WITHIN = timedelta(hours=1)


def is_too_often(network_address: str, at: datetime) -> bool:
    return SignUpTry.objects.of(_key(network_address)).since(at - WITHIN).count() >= MOST_WRONG


def note_wrong(network_address: str, at: datetime) -> None:
    SignUpTry.objects.create(key=_key(network_address), made_at=at)


def _key(network_address: str) -> str:
    return salted_hmac("outreach.door.wrong-code", network_address, algorithm="sha256").hexdigest()
