"""How often the forms for the public may be used: counted in the database, so by all processes together."""

import hashlib
import hmac
from collections.abc import Iterable
from datetime import datetime, timedelta

from django.conf import settings
from django.db import transaction
from django.http import HttpRequest

from outreach.workshops.models import SignUpTry

# A family behind one address of the network signs up a few times; a script tries hundreds. Common
# practice, no source.
WITHIN = timedelta(hours=1)
MOST_PER_NETWORK_ADDRESS = 30
MOST_PER_CONTACT = 5
KEPT_FOR = timedelta(days=1)


@transaction.atomic
def is_too_often(*, network_address: str, contacts: Iterable[str], at: datetime) -> bool:
    """Count a use; say whether this network address or one of the contacts has used up its share."""
    shares = [(_key("network", network_address), MOST_PER_NETWORK_ADDRESS)]
    shares += [(_key("contact", one), MOST_PER_CONTACT) for one in contacts if one]
    too_often = any(SignUpTry.objects.of(key).since(at - WITHIN).count() >= most for key, most in shares)
    SignUpTry.objects.bulk_create([SignUpTry(key=key, made_at=at) for key, _most in shares])
    return too_often


def forget_old(at: datetime) -> int:
    """Remove what is older than a day."""
    return SignUpTry.objects.before(at - KEPT_FOR).delete()[0]


def network_address_of(request: HttpRequest) -> str:
    """Where a request comes from; behind our own proxy, what that proxy says it came from."""
    if settings.IS_BEHIND_PROXY:
        told = request.headers.get("X-Forwarded-For", "")
        return told.rpartition(",")[2].strip() or request.META["REMOTE_ADDR"]
    return request.META["REMOTE_ADDR"]


def _key(kind: str, text: str) -> str:
    """A digest that only this installation can make, so that the table tells nobody who signed up."""
    said = f"{kind}:{text.strip().lower()}".encode()
    return hmac.new(settings.SECRET_KEY.encode(), said, hashlib.sha256).hexdigest()
