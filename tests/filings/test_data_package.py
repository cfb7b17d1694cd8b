"""The open-data package, read back by the Frictionless library and compared with the filing it is of."""

import csv
import io
import json
import zipfile

import frictionless
import pytest
from django.urls import reverse

from outreach.filings.data_package import write_data_package
from outreach.staff.roles import READERS, Role
from tests.factories.places import make_jurisdiction
from tests.filings.programmes import programme
from tests.filings.test_submitting import submit

pytestmark = pytest.mark.django_db


def packaged(filing):
    target = io.BytesIO()
    write_data_package(filing, target)
    return zipfile.ZipFile(target)


def rows(package, name):
    return list(csv.DictReader(io.StringIO(package.read(f"{name}.csv").decode())))


def test_it_is_a_valid_data_package(tmp_path):
    packaged(submit(programme())).extractall(tmp_path)

    report = frictionless.validate(str(tmp_path / "datapackage.json"))

    assert report.valid, report.flatten(["title", "message"])
    assert {task.name for task in report.tasks} == {"counts", "figures", "parts", "factors"}


def test_its_figures_are_those_of_the_filing_unrounded():
    filing = submit(programme())

    found = {(row["figure"], row["stream"]): row for row in rows(packaged(filing), "figures")}

    for figure in filing.report["account"]["period"]["figures"]:
        assert float(found[figure["name"], figure["stream"]]["headline"]) == figure["headline"]["value"]


def test_a_small_place_is_in_other(settings):
    programme(households=24)
    programme(households=3, answers=0, jurisdiction=make_jurisdiction(name="Ferrow"))
    settings.SMALLEST_COUNT = 5

    parts = rows(packaged(submit(None)), "parts")

    assert [(one["part"], one["households"]) for one in parts if one["dimension"] == "jurisdiction"] == [
        ("other", "27")
    ]


def test_nothing_in_it_is_of_a_single_household():
    package = packaged(submit(programme()))

    assert set(package.namelist()) == {
        "datapackage.json",
        "counts.csv",
        "figures.csv",
        "parts.csv",
        "factors.csv",
    }
    described = json.loads(package.read("datapackage.json"))
    assert "Counts under" in described["description"]


@pytest.mark.parametrize("role", Role)
def test_readers_may_have_it(as_role, role):
    filing = submit(programme(households=2, answers=0))

    got = as_role(role).get(reverse("filing_data_package", args=[filing.pk]))

    assert got.status_code == (200 if role in READERS else 403)
