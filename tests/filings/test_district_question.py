"""A district's figures: the same as a filing's, withheld where a filing would withhold, and never kept."""

import re
from html import unescape

import pytest
from django.urls import reverse

from diversion.inputs import Quarter
from outreach.filings import district_question
from outreach.filings.district_question import BadPeriod, ask
from outreach.filings.models import Filing, FilingDraft
from outreach.households.models import Household
from outreach.staff.roles import READERS, Role
from tests.factories.places import make_district
from tests.filings.programmes import programme
from tests.filings.test_submitting import AT, QUARTER, submit

pytestmark = pytest.mark.django_db


def put_in_districts(jurisdiction, *sizes):
    """Households of the programme, so many in each district in turn."""
    districts = [
        make_district(jurisdiction=jurisdiction, name=f"District {n}") for n in range(1, len(sizes) + 1)
    ]
    numbers = iter(Household.objects.order_by("pk").values_list("pk", flat=True))
    for district, size in zip(districts, sizes, strict=True):
        Household.objects.filter(pk__in=[next(numbers) for _ in range(size)]).update(district=district)
    return districts


def figures_of(district, first=QUARTER, last=QUARTER):
    return ask(district=district, first=first, last=last, on=AT.date())


def test_it_says_what_the_filing_says_of_the_district():
    jurisdiction = programme()
    districts = put_in_districts(jurisdiction, 10, 14)
    parts = submit(jurisdiction).report["account"]["period"]["parts"]

    for district in districts:
        found = figures_of(district).together
        (part,) = [one for one in parts if one["code"] == f"Quillby/{district.name}"]
        (bound,) = [
            one for one in part["figures"] if (one["measure"], one["stream"]) == ("landfill_bound", "both")
        ]
        assert (found.households, found.answers) == (part["households"], part["answers"])
        assert found.estimated.headline == pytest.approx(bound["headline"], rel=1e-12)
        assert found.estimated.lower < found.estimated.alike < found.estimated.upper


def test_districts_sum_to_the_jurisdiction():
    jurisdiction = programme()
    one, other = (figures_of(district).together for district in put_in_districts(jurisdiction, 10, 14))
    account = submit(jurisdiction).report["account"]["period"]
    (kept,) = [
        figure
        for figure in account["figures"]
        if (figure["name"], figure["stream"]) == ("landfill_bound", "both")
    ]

    assert one.households + other.households == 24
    assert one.estimated.headline + other.estimated.headline == pytest.approx(
        kept["headline"]["value"], rel=1e-9
    )


def test_a_small_district_and_the_one_that_would_give_it_away_are_withheld():
    small, larger, largest = put_in_districts(programme(), 3, 7, 14)

    assert figures_of(small).together.is_withheld
    assert figures_of(larger).together.is_withheld
    assert not figures_of(largest).together.is_withheld


def test_where_a_quarter_is_withheld_the_sum_is_too(monkeypatch):
    (district, _rest) = put_in_districts(programme(), 12, 12)
    real = district_question.suppressing.published
    calls = []

    def withheld_once(parts, *, smallest):
        calls.append(1)
        return () if len(calls) == 1 else real(parts, smallest=smallest)

    monkeypatch.setattr(district_question.suppressing, "published", withheld_once)

    found = figures_of(district, Quarter(year=2025, quarter=1))

    assert [one.is_withheld for one in found.quarters] == [True, False]
    assert found.together.is_withheld


def test_an_empty_district_has_no_household():
    jurisdiction = programme()
    empty = make_district(jurisdiction=jurisdiction, name="District 9")

    found = figures_of(empty).together

    assert (found.households, found.estimated) == (0, None)


@pytest.mark.parametrize(
    ("first", "words"), [(Quarter(year=2025, quarter=3), "Swap"), (Quarter(year=2020, quarter=1), "at most")]
)
def test_quarters_must_make_a_period(first, words):
    district = make_district()

    with pytest.raises(BadPeriod, match=words):
        figures_of(district, first)


@pytest.mark.parametrize("role", Role)
def test_it_is_for_readers_the_analyst_too(as_role, role):
    answer = as_role(role).get(reverse("district_figures"))

    assert answer.status_code == (200 if role in READERS else 403)


def test_quarters_in_the_wrong_order_are_refused_on_the_page(as_coordinator):
    district = make_district()
    quarters = as_coordinator.get(reverse("district_figures")).context["form"].fields["first"].choices

    answer = as_coordinator.get(
        reverse("district_figures"),
        {"district": district.pk, "first": quarters[0][0], "last": quarters[3][0]},
    )

    assert answer.status_code == 422
    assert "Swap the two?" in answer.content.decode()


def link_called(page, words):
    """Where the link with these words leads; a step that somebody who reads the page can take."""
    links = re.findall(r'<a[^>]*href="([^"]+)"[^>]*>(.*?)</a>', page.content.decode(), re.S)
    return next(unescape(url) for url, text in links if words in unescape(text))


def test_somebody_new_finds_a_districts_figures_in_five_steps(as_role):
    jurisdiction = programme(households=24, answers=16)
    _one, _two, third = put_in_districts(jurisdiction, 8, 8, 8)
    client = as_role(Role.CITY_ANALYST)
    steps = []

    page = client.get(link_called(client.get("/"), "Filings"))
    steps.append("choose Filings")
    page = client.get(link_called(page, "A district's figures"))
    steps.append("choose 'A district's figures'")
    form = page.context["form"]
    chosen = next(pk for pk, words in form.fields["district"].choices if "District 3" in str(words))
    steps.append("choose District 3")
    asked = {"district": str(chosen), "first": "2025-Q2", "last": "2025-Q2"}
    asked |= {name: form.fields[name].initial for name in ("first", "last")}
    steps.append("leave the quarter, or choose another")
    page = client.get(reverse("district_figures"), asked)
    steps.append("press 'Show the figures'")

    text = unescape(page.content.decode())
    assert len(steps) == 5
    assert re.search(r"In Quillby District 3, 8 households had a bin in use", text)
    assert "Where from:" in text
    assert "It is no filing and is not kept" in text
    assert (Filing.objects.count(), FilingDraft.objects.count()) == (0, 0)
    assert third.pk == int(str(chosen))
