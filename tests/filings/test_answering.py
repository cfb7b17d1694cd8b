"""What was found is mended or answered in writing before anything is filed; the answers stand in the filing."""

import datetime
import re

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse
from django.utils import timezone

from outreach.filings import periods
from outreach.filings.answering import Unanswered, Written
from outreach.filings.models import Filing, FilingDraft
from tests.factories.places import make_jurisdiction
from tests.factories.workshops import make_workshop
from tests.filings.programmes import programme
from tests.filings.test_submitting import submit

pytestmark = pytest.mark.django_db
TEXT = "The headcount of that evening was lost; its handouts are all on record."


@pytest.fixture
def jurisdiction():
    """A programme with one workshop in the quarter that nobody closed."""
    place = programme()
    make_workshop(jurisdiction=place, held_on=datetime.date(2025, 5, 9), state="held")
    return place


def test_nothing_is_filed_while_a_finding_stands_unanswered_and_all_are_named(jurisdiction):
    with pytest.raises(Unanswered, match=r"workshop-not-closed.*9 May 2025"):
        submit(jurisdiction)

    assert not Filing.objects.exists()


def test_the_answer_is_frozen_with_who_gave_it_when_and_stands_beside_the_finding(jurisdiction):
    filing = submit(jurisdiction, answers={"workshop-not-closed": Written(text=TEXT)})

    (kept,) = Filing.objects.get(pk=filing.pk).answers
    assert (kept["code"], kept["text"], kept["by"]) == ("workshop-not-closed", TEXT, str(filing.submitted_by))
    assert kept["at"].startswith("2025-08-20")
    (table,) = (
        one for section in filing.report["sections"] for one in section["tables"] if one["key"] == "findings"
    )
    assert any(TEXT in row[2] for row in table["rows"])


def test_a_word_is_no_answer(jurisdiction):
    with pytest.raises(Unanswered):
        submit(jurisdiction, answers={"workshop-not-closed": Written(text="fine")})


def test_an_answer_holds_only_for_the_sentence_it_was_written_to(jurisdiction):
    with pytest.raises(Unanswered):
        submit(
            jurisdiction,
            answers={"workshop-not-closed": Written(text=TEXT, headline="Not closed yet: another.")},
        )


def test_few_answers_are_a_note_that_nobody_need_answer():
    filing = submit(programme(households=24, answers=16))

    findings = next(t for s in filing.report["sections"] for t in s["tables"] if t["key"] == "findings")
    assert [row[2] for row in findings["rows"]] == ["A note: the range says it."]
    assert filing.answers == []


def test_the_page_asks_keeps_what_was_written_and_files_once_all_is_answered(as_coordinator, coordinator):
    quarter = periods.last_full_quarter(timezone.localdate())
    place = make_jurisdiction(name="Quillby")
    make_workshop(jurisdiction=place, held_on=periods.first_day(quarter), state="held")
    draft = FilingDraft.objects.create(
        jurisdiction=place, period=str(quarter), begun_at=timezone.now(), begun_by=coordinator
    )
    submit_at = reverse("filing_submit", args=[draft.pk])
    page = as_coordinator.get(draft.get_absolute_url()).content.decode()
    says = re.search(r'name="answer-workshop-not-closed-says" value="([^"]+)"', page).group(1)
    written = {"answer-workshop-not-closed-says": says}

    short = as_coordinator.post(submit_at, {**written, "answer-workshop-not-closed": "lost"}, follow=True)

    assert "Not filed" in short.content.decode()
    assert ">\nlost</textarea>" in short.content.decode()
    as_coordinator.post(submit_at, {**written, "answer-workshop-not-closed": TEXT})
    filing = Filing.objects.get()
    assert [one["text"] for one in filing.answers] == [TEXT]
    assert TEXT in as_coordinator.get(filing.get_absolute_url()).content.decode()


def test_a_restatement_begins_from_what_was_answered_before(jurisdiction):
    filing = submit(jurisdiction, answers={"workshop-not-closed": Written(text=TEXT)})

    assert filing.kept_answers["workshop-not-closed"]["text"] == TEXT


def test_the_command_lists_what_stands_and_takes_answers(jurisdiction, capsys):
    options = {"jurisdiction": "Quillby", "quarter": "2025-Q2"}

    with pytest.raises(CommandError, match='--answer workshop-not-closed="…"'):
        call_command("file_quarter", **options)
    with pytest.raises(CommandError, match="Write an answer as KEY"):
        call_command("file_quarter", **options, answer=["workshop-not-closed"])
    call_command("file_quarter", **options, answer=[f"workshop-not-closed={TEXT}"])

    assert Filing.objects.get().answers[0]["by"] == "the command line"
