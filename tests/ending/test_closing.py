"""Closing the programme: steps wait for what is missing, are taken back, and end with contact data destroyed."""

import io
import json
import zipfile
from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.core.files.storage import default_storage
from django.db import IntegrityError, connection, transaction
from django.urls import reverse
from django.utils import timezone
from frictionless import Package, system

from outreach.bins import ledger
from outreach.bins.models import StockBalance, StockMovement, StockPlace
from outreach.ending import closing, destroying, jobs, missing, sweeping
from outreach.ending.models import EndStep
from outreach.ending.tables import LEFT_OUT, tables
from outreach.filings import verifying
from outreach.filings.models import Filing, FilingDraft
from outreach.followup.models import Wave
from outreach.households import holding_back, retention
from outreach.households.models import Household, Participant
from outreach.staff import guard, privacy, working
from outreach.staff.models import Job
from outreach.staff.roles import Role
from outreach.workshops.models import Workshop
from tests.browser.records import PEOPLE, STREETS, make_everything
from tests.ending.steps import act, say_done
from tests.factories.bins import make_bin_model
from tests.factories.followup import make_wave
from tests.factories.households import make_participant
from tests.factories.staff import make_member

pytestmark = pytest.mark.django_db
Step = EndStep.Step


def fill_a_store(bins):
    store = StockPlace.objects.create(name="Yard store")
    model = make_bin_model()
    ledger.move(
        bin_model=model,
        quantity=bins,
        from_place=StockPlace.objects.end("suppliers"),
        to_place=store,
        why="received",
        moved_on=timezone.localdate(),
        by=None,
        at=timezone.now(),
    )
    return StockBalance.objects.get(place=store, bin_model=model)


def test_nothing_filed_is_said_and_refused():
    with pytest.raises(ValidationError, match="Nothing has been filed"):
        closing.do(step=Step.LAST_FILING, act=act())

    assert not EndStep.objects.exists()


def test_closing_sign_up_stops_waves_and_taking_it_back_starts_the_same_ones():
    never = make_wave(months_after=9, is_open=False)
    asked = set(Wave.objects.filter(is_open=True))

    closing.do(step=Step.SIGN_UP, act=act())
    assert not Wave.objects.filter(is_open=True).exists()

    closing.take_back(step=Step.SIGN_UP, act=act())
    assert set(Wave.objects.filter(is_open=True)) == asked != set()
    assert never not in asked


def test_bins_leave_the_stores_with_words_and_come_back():
    balance = fill_a_store(7)
    with pytest.raises(ValidationError, match="Say what becomes"):
        closing.do(step=Step.BINS, act=act())

    done = closing.do(step=Step.BINS, act=act(words="handed over to the city yard"))

    balance.refresh_from_db()
    assert (balance.on_hand, done.facts["bins"]) == (0, 7)
    gone = StockMovement.objects.latest("pk")
    assert (gone.why, gone.note, gone.quantity) == ("written_off", "handed over to the city yard", 7)

    closing.take_back(step=Step.BINS, act=act())
    balance.refresh_from_db()
    assert balance.on_hand == 7


def test_retention_begins_for_all_and_is_called_off():
    say_done(Step.SIGN_UP)

    closing.do(step=Step.RETENTION, act=act())
    assert retention.everybody_until() is not None

    closing.take_back(step=Step.RETENTION, act=act())
    assert retention.everybody_until() is None


def test_a_step_is_done_once():
    closing.do(step=Step.SIGN_UP, act=act())

    with pytest.raises(ValidationError, match="done already"):
        closing.do(step=Step.SIGN_UP, act=act())


def test_contact_data_wait_for_every_step_before():
    with pytest.raises(ValidationError) as refused:
        destroying.destroy(act=act(), watch=lambda *_: None)

    assert len(refused.value.messages) == len(missing.BEFORE_DESTROYING)


def test_a_hold_refuses_to_destroy():
    home = make_participant().household
    say_done(*missing.BEFORE_DESTROYING)
    until = timezone.localdate() + timedelta(days=30)
    who = {"by": make_member(), "at": timezone.now()}
    holding_back.hold(household=home, reason="Audit of a grant", until_on=until, **who)

    with pytest.raises(ValidationError, match="Records are held until"):
        destroying.destroy(act=act(), watch=lambda *_: None)

    assert Participant.objects.still_named().exists()


def test_stopped_half_way_it_goes_on_with_whoever_is_left():
    for number in range(3):
        make_participant(full_name=f"Ada Holm {number}")
    say_done(*missing.BEFORE_DESTROYING)

    def stop(done, of):
        if done == 1:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        destroying.destroy(act=act(), watch=stop)
    assert Participant.objects.still_named().count() == 2
    assert not closing.is_done(Step.CONTACT_DATA)

    done = destroying.destroy(act=act(), watch=lambda *_: None)

    assert not Participant.objects.still_named().exists()
    assert (done.facts["people"], done.facts["households"]) == (3, 3)


def test_once_destroyed_nothing_is_taken_back():
    say_done(*missing.BEFORE_DESTROYING)
    destroying.destroy(act=act(), watch=lambda *_: None)

    with pytest.raises(ValidationError, match="cannot be called off"):
        closing.take_back(step=Step.SIGN_UP, act=act())
    with pytest.raises(ValidationError, match="cannot be brought back"):
        closing.note(step=Step.CONTACT_DATA, is_done=False, facts={}, act=act())


@pytest.mark.postgres
def test_what_was_done_cannot_be_changed():
    say_done(Step.SIGN_UP)

    for change in (lambda: EndStep.objects.update(is_done=False), lambda: EndStep.objects.all().delete()):
        with pytest.raises(IntegrityError, match="never changed"), transaction.atomic():
            change()


def everything_stored():
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f'SELECT * FROM "{table}"')
            yield from (f"{table}: {row}" for row in cursor.fetchall())


def words_that_name():
    return [*PEOPLE, *STREETS, *(one["email"] for one in PEOPLE.values()), "Ada Holm", "ada@example.org"]


def test_after_the_end_nobody_is_on_record_and_filings_still_verify(django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        make_everything()
    say_done(*missing.BEFORE_DESTROYING)

    with django_capture_on_commit_callbacks(execute=True):
        done = destroying.destroy(act=act(), watch=lambda *_: None)

    left = [
        line for line in everything_stored() for word in words_that_name() if word.lower() in line.lower()
    ]
    assert left == []
    assert done.facts["people"] >= len(PEOPLE)
    assert all(not default_storage.exists(one) for one in (jobs.STORED_AS,))
    assert [verifying.verify(filing) for filing in Filing.objects.all()] == [[]] * Filing.objects.count()
    assert guard.look(databases=["default"]) == []
    assert sweeping.sweep() == {}


def written_out():
    say_done(*missing.BEFORE_DESTROYING[:-1])
    asked = act()
    from outreach.staff.jobs import queue

    queue("ending.open_files", {"member_id": asked.by.pk}, by=asked.by, at=asked.at)
    working.run_queued()
    assert Job.objects.latest("pk").state == "done", Job.objects.latest("pk").message
    with default_storage.open(jobs.STORED_AS) as stored:
        return zipfile.ZipFile(io.BytesIO(stored.read()))


def test_everything_is_out_as_open_files_that_a_library_of_the_standard_accepts(tmp_path):
    make_everything()

    package = written_out()

    package.extractall(tmp_path / "out")
    with system.use_context(trusted=True):
        report = Package(str(tmp_path / "out" / "datapackage.json")).validate()
    assert report.valid, report.flatten(["title", "message"])[:5]
    names = set(package.namelist())
    assert {one.path for one in tables()} <= names
    assert closing.is_done(Step.OPEN_FILES)
    assert any(name.startswith("filings/") and name.endswith(".pdf") for name in names)


def test_names_stand_in_the_personal_folder_alone(tmp_path):
    make_everything()

    package = written_out()

    for name in package.namelist():
        if name.endswith(".csv") and not name.startswith("personal/"):
            text = package.read(name).decode()
            assert [word for word in words_that_name() if word in text] == [], name
    assert "Philippa Ravensworth" in package.read("personal/households_participant_personal.csv").decode()
    guide = package.read("README.md").decode()
    assert "personal" in guide
    assert all(f"`{one.path}`" in guide for one in tables())
    assert "argon2" not in "".join(
        package.read(name).decode(errors="replace") for name in package.namelist() if name.endswith(".csv")
    )


def test_every_column_of_every_table_is_in_exactly_one_place():
    for model in {one.model for one in tables()}:
        theirs = [one for one in tables() if one.model is model]
        opened, *personal = theirs
        named = {field.name for field in opened.fields}
        assert not named & privacy.classes_of(model).personal
        both = named | {field.name for one in personal for field in one.fields}
        left_out = {
            label.rsplit(".", 1)[1] for label in LEFT_OUT if label.startswith(model._meta.label + ".")
        }
        assert both == {field.name for field in model._meta.concrete_fields} - left_out


def test_the_rows_of_a_table_are_all_there():
    for number in range(3):
        make_participant(full_name=f"Ada Holm {number}")

    package = written_out()

    described = json.loads(package.read("datapackage.json"))
    homes = package.read("tables/households_household.csv").decode().splitlines()
    assert len(homes) == 1 + Household.objects.count()
    assert {one["path"] for one in described["resources"]} == {one.path for one in tables()}
    assert not FilingDraft.objects.exists()
    assert not Workshop.objects.exists()


OLD_LINKS = [
    ("public_workshops", [], 200),
    ("public_workshop", [1], 410),
    ("sign_up", [1], 410),
    ("my_booking", ["some-token"], 410),
    ("my_answer", ["some-token"], 410),
    ("ask_for_help", [], 410),
    ("help_outcome", ["some-token"], 410),
    ("public_calendar", [], 410),
]


@pytest.mark.parametrize(("name", "arguments", "status"), OLD_LINKS)
def test_old_links_lead_to_a_kind_page_in_both_languages(client, name, arguments, status):
    closing.do(step=Step.SIGN_UP, act=act())

    for language, words in (("en", "The programme has ended"), ("es", "El programa ha terminado")):
        answer = client.get(reverse(name, args=arguments), {"language": language})
        assert answer.status_code == status
        assert words in answer.content.decode()
        assert f'<html lang="{language}"' in answer.content.decode()


def test_posting_an_old_form_keeps_nothing_and_says_so(client):
    closing.do(step=Step.SIGN_UP, act=act())

    answer = client.post(reverse("ask_for_help"), {"own_words": "It smells"})

    assert answer.status_code == 410


def test_before_the_end_and_after_taking_it_back_links_work_as_ever(client):
    closing.do(step=Step.SIGN_UP, act=act())
    closing.take_back(step=Step.SIGN_UP, act=act())

    answer = client.get(reverse("public_workshops"))

    assert "The programme has ended" not in answer.content.decode()


def test_staff_read_on_and_residents_read_advice(client, as_role):
    closing.do(step=Step.SIGN_UP, act=act())

    assert client.get(reverse("recipe")).status_code == 200
    auditor = as_role(Role.AUDITOR)
    for name in ("season", "filings", "followup", "bins"):
        assert auditor.get(reverse(name)).status_code == 200
