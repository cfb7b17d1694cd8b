"""`manage.py take_in`: counts in words and as JSON, clear errors, and nothing half-written."""

import io
import json
from datetime import date

import pytest
from django.core.management import CommandError, call_command

from outreach.intake.models import PaperworkFile, PaperworkRow
from outreach.places.models import ServedPlace
from outreach.workshops.models import Workshop
from tests.factories.paperwork import PLACES, make_csv

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]

SHEET = make_csv(
    [["Name", "Address", "City", "ZIP", "Bin"], ["Ada Holm", "5 Reed St", "Tidewell", "00431", "n"]]
)


@pytest.fixture
def folder(tmp_path, settings):
    settings.MEDIA_ROOT = tmp_path / "uploads"
    (tmp_path / "places.csv").write_bytes(PLACES)
    (tmp_path / "sheet.csv").write_bytes(SHEET)
    (tmp_path / "2025-03-01 Harbor Annex Tidewell.csv").write_bytes(SHEET)
    return tmp_path


def run(*arguments) -> str:
    out = io.StringIO()
    call_command("take_in", *map(str, arguments), stdout=out)
    return out.getvalue()


def test_json_is_one_object_with_every_count(folder):
    counts = json.loads(run(folder / "2025-03-01 Harbor Annex Tidewell.csv", folder / "places.csv", "--json"))

    assert list(counts) == [
        "workshops",
        "attendances",
        "people",
        "households",
        "handouts",
        "second_bins",
        "outside_area",
        "answers",
        "answers_active",
        "answers_repeated",
        "for_review",
        "already_known",
        "came_along",
    ]
    assert (counts["workshops"], counts["attendances"], counts["households"]) == (1, 1, 1)


def test_without_json_the_same_is_said_for_people(folder):
    said = run(folder / "places.csv", folder / "2025-03-01 Harbor Annex Tidewell.csv")

    assert "1  people at workshops" in said
    assert said.index("places.csv") < said.index("2025-03-01 Harbor Annex Tidewell.csv")


def test_a_broken_file_stops_everything_before_the_first_is_written(folder):
    (folder / "broken.xlsx").write_bytes(b"PK\x03\x04 not really")

    with pytest.raises(
        CommandError, match=r"broken\.xlsx: The workbook is cut off or damaged.*Nothing was written"
    ):
        run(folder / "places.csv", folder / "broken.xlsx")

    assert not ServedPlace.objects.exists()
    assert not PaperworkFile.objects.exists()


def test_a_sheet_without_day_and_venue_asks_for_them_and_takes_them(folder):
    run(folder / "places.csv")

    with pytest.raises(CommandError, match=r"does not say the day of its workshop\. Give it \(--day"):
        run(folder / "sheet.csv")
    run(folder / "sheet.csv", "--day", "2025-04-05", "--venue", "Harbor Annex", "--city", "Tidewell")

    workshop = Workshop.objects.get()
    assert (workshop.held_on, workshop.venue.name) == (date(2025, 4, 5), "Harbor Annex")


def test_a_file_of_no_kind_says_what_to_do(folder):
    (folder / "recipes.csv").write_bytes(make_csv([["Dish", "Minutes"], ["Soup", "20"], ["Stew", "90"]]))

    with pytest.raises(CommandError, match="Say the kind"):
        run(folder / "recipes.csv")


def test_a_file_that_is_not_there_says_so(folder):
    with pytest.raises(CommandError, match="cannot be read"):
        run(folder / "nowhere.csv")


def test_a_dry_run_keeps_neither_records_nor_bytes(folder):
    said = run(folder / "places.csv", "--dry-run")

    assert "Dry run: nothing was written" in said
    assert not PaperworkRow.objects.exists()
    assert not (folder / "uploads").exists()


def test_the_bytes_are_kept_by_their_digest(folder):
    run(folder / "places.csv")

    file = PaperworkFile.objects.get()
    assert (folder / "uploads" / file.stored_as).read_bytes() == PLACES
    assert file.stored_as.endswith(file.sha256)
