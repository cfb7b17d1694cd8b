"""The auditor's pack: whole, checkable against its digests, and followed by hand from one answer on."""

import csv
import hashlib
import io
import re
import zipfile
from datetime import UTC, datetime

import pytest
from django.core.management import call_command
from django.urls import reverse

from outreach.bins.models import RuleException
from outreach.filings.answering import Written
from outreach.filings.models import Filing
from outreach.filings.pack.tables import as_csv
from outreach.filings.pack.writing import write_pack
from outreach.intake.taking_in import take_in
from outreach.staff import working
from outreach.staff.roles import Role
from tests.factories.paperwork import PLACES, make_csv
from tests.filings.programmes import programme
from tests.filings.test_submitting import submit

AT = datetime(2025, 8, 1, 18, tzinfo=UTC)
SHEET = make_csv(
    [
        ["Date: 5/10/2025", "Location: Harbor Annex, Tidewell"],
        ["Name", "Address", "City", "ZIP", "Email", "Bin", "Bin type"],
        ["Ada Holm", "4 Reed St", "Tidewell", "00431", "ada@example.org", "y", "Mesh ring 90 gal"],
        ["Ben Holm", "4 Reed St", "Tidewell", "00431", "ben@example.org", "y", "Mesh ring 90 gal"],
    ]
)
pytestmark = pytest.mark.django_db


def packed(filing):
    target = io.BytesIO()
    write_pack(filing, target)
    return zipfile.ZipFile(target)


@pytest.fixture
def with_paperwork(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    take_in([("places.csv", PLACES), ("harbor.csv", SHEET)], by=None, at=AT)
    found = ("workshop-not-closed", "stock-not-counted", "exception-without-reason")
    return submit(None, answers={code: Written(text="It is looked into next week.") for code in found})


def rows_of(pack, name):
    return list(csv.DictReader(io.StringIO(pack.read(name).decode("utf-8-sig"))))


def test_it_holds_the_very_paperwork_with_its_digests(with_paperwork):
    pack = packed(with_paperwork)

    (sheet,) = [row for row in rows_of(pack, "paperwork.csv") if row["file"] == "harbor.csv"]
    assert pack.read(sheet["in this pack as"]) == SHEET
    assert sheet["sha256"] == hashlib.sha256(SHEET).hexdigest()


def test_a_second_bin_stands_among_the_exceptions(with_paperwork):
    found = rows_of(packed(with_paperwork), "exceptions.csv")

    # Nothing was ever received, so the ledger had neither bin; the second is one too many besides.
    kinds = sorted(row["kind"] for row in found)
    assert kinds == sorted(
        [RuleException.Kind.SECOND_BIN.label, *[RuleException.Kind.NONE_ON_LEDGER.label] * 2]
    )
    assert {row["handed out on"] for row in found} == {"2025-05-10"}


def test_the_list_of_contents_has_the_digest_of_every_file():
    pack = packed(submit(programme()))

    guide = pack.read("READ-ME-FIRST.txt").decode()
    listed = dict(reversed(found) for found in re.findall(r"^([0-9a-f]{64})  (\S.*)$", guide, re.M))
    assert set(listed) == set(pack.namelist()) - {"READ-ME-FIRST.txt"}
    assert listed == {name: hashlib.sha256(pack.read(name)).hexdigest() for name in listed}
    assert pack.read("verification.txt").decode().startswith("Equal")


def test_the_same_filing_packs_to_the_same_bytes():
    filing = submit(programme())

    def without_workbooks(pack):
        return {
            name: pack.read(name) for name in pack.namelist() if not name.endswith((".xlsx", ".pdf", ".txt"))
        }

    assert without_workbooks(packed(filing)) == without_workbooks(packed(filing))


def test_one_household_is_followed_to_what_the_filing_says():
    """24 households since September, 16 answers of May 2025; the sums in the text are done again here.

    The filing covers 2025-Q2: 91 days, 13 weeks.
    """
    filing = submit(programme())

    text = packed(filing).read("one-household.txt").decode()

    numbers = [float(one) for one in re.findall(r"= (\d+\.\d+) kg a week", text)]
    food, yard = numbers
    (in_quarter,) = re.findall(r"= (\d+\.\d+) kg gross", text)
    assert float(in_quarter) == pytest.approx(13 * (food + yard), abs=1e-6)
    (exposed, rate, tonnes) = re.findall(r"stratum: ([\d.]+) x ([\d.]+) / 1000 = ([\d.]+) t", text)[0]
    assert float(tonnes) == pytest.approx(float(exposed) * float(rate) / 1000, abs=1e-8)
    gross = next(
        figure
        for figure in filing.report["account"]["period"]["figures"]
        if (figure["name"], figure["stream"]) == ("gross", "both")
    )
    assert float(tonnes) == pytest.approx(gross["alike"]["value"], rel=1e-8)


def test_words_that_could_start_a_formula_are_text():
    assert as_csv(["a"], [["=1+1"], ["-2"], [-2], ["fine"]]).decode("utf-8-sig").splitlines() == [
        "a", "'=1+1", "'-2", "-2", "fine"
    ]  # fmt: skip


@pytest.mark.parametrize("role", Role)
def test_who_may_have_it(as_role, role, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    filing, client = submit(programme(households=2, answers=0)), as_role(role)
    may = role in (Role.ADMINISTRATOR, Role.COORDINATOR, Role.AUDITOR)

    asked = client.post(reverse("filing_pack", args=[filing.pk]))
    working.run_queued()
    got = client.get(reverse("filing_pack_file", args=[filing.pk]))

    assert (asked.status_code, got.status_code) == ((302, 200) if may else (403, 403))
    if may:
        assert "READ-ME-FIRST.txt" in zipfile.ZipFile(io.BytesIO(b"".join(got.streaming_content))).namelist()


def test_the_command_writes_it(tmp_path, capsys):
    submit(programme(households=2, answers=0))

    call_command("pack_filing", str(Filing.objects.get().pk), "--out", str(tmp_path))

    (path,) = tmp_path.iterdir()
    assert zipfile.is_zipfile(path)
