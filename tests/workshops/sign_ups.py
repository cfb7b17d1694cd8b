"""Sign-ups as households send them, valid by default."""

import datetime
import itertools
import uuid

from outreach.households.models import Household
from outreach.places.addresses import read_address
from outreach.places.serving import PlacesList
from outreach.workshops import signing_up
from outreach.workshops.models import Booking, Workshop
from outreach.workshops.signing_up import SignUp
from tests.factories.households import make_household
from tests.factories.places import make_jurisdiction, make_served_place, make_venue
from tests.factories.workshops import make_workshop

_numbers = itertools.count(100)
UTC = datetime.UTC
# A week before the workshops of these tests.
AT = datetime.datetime(2026, 5, 2, 18, tzinfo=UTC)
HELD_ON = datetime.date(2026, 5, 9)


def make_public_workshop(**differences) -> Workshop:
    """A class in Quillby, 10 to 11:30 am, that takes sign-ups."""
    fields = {
        "held_on": HELD_ON,
        "starts_at_time": datetime.time(10),
        "ends_at_time": datetime.time(11, 30),
        "is_public": True,
        "seats": 10,
    } | differences
    if "venue" not in fields:
        place = make_served_place(
            city_name="Quillby", zip_code="00071", jurisdiction=make_jurisdiction(name="Quillby")
        )
        fields["venue"] = make_venue(
            name="Orchard House", street="1 Mill Lane", jurisdiction=place.jurisdiction
        )
    return make_workshop(**fields)


def asked(**differences) -> SignUp:
    """What a household asks: one person of a street of its own, reached by e-mail."""
    number = next(_numbers)
    names = differences.pop("names", (f"Ada Holm{number}",))
    street = differences.pop("street", f"{number} Reed Street")
    city, zip_code = differences.pop("city", "Quillby"), differences.pop("zip_code", "00071")
    people = differences.pop("people", len(names))
    form_key = differences.pop("form_key", None) or uuid.uuid4()
    said = {
        "email": f"ada{number}@example.org",
        "phone": "",
        "reach_by": "email",
        "language": "en",
        "wants_bin": True,
    }
    address = read_address(street, unit="", city=city, zip_code=zip_code)
    return SignUp(
        form_key=form_key,
        address=address,
        place=PlacesList.load().resolve(address.city_name, address.zip_code),
        names=tuple(names),
        people=people,
        said=said | differences,
    )


def sign_up(workshop: Workshop, at: datetime.datetime = AT, **differences) -> Booking:
    return signing_up.sign_up(workshop=workshop, asked=asked(**differences), at=at)


def make_home_on_record() -> Household:
    """The household of 5 Reed Street in Quillby, as the office recorded it long ago."""
    key = {"street_key": "5 REED ST", "address_key": "5 REED ST 00071"}
    return make_household(street="5 Reed St", city_name="Quillby", zip_code="00071", **key)
