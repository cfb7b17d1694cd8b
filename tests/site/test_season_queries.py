"""Season asks the database as often however many filings there are."""

import datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.factories.places import make_jurisdiction
from tests.filings.programmes import programme
from tests.filings.test_since import late_answer, submit

pytestmark = pytest.mark.django_db


def queries_of_season(client):
    with CaptureQueriesContext(
        connection,
    ) as asked:
        assert client.get(reverse("season")).status_code == 200
    return len(asked)


def test_more_filings_ask_no_more(as_coordinator):
    places = [programme(), *(make_jurisdiction(name=name) for name in ("Ferrow", "Tidewell", "Orsham"))]
    submit(places[0])
    late_answer(places[0])
    queries_of_season(as_coordinator)  # whatever is kept between requests is kept from here on
    few = queries_of_season(as_coordinator)

    for place in places[1:]:
        submit(place, at=datetime.datetime(2025, 12, 2, 12, tzinfo=datetime.UTC))
    many = queries_of_season(as_coordinator)

    assert many == few
