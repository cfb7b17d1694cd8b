"""The pages of records requests: taken down, read, made, fetched, handed over; the auditor reads what went out."""

from datetime import date

import pytest
from django.urls import reverse
from django.utils import timezone

from outreach.disclosure.models import Disclosure, Handover, RecordsRequest, ReleasedWords, Withholding
from outreach.staff import working
from outreach.staff.roles import Role
from tests.factories.bins import make_handout

pytestmark = pytest.mark.django_db
SAID = {
    "reference": "PRR 2026-014",
    "requester": "Gazette of Quillby",
    "asked_on": "2026-06-01",
    "asked_for": "All bins of May 2025",
    "kinds": ["handouts", "costs"],
    "first_day_on": "2025-05-01",
    "last_day_on": "2025-05-31",
}


@pytest.fixture(autouse=True)
def own_folder(settings, tmp_path):
    settings.VAR = tmp_path
    settings.MEDIA_ROOT = tmp_path / "uploads"


def test_a_request_is_taken_down_read_made_and_handed_over(as_coordinator, as_role):
    handout = make_handout(handed_on=date(2025, 5, 9), note="bin was dented")

    page = as_coordinator.post(reverse("records_request_add"), SAID, follow=True)

    request = RecordsRequest.objects.get()
    assert "Gazette of Quillby" in page.content.decode()
    words = reverse("records_request_words", args=[request.pk, "handouts"])
    assert "bin was dented" in as_coordinator.get(words).content.decode()

    as_coordinator.post(words, {"looked_at": handout.pk, "release": f"{handout.pk}:note"})
    assert ReleasedWords.objects.get().row == handout.pk

    as_coordinator.post(reverse("disclosure_make", args=[request.pk]))
    working.run_queued()
    made = Disclosure.objects.get()
    fetched = as_coordinator.get(reverse("disclosure_file", args=[made.pk]))
    assert b"".join(fetched.streaming_content).startswith(b"PK")

    gone = {"to_whom": "Ada Holm, Gazette", "how": "e_mail", "handed_over_on": timezone.localdate()}
    as_coordinator.post(reverse("handover_add", args=[made.pk]), gone)
    assert Handover.objects.get().sha256 == made.sha256

    seen = as_role(Role.AUDITOR).get(reverse("records_requests")).content.decode()
    assert "Ada Holm, Gazette" in seen
    assert made.sha256 in seen


def test_what_was_typed_wrong_is_said_under_its_field(as_coordinator):
    page = as_coordinator.post(reverse("records_request_add"), SAID | {"last_day_on": "2025-04-01"})

    assert page.status_code == 422
    assert "The last day lies before the first" in page.content.decode()
    assert not RecordsRequest.objects.exists()


def test_the_same_number_is_not_taken_down_twice(as_coordinator):
    as_coordinator.post(reverse("records_request_add"), SAID)

    page = as_coordinator.post(reverse("records_request_add"), SAID)

    assert page.status_code == 422
    assert "taken down already" in page.content.decode()
    assert RecordsRequest.objects.count() == 1


def test_the_law_of_the_place_is_written_beside_a_class(as_coordinator):
    said = {"reason": "Names residents", "citation": "Sample Code 12.3"}

    as_coordinator.post(reverse("withholding", args=["person"]), said)

    rule = Withholding.objects.get()
    assert (rule.key, rule.is_withheld, rule.citation) == ("person", True, "Sample Code 12.3")
    assert "Sample Code 12.3" in as_coordinator.get(reverse("withholdings")).content.decode()


def test_one_more_column_is_withheld_and_shown_again(as_coordinator):
    as_coordinator.post(reverse("withholdings"), {"key": "handouts.lot", "reason": "Trade secret"})
    assert Withholding.objects.get().is_withheld

    as_coordinator.post(reverse("withholding", args=["handouts.lot"]), {"reason": ""})

    assert not Withholding.objects.get().is_withheld


def test_free_text_of_a_kind_that_was_not_asked_for_is_not_shown(as_coordinator):
    as_coordinator.post(reverse("records_request_add"), SAID)
    request = RecordsRequest.objects.get()

    for kind in ("answers", "filings", "gossip"):
        answer = as_coordinator.get(reverse("records_request_words", args=[request.pk, kind]))
        assert answer.status_code == 404


@pytest.mark.parametrize("role", [Role.CITY_ANALYST, Role.DOOR_CREW])
def test_others_do_not_read_what_went_to_whom(as_role, role):
    assert as_role(role).get(reverse("records_requests")).status_code == 403


def test_the_auditor_reads_but_does_not_make(as_coordinator, as_role):
    as_coordinator.post(reverse("records_request_add"), SAID)
    request = RecordsRequest.objects.get()
    auditor = as_role(Role.AUDITOR)

    assert auditor.get(request.get_absolute_url()).status_code == 200
    assert auditor.post(reverse("disclosure_make", args=[request.pk])).status_code == 403
    assert auditor.get(reverse("records_request_add")).status_code == 403
