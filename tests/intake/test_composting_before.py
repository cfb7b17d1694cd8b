"""Sheets that ask who composted before: it decides what counts as additional."""

import datetime

import pytest

from outreach.households.models import Household
from outreach.intake.taking_in import take_in
from tests.factories.places import make_served_place
from tests.factories.staff import make_member

pytestmark = pytest.mark.django_db
SHEET = """Compost class at Grange Hall, Quillby
Date,05/10/2025
Name,Street address,City,ZIP,{heading},Bin
Ada Person,12 Alder Street,Quillby,00071,{ada},
Bo Person,14 Alder Street,Quillby,00071,{bo},
Cy Person,16 Alder Street,Quillby,00071,,
"""


def taken_in(heading, ada, bo):
    make_served_place(city_name="Quillby", zip_code="00071")
    sheet = SHEET.format(heading=heading, ada=ada, bo=bo).encode()
    take_in([("sheet.csv", sheet)], by=make_member(), at=datetime.datetime(2025, 6, 1, tzinfo=datetime.UTC))
    return dict(Household.objects.values_list("street", "composting_before"))


@pytest.mark.parametrize(
    ("heading", "yes", "no"), [("Composted before?", "prior", "new"), ("New to composting?", "new", "prior")]
)
def test_the_heading_decides_what_a_yes_means(heading, yes, no):
    found = taken_in(heading, "Y", "no")

    assert found == {"12 Alder St": yes, "14 Alder St": no, "16 Alder St": "not_said"}


def test_what_is_on_record_already_stands():
    taken_in("Composted before?", "yes", "no")
    Household.objects.filter(street="16 Alder St").update(composting_before="prior")

    found = taken_again()

    assert found["16 Alder St"] == "prior"


def taken_again():
    sheet = SHEET.format(heading="Composted before?", ada="", bo="").replace(
        "Alder Street,Quillby,00071,,", "Alder Street,Quillby,00071,no,"
    )
    take_in(
        [("again.csv", sheet.encode())],
        by=make_member(),
        at=datetime.datetime(2025, 6, 2, tzinfo=datetime.UTC),
    )
    return dict(Household.objects.values_list("street", "composting_before"))
