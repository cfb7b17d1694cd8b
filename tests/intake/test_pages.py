"""The paperwork pages: who may open them, choosing files, changing columns, taking in, the original."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from outreach.bins.models import Handout
from outreach.intake import jobs
from outreach.intake.models import LayoutMapping, PaperworkFile, PaperworkRow
from outreach.staff import working
from outreach.staff.models import Job
from outreach.staff.roles import Role
from outreach.workshops.models import Registration, Workshop
from tests.factories.bins import make_bin_model
from tests.factories.paperwork import PLACES, make_csv

pytestmark = pytest.mark.django_db

SHEET = make_csv(
    [
        ["Date: 3/1/2025", "Location: Harbor Annex, Tidewell"],
        ["Who came", "Lives at", "Town", "ZIP", "Took"],
        ["Ada Holm", "5 Reed St", "Tidewell", "00431", "y"],
        ["Ben Ito", "7 Reed St", "Tidewell", "00431", "n"],
    ]
)


@pytest.fixture(autouse=True)
def uploads(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


def upload(client, **files: bytes):
    sent = [SimpleUploadedFile(f"{name}.csv", data) for name, data in files.items()]
    return client.post(reverse("intake"), {"files": sent}, follow=True)


@pytest.mark.parametrize(
    ("role", "status"),
    [
        (Role.COORDINATOR, 200),
        (Role.ADMINISTRATOR, 200),
        (Role.AUDITOR, 200),
        (Role.DOOR_CREW, 403),
        (Role.CITY_ANALYST, 403),
    ],
)
def test_the_office_and_auditors_read_paperwork(as_role, role, status):
    assert as_role(role).get(reverse("intake")).status_code == status


def test_an_auditor_reads_but_changes_nothing(as_role, as_coordinator):
    upload(as_coordinator, places=PLACES)
    file = PaperworkFile.objects.get()
    auditor = as_role(Role.AUDITOR)

    assert auditor.get(reverse("paperwork_file", args=[file.pk])).status_code == 200
    assert auditor.get(reverse("paperwork_columns", args=[file.pk])).status_code == 403
    assert auditor.post(reverse("intake_take_in_all")).status_code == 403
    auditor.post(reverse("intake"), {"files": [SimpleUploadedFile("b.csv", SHEET)]})
    assert PaperworkFile.objects.count() == 1


def test_opening_a_file_shows_its_columns_and_writes_nothing(as_coordinator):
    page = upload(as_coordinator, places=PLACES).content.decode()

    assert "How each column was understood" in page
    assert "Tidewell: Tidewell 00431" in page
    assert not PaperworkRow.objects.exists()
    assert PaperworkFile.objects.get().state == "staged"


def test_a_file_that_is_refused_says_why_and_the_others_are_opened(as_coordinator):
    page = upload(as_coordinator, places=PLACES, report=b"%PDF-1.7").content.decode()

    assert "This is a PDF" in page
    assert [file.name for file in PaperworkFile.objects.all()] == ["places.csv"]


def test_the_same_bytes_twice_are_one_file(as_coordinator):
    upload(as_coordinator, places=PLACES)
    upload(as_coordinator, again=PLACES)

    assert PaperworkFile.objects.count() == 1


def test_files_together_are_taken_in_in_the_order_that_works(as_coordinator):
    make_bin_model(name="Mesh ring", family="mesh")
    upload(as_coordinator, sheet=SHEET, places=PLACES)

    page = as_coordinator.post(reverse("intake_take_in_all"), follow=True).content.decode()

    assert "2 files were taken in." in page
    assert Registration.objects.count() == 2
    assert Handout.objects.count() == 1
    assert set(PaperworkFile.objects.values_list("state", flat=True)) == {"taken_in"}


def columns_form(client, file: PaperworkFile) -> dict[str, str]:
    form = client.get(reverse("paperwork_columns", args=[file.pk])).context["parts"][0].form
    return {form[name].html_name: form[name].value() or "" for name in form.fields}


def test_a_person_changes_a_column_and_the_layout_is_remembered(as_coordinator):
    upload(as_coordinator, places=PLACES)
    as_coordinator.post(reverse("intake_take_in_all"))
    rows = [["Workshop sheet"], ["Ada Holm", "5 Reed St", "Tidewell", "431", "Ben Ito"]]
    headings = ["Guest", "Home", "Town", "ZIP", "Invited by"]
    first = make_csv([rows[0], headings, rows[1]])
    upload(as_coordinator, first=first)
    file = PaperworkFile.objects.staged().get()
    given = columns_form(as_coordinator, file)
    given |= {"sheet0-kind": "sign_in", "sheet0-held_on": "2025-03-01", "sheet0-venue": "Harbor Annex"}
    given |= {
        "sheet0-city": "Tidewell",
        "sheet0-column0": "name",
        "sheet0-column1": "address",
        "sheet0-column4": "",
    }

    as_coordinator.post(reverse("paperwork_columns", args=[file.pk]), given | {"do": "take_in"})

    assert Registration.objects.get().participant.full_name == "Ada Holm"
    assert LayoutMapping.objects.get().columns == ["name", "address", "city", "zip", ""]
    upload(
        as_coordinator, second=make_csv([rows[0], headings, ["Cy Lund", "9 Reed St", "Tidewell", "431", "x"]])
    )
    again = columns_form(as_coordinator, PaperworkFile.objects.staged().get())
    assert [again[f"sheet0-column{n}"] for n in range(5)] == ["name", "address", "city", "zip", ""]


def test_looking_again_shows_the_rows_as_changed_and_writes_nothing(as_coordinator):
    upload(as_coordinator, sheet=SHEET)
    file = PaperworkFile.objects.get()
    given = columns_form(as_coordinator, file) | {"sheet0-venue": "Old Mill Grange", "do": "look"}

    page = as_coordinator.post(reverse("paperwork_columns", args=[file.pk]), given).content.decode()

    assert "2025-03-01, Old Mill Grange" in page
    assert not Workshop.objects.exists()


def test_a_sheet_without_a_day_is_not_taken_in_until_someone_gives_it(as_coordinator):
    upload(as_coordinator, places=PLACES)
    as_coordinator.post(reverse("intake_take_in_all"))
    upload(as_coordinator, sheet=make_csv([["Name", "Address", "ZIP"], ["Ada Holm", "5 Reed St", "00431"]]))
    file = PaperworkFile.objects.staged().get()
    url = reverse("paperwork_columns", args=[file.pk])
    given = columns_form(as_coordinator, file) | {"do": "take_in", "sheet0-venue": "", "sheet0-held_on": ""}

    page = as_coordinator.post(url, given)

    assert page.status_code == 422
    assert "does not say the day" in page.content.decode()
    file.refresh_from_db()
    assert file.state == "staged"


def test_the_file_page_shows_each_row_and_what_it_made(as_coordinator):
    make_bin_model(name="Mesh ring", family="mesh")
    upload(as_coordinator, sheet=SHEET, places=PLACES)
    as_coordinator.post(reverse("intake_take_in_all"))
    file = PaperworkFile.objects.get(name="sheet.csv")

    page = as_coordinator.get(reverse("paperwork_file", args=[file.pk])).content.decode()

    assert "People at workshops" in page
    assert reverse("handout", args=[Handout.objects.get().pk]) in page
    assert "Ben Ito" in page


def test_the_original_comes_as_an_attachment_byte_for_byte(as_coordinator):
    upload(as_coordinator, sheet=SHEET)

    response = as_coordinator.get(reverse("paperwork_original", args=[PaperworkFile.objects.get().pk]))

    assert b"".join(response.streaming_content) == SHEET
    assert response["Content-Disposition"].startswith("attachment")
    assert response["Content-Type"] == "application/octet-stream"


def test_a_file_set_aside_writes_nothing(as_coordinator):
    upload(as_coordinator, sheet=SHEET)
    file = PaperworkFile.objects.get()

    as_coordinator.post(reverse("paperwork_set_aside", args=[file.pk]))

    file.refresh_from_db()
    assert file.state == "set_aside"
    assert not PaperworkRow.objects.exists()


def test_large_files_are_opened_and_taken_in_by_a_worker(as_coordinator, monkeypatch):
    monkeypatch.setattr("outreach.intake.uploading.LARGE_BYTES", 10)
    monkeypatch.setattr(jobs, "LARGE_ROWS", 1)
    make_bin_model(name="Mesh ring", family="mesh")
    upload(as_coordinator, places=PLACES)
    upload(as_coordinator, sheet=SHEET)
    assert not PaperworkFile.objects.exists()

    working.run_queued()
    as_coordinator.post(reverse("intake_take_in_all"))
    working.run_queued()

    assert Registration.objects.count() == 2
    assert set(Job.objects.values_list("state", flat=True)) == {"done"}


def test_the_list_needs_no_more_queries_for_more_files(as_coordinator, django_assert_max_num_queries):
    make_bin_model(name="Mesh ring", family="mesh")
    upload(as_coordinator, sheet=SHEET, places=PLACES)
    as_coordinator.post(reverse("intake_take_in_all"))
    file = PaperworkFile.objects.get(name="sheet.csv")

    with django_assert_max_num_queries(14):
        as_coordinator.get(reverse("paperwork_file", args=[file.pk]))
