"""A season of invented paperwork kept beside the repository: what a careful person reads out of it."""

import io
import json
import random
from datetime import UTC, datetime
from pathlib import Path

import pytest
from django.core.management import call_command

from outreach.bins.models import BinModel, Handout
from outreach.followup.models import Answer
from outreach.intake.models import PaperworkFile, PaperworkRow
from outreach.intake.taking_in import take_in
from outreach.workshops.models import Registration, Workshop

SEASON = Path(__file__).parents[3] / "shared" / "raw-season"
AT = datetime(2026, 9, 1, 18, tzinfo=UTC)

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.postgres,
    pytest.mark.skipif(not SEASON.exists(), reason="the season's paperwork is not on this machine"),
]


def season_files() -> list[tuple[str, bytes]]:
    paths = [path for path in sorted(SEASON.iterdir()) if path.suffix in {".xlsx", ".csv"}]
    return [(path.name, path.read_bytes()) for path in paths]


def truth() -> dict:
    return json.loads((SEASON / "truth.json").read_text())


def taken_in(files=None) -> dict[str, int]:
    return take_in(files or season_files(), by=None, at=AT).counts


def test_the_counts_are_those_a_careful_person_finds():
    said = truth()

    counts = taken_in()

    assert counts["workshops"] == len(said["workshops"]) == 12
    assert counts["attendances"] == said["attendance"] == 303
    assert counts["handouts"] == len(said["handouts"]) + said["second_bin_attempts"] == 156
    assert counts["second_bins"] == said["second_bin_attempts"] == 15
    assert counts["outside_area"] == said["out_of_area"] == 12
    assert counts["answers"] == said["answers"] == 62
    assert counts["answers_active"] == said["answers_active"] == 44
    assert counts["answers_repeated"] == 1


def test_each_workshop_has_its_people_and_first_bins():
    said = {(one["date"], one["venue"]): (one["people"], one["bins"]) for one in truth()["workshops"]}

    taken_in()

    assert said == {
        (workshop.held_on.isoformat(), workshop.venue.name): (
            Registration.objects.at(workshop).who_came().count(),
            Handout.objects.filter(workshop=workshop).exclude(exception__kind="second_bin").count(),
        )
        for workshop in Workshop.objects.all()
    }


def test_each_first_bin_is_of_the_family_that_the_sheet_names():
    said = sorted((one["date"], one["family"]) for one in truth()["handouts"])

    taken_in()

    first = Handout.objects.exclude(exception__kind="second_bin")
    assert sorted((one.handed_on.isoformat(), one.bin_model.family) for one in first) == said
    assert {model.name: model.litres for model in BinModel.objects.all()} == {
        "Folding mesh bin 110 gal": 416,
        "Rigid lidded bin 80 gal": 303,
        "Tumbler 50 gal": 189,
    }


def test_the_amount_nobody_can_read_waits_in_review_and_the_answer_is_kept():
    taken_in()

    waiting = Answer.objects.in_review()

    assert [answer.food_as_written for answer in waiting] == ["one container"]
    rows = PaperworkRow.objects.for_review().filter(file__kind="answers")
    assert ["Food scraps" in row.review_reason for row in rows] == [True]


def test_the_second_time_nothing_is_new():
    taken_in()
    rows = PaperworkRow.objects.count()

    counts = taken_in()

    known = counts.pop("already_known")
    assert set(counts.values()) == {0}
    assert known == 303 + 63 + 3 + 3
    assert PaperworkRow.objects.count() == rows


def test_a_copy_with_other_bytes_adds_nothing_either():
    taken_in()
    files = [(name, data + b"\n") for name, data in season_files() if name.endswith(".csv")]

    counts = taken_in(files)

    assert counts["answers"] == 0
    assert counts["answers_repeated"] == 63
    assert counts["for_review"] == 0


def test_the_order_in_which_files_are_given_does_not_matter():
    in_order = season_files()
    files = random.Random(7).sample(in_order, len(in_order))

    assert taken_in(files)["second_bins"] == 15
    assert Handout.objects.filter(exception__kind="second_bin").count() == 15


def test_a_dry_run_says_the_same_and_writes_nothing():
    out = io.StringIO()

    call_command(
        "take_in", *[str(SEASON / name) for name, _ in season_files()], "--dry-run", "--json", stdout=out
    )

    assert json.loads(out.getvalue())["attendances"] == 303
    assert not PaperworkFile.objects.exists()
    assert not Workshop.objects.exists()
    assert not BinModel.objects.exists()


def test_every_record_knows_its_file_sheet_and_row():
    taken_in()

    made = PaperworkRow.objects.filter(made__registration__isnull=False).count()

    assert made == 303
    assert PaperworkRow.objects.filter(made__handout__isnull=False).count() == 156
    assert PaperworkRow.objects.filter(made__answer__isnull=False).count() == 62
