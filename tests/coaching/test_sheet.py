"""The sheet: its sums are those of the modules, its codes read back, and the longest words stay on two pages."""

import datetime
import io
import itertools
import re

import pytest
import zxingcpp
from django.urls import reverse
from django.utils import translation
from PIL import Image
from pypdf import PdfReader

from diversion.conversions import LITRES_PER_US_GALLON
from outreach.coaching import answer_links, bin_advice, bin_figures, mix, sheet
from outreach.coaching.families import Family
from outreach.coaching.filling_year import HARVEST, MOST_WAIT, Doing, year_of
from outreach.coaching.mix import Part
from outreach.coaching.papers import sheet_paper
from outreach.coaching.published import published
from outreach.coaching.sheet import ForWhom, SheetNeeds
from outreach.post.qr import Code
from outreach.staff.roles import Role
from tests.factories.bins import make_bin_model, make_handout
from tests.factories.coaching import make_local_rules
from tests.factories.households import make_household, make_participant
from tests.factories.workshops import make_workshop

pytestmark = pytest.mark.django_db

ON = datetime.date(2026, 3, 14)
WHOM = ForWhom(ask_url="https://compost.example.org/help/ask/", later_url="https://compost.example.org/a/x")
LONGEST_NAME = "Maximiliana Wilhelmina Featherstonehaugh-Vandersteen de la Concepción y Montemayor"
LONGEST_STREET = "12345 North Old Saint Bartholomew's Lighthouse Boulevard, Building 14 East"


def composed(language="en", whom=WHOM, **differences):
    needs = SheetNeeds(**{"family": Family.MESH, "begun_on": ON, "litres": 416.0} | differences)
    with translation.override(language):
        return needs, sheet.compose(needs, whom)


def pdf_of(*sheets):
    target = io.BytesIO()
    sheet_paper.write(sheets, target)
    return PdfReader(io.BytesIO(target.getvalue()))


def words_of(reader):
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in reader.pages))


@pytest.mark.parametrize("pails", [1, 2, 3.5])
def test_the_browns_on_the_sheet_are_those_of_the_recipe_desk(pails):
    _needs, made = composed(pails=pails)
    food = Part(feedstock=published().feedstocks["food"], litres=pails * LITRES_PER_US_GALLON)

    buckets = mix.browns_for([food], per_green=2).typical / (5 * LITRES_PER_US_GALLON)

    said = re.search(r": ([\d.]+) × bucket", words_of(pdf_of(("en", made))))[1]
    # Two to one by volume, common practice: 1 pail wants 2 pails, 0.4 of a bucket of five gallons.
    assert float(said) == pytest.approx(buckets, abs=0.05)
    assert buckets == pytest.approx(pails * 2 / 5)


def test_the_dates_on_the_sheet_are_those_of_the_bin_advice():
    needs, made = composed()
    advice = bin_advice.advise(needs.needs, on=ON, per_green=2)

    said = words_of(pdf_of(("en", made)))

    assert f"First bin likely full: {advice.schedule.first_full[1]:%B %Y}" in said
    assert f"compost likely ready: {advice.schedule.first_ready[1]:%B %Y}" in said
    yearly = mix.harvest_of(advice.inflow_litres.typical * 52).litres.typical / LITRES_PER_US_GALLON
    assert f"about {yearly:.0f} gallons of compost" in said


def test_a_bin_that_never_fills_is_one_row_with_compost_from_below():
    needs, made = composed(pails=0.5, litres=765.0)
    advice = bin_advice.advise(needs.needs, on=ON, per_green=2)

    assert made.year.bins == 1
    assert [one.doing for one in made.year.stretches] == [Doing.FILLING, Doing.HARVEST]
    assert made.year.stretches[1].from_on == advice.first_below


def test_two_bins_rest_in_turn_and_never_fill_at_once():
    needs, _made = composed(pails=2, litres=300.0)
    advice = bin_advice.advise(needs.needs, on=ON, per_green=2)

    year = year_of(advice.schedule, on=ON, first_below=advice.first_below)

    fillings = [one for one in year.stretches if one.doing is Doing.FILLING]
    assert [one.place for one in fillings][:2] == [0, 1]
    for earlier, later in itertools.pairwise(fillings):
        assert earlier.until_on <= later.from_on
    for place in (0, 1):
        own = [one for one in year.stretches if one.place == place]
        assert all(a.until_on <= b.from_on for a, b in itertools.pairwise(own))
    assert all(one.until_on - one.from_on <= HARVEST for one in year.stretches if one.doing is Doing.HARVEST)


@pytest.mark.parametrize(("litres", "is_short"), [(416.0, False), (121.0, True)])
def test_a_bin_too_small_for_the_week_is_said_to_be(litres, is_short):
    _needs, made = composed(litres=litres)

    assert made.year.is_short == is_short
    assert datetime.timedelta(weeks=6) == MOST_WAIT
    assert any("small for" in one or "wanted" in one for one in made.dates) == is_short


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("family", list(Family))
def test_every_family_has_a_figure_and_two_pages(language, family):
    yard = {"yard": 0.0} if family is Family.WORM_BOX else {}
    _needs, made = composed(language, family=family, **yard)

    reader = pdf_of((language, made))

    assert len(reader.pages) == 2
    shapes = bin_figures.figure_of(family)
    points = [point for shape in shapes for point in shape.points]
    assert all(0 <= x <= bin_figures.WIDTH and 0 <= y <= bin_figures.HEIGHT for x, y in points)


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_longest_name_address_and_rules_are_whole(language):
    rules = make_local_rules(
        lot_line_feet=10,
        dwelling_feet=25,
        water_feet=25,
        most_bins=2,
        placement="in the rear yard, behind the house, and screened from the street",
        placement_es="en el patio de atrás, detrás de la casa y sin que se vea desde la calle",
        vector_control_name="Tidewell and Harbor Districts Joint Mosquito and Vector Control",
        vector_control_phone="555-0150",
        source="Tidewell County Code of Ordinances, title 8, chapter 8.12, section 8.12.045 (b)",
    )
    whom = ForWhom(
        ask_url=WHOM.ask_url, later_url=WHOM.later_url, lines=(LONGEST_NAME, LONGEST_STREET), rules=rules
    )
    _needs, made = composed(language, whom)

    said = words_of(pdf_of((language, made)))

    for words in (LONGEST_NAME, LONGEST_STREET, "section 8.12.045 (b)", "Vector Control, 555-0150"):
        assert words in said
    for caution in made.cautions:
        assert caution[-30:] in said


def test_a_sheet_in_spanish_has_no_english_on_it():
    _needs, made = composed("es")

    said = words_of(pdf_of(("es", made)))

    assert "Si algo anda mal" in said
    for english in ("browns", "Take care", "filling", "kitchen", "likely"):
        assert english not in said


def test_the_codes_read_back():
    url = "https://compost.example.org/help/ask/?language=es"
    code = Code(url, 100)
    side = len(code.matrix) + 2 * code.QUIET
    picture = Image.new("L", (side, side), 255)
    for y, row in enumerate(code.matrix):
        for x, is_dark in enumerate(row):
            if is_dark:
                picture.putpixel((x + code.QUIET, y + code.QUIET), 0)

    (found,) = zxingcpp.read_barcodes(picture.resize((side * 4, side * 4), Image.Resampling.NEAREST))

    assert found.text == url


def test_a_stranger_reads_and_prints_a_sheet_without_a_name(client):
    asked = {"family": "rigid", "pails": "2", "tending": "resting", "bin_gallons": "80", "language": "es"}

    page = client.get(reverse("sheet"), asked).content.decode()
    printed = client.get(reverse("sheet_print"), asked)

    assert "Compostera cerrada de plástico, con tapa, 80 galones" in page
    assert "<path d=" in page
    assert "style=" not in page
    assert printed["Content-Type"] == "application/pdf"
    assert len(PdfReader(io.BytesIO(printed.content)).pages) == 2


def test_the_page_and_the_print_say_the_same(client):
    asked = {"family": "mesh", "pails": "3", "tending": "turned", "bin_gallons": "110", "language": "en"}

    page = re.sub(r"\s+", " ", client.get(reverse("sheet"), asked).content.decode())
    printed = words_of(PdfReader(io.BytesIO(client.get(reverse("sheet_print"), asked).content)))

    weekly = re.search(r"In a week of [^:]+: [\d.]+ × bucket", printed)[0]
    assert weekly in page
    assert re.search(r"A year of it leaves about \d+ gallons", printed)[0] in page


def test_what_cannot_be_is_said_at_the_field(client):
    page = client.get(reverse("sheet"), {"family": "mesh", "pails": "0", "language": "en"}).content.decode()

    assert "Give more than nothing" in page


def test_a_household_gets_its_own_bin_name_and_address(as_coordinator):
    person = make_participant(full_name="Wren Halloway", household=make_household(language="es"))
    make_handout(
        household=person.household,
        participant=person,
        bin_model=make_bin_model(family="tumbler", litres=140),
    )

    answer = as_coordinator.get(reverse("household_sheet", args=[person.household_id]))

    said = words_of(PdfReader(io.BytesIO(answer.content)))
    assert "Wren Halloway" in said
    assert "Compostera giratoria, 37 galones" in said


def test_a_workshop_prints_everyones_sheet_in_their_language(as_coordinator):
    workshop = make_workshop(state="held")
    for name, language in (("Wren Halloway", "en"), ("Luz Ibarra", "es")):
        person = make_participant(full_name=name, household=make_household(language=language))
        make_handout(household=person.household, participant=person, workshop=workshop)
    make_handout(workshop=make_workshop(state="held"))

    answer = as_coordinator.get(reverse("workshop_sheets", args=[workshop.pk]))

    reader = PdfReader(io.BytesIO(answer.content))
    assert len(reader.pages) == 4
    said = words_of(reader)
    assert "Wren Halloway" in said
    assert "Luz Ibarra" in said
    assert "Your compost bin" in said
    assert "Su compostera en casa" in said


def test_a_workshop_without_a_bin_says_so(as_coordinator):
    workshop = make_workshop()

    page = as_coordinator.get(reverse("workshop_sheets", args=[workshop.pk]), follow=True).content.decode()

    assert "no sheet to print" in page


def test_sheets_are_reached_from_where_people_work(as_role):
    given = make_handout(workshop=make_workshop(state="held"))
    client = as_role(Role.DOOR_CREW)

    for page, link in (
        (reverse("handout", args=[given.pk]), reverse("handout_sheet", args=[given.pk])),
        (reverse("workshop", args=[given.workshop_id]), reverse("workshop_sheets", args=[given.workshop_id])),
        (
            reverse("household", args=[given.household_id]),
            reverse("household_sheet", args=[given.household_id]),
        ),
    ):
        assert link in client.get(page).content.decode()
        assert client.get(link)["Content-Type"] == "application/pdf"
    analyst = as_role(Role.CITY_ANALYST)
    assert (
        reverse("handout_sheet", args=[given.pk])
        not in analyst.get(reverse("handout", args=[given.pk])).content.decode()
    )


def test_the_second_code_is_theirs_where_someone_asks(monkeypatch):
    monkeypatch.setattr(answer_links, "_links", [])
    household = make_household()
    before = answer_links.link_for(household)

    answer_links.register(lambda one: f"https://compost.example.org/a/{one.pk}")

    assert before == ""
    assert answer_links.link_for(household) == f"https://compost.example.org/a/{household.pk}"
