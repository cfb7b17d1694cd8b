"""Disclosures: what was asked for goes out, what is withheld is blacked out with its reason, nobody is in any file."""

import csv
import hashlib
import io
import uuid
import zipfile
from datetime import date
from types import SimpleNamespace

import pytest
from django.apps import apps
from django.core.exceptions import ValidationError
from django.db import IntegrityError, models, transaction
from django.utils import timezone
from pypdf import PdfReader

from outreach.bins.models import Handout
from outreach.disclosure import making, withholding
from outreach.disclosure.models import Disclosure, Handover, RecordsRequest, ReleasedWords, Withholding
from outreach.disclosure.row_kinds import BY_KEY, KINDS
from outreach.disclosure.rows import BLACKED_OUT, TOO_FEW, large_enough
from outreach.households import forgetting
from outreach.households.forgotten_models import Forgotten
from outreach.staff import guard, privacy
from tests.browser.records import SAID_IN_PRIVATE, make_everything
from tests.factories.bins import make_handout
from tests.factories.households import make_household, make_participant
from tests.factories.places import make_district
from tests.factories.staff import make_member

pytestmark = [pytest.mark.django_db]
DAY = date(2025, 5, 10)
OURS = [model for model in apps.get_models() if model.__module__.startswith("outreach.")]


@pytest.fixture(autouse=True)
def own_folder(settings, tmp_path):
    settings.VAR = tmp_path
    settings.MEDIA_ROOT = tmp_path / "uploads"


def take_down(**differences):
    said = {
        "reference": "PRR 2026-021",
        "requester": "Gazette of Quillby",
        "asked_on": DAY,
        "asked_for": "All records of bins handed out in May",
        "kinds": ["handouts"],
        "first_day_on": date(2000, 1, 1),
        "last_day_on": date(2100, 1, 1),
    }
    request = RecordsRequest(**said | differences)
    return making.take_down(request=request, by=make_member(), at=timezone.now())


def make(request):
    return making.make(
        request=request, key=uuid.uuid4(), by=make_member(), at=timezone.now(), watch=lambda done, of: None
    )


def files_of(disclosure):
    from django.core.files.storage import default_storage

    with default_storage.open(disclosure.stored_as) as stored, zipfile.ZipFile(stored) as package:
        return {name: package.read(name) for name in package.namelist()}


def table(content):
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"))))


def words_of(name, content):
    if name.endswith(".pdf"):
        return " ".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)
    return content.decode("utf-8-sig")


def marked(field, row):
    """A text that can be found again; short, since some columns are."""
    text = f"zq{row.pk}x{field.name[:6]}"
    if isinstance(field, models.JSONField):
        return {"said": text}
    return text[: field.max_length] if getattr(field, "max_length", None) else text


def fill_with_marks():
    """Put a mark into every personal field of every row, past all rules."""
    filled = set()
    with guard.lifted():
        for model in OURS:
            if model._meta.app_label in ("filings", "disclosure"):
                continue
            for row in model._default_manager.all():
                said = {}
                for name in privacy.classes_of(model).personal:
                    field = model._meta.get_field(name)
                    if isinstance(field, models.TextField | models.CharField | models.JSONField):
                        said[name] = marked(field, row)
                for name, value in said.items():
                    try:
                        with transaction.atomic():
                            model._base_manager.filter(pk=row.pk).update(**{name: value})
                        filled.add(f"{model._meta.label}.{name}")
                    except IntegrityError:
                        continue
    return filled


def test_no_personal_field_of_any_record_is_in_any_file(django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        make_everything()
    filled = fill_with_marks()
    request = take_down(kinds=list(BY_KEY))

    disclosure = make(request)

    kinds = {f"{kind.model}.{column}" for kind in KINDS for column in kind.all_columns if "__" not in column}
    assert {"bins.Handout.note", "followup.Answer.remarks", "workshops.Registration.note"} <= filled & kinds
    assert len(filled) > 60
    files = files_of(disclosure)
    assert {f"{kind.key}.csv" for kind in KINDS} | {"covering-list.pdf"} <= set(files)
    found = {name: "zq" in words_of(name, content) for name, content in files.items()}
    assert not any(found.values()), found
    assert disclosure.rows > 10


def test_a_field_is_blacked_out_with_its_reason_beside_it():
    person = make_participant(full_name="Ada Holm")
    make_handout(household=person.household, participant=person, note="Ada was ill", lot="L-7")
    withholding.write(
        key=Withholding.PERSON,
        says={"is_withheld": True, "reason": "Names residents", "citation": "Sample Code 12.3"},
        by=make_member(),
        at=timezone.now(),
    )

    disclosure = make(take_down())

    (row,) = table(files_of(disclosure)["handouts.csv"])
    assert row["participant full name"] == BLACKED_OUT
    assert row["participant full name, why withheld"] == "Names residents (Sample Code 12.3)"
    assert row["note"] == BLACKED_OUT
    assert "free text" in row["note, why withheld"]
    assert row["lot"] == "L-7"
    assert "lot, why withheld" not in row
    assert {"column": "participant__full_name", "values": 1} in disclosure.contents[0]["withheld"]


def test_a_household_is_a_random_number_that_is_another_in_the_next_disclosure():
    home = make_participant().household
    for _ in range(2):
        make_handout(household=home, slot=None, is_subsidised=False)
    request = take_down()

    first, second = (table(files_of(make(request))["handouts.csv"]) for _ in range(2))

    assert len({row["household number"] for row in first}) == 1
    assert first[0]["household number"].startswith("H-")
    assert first[0]["household number"] != second[0]["household number"]


def test_free_text_goes_out_where_a_person_released_it_and_nowhere_else():
    kept, released = (make_handout(note=note) for note in ("for Ada", "bin was dented"))
    request = take_down()
    act = SimpleNamespace(by=make_member(), at=timezone.now())

    making.release_words(
        request=request,
        kind=BY_KEY["handouts"],
        looked_at=[kept.pk, released.pk],
        chosen={(released.pk, "note"), (released.pk, "picked_up_by"), (999, "note")},
        act=act,
    )

    notes = [row["note"] for row in table(files_of(make(request))["handouts.csv"])]
    assert sorted(notes) == sorted([BLACKED_OUT, "bin was dented"])
    assert list(ReleasedWords.objects.values_list("row", "column")) == [(released.pk, "note")]

    making.release_words(
        request=request, kind=BY_KEY["handouts"], looked_at=[released.pk], chosen=set(), act=act
    )
    assert not ReleasedWords.objects.exists()


def test_a_column_that_the_law_of_the_place_withholds_is_blacked_out_too():
    make_handout(lot="L-7")
    withholding.write(
        key="handouts.lot",
        says={"is_withheld": True, "reason": "Trade secret", "citation": ""},
        by=make_member(),
        at=timezone.now(),
    )

    (row,) = table(files_of(make(take_down()))["handouts.csv"])

    assert (row["lot"], row["lot, why withheld"]) == (BLACKED_OUT, "Trade secret")


def test_rows_outside_the_days_asked_for_stay():
    for day in (date(2025, 4, 30), date(2025, 5, 1), date(2025, 5, 31), date(2025, 6, 1)):
        make_handout(handed_on=day)

    disclosure = make(take_down(first_day_on=date(2025, 5, 1), last_day_on=date(2025, 5, 31)))

    days = [row["handed on"] for row in table(files_of(disclosure)["handouts.csv"])]
    assert days == ["2025-05-01", "2025-05-31"]
    assert disclosure.rows == 2


def test_a_district_of_few_households_is_not_named(settings):
    settings.SMALLEST_COUNT = 3
    large, small = (make_district(name=name) for name in ("North", "Hollow"))
    for number, district in enumerate([large, large, large, large, small]):
        home = make_household(district=district, street=f"{number + 1} Reed St")
        make_handout(household=home)

    rows = table(files_of(make(take_down()))["handouts.csv"])

    # Of two districts one alone would be known by the other, so neither is named.
    assert {row["district name"] for row in rows} == {TOO_FEW}


@pytest.mark.parametrize(
    ("counts", "shown"),
    [
        ({"a": 9, "b": 8}, {"a", "b"}),
        ({"a": 9, "b": 8, "c": 1}, {"a"}),
        ({"a": 9, "b": 8, "c": 1, "d": 4}, {"a", "b"}),
        ({"a": 9, "b": 8, "c": 1, "d": 2}, {"a"}),
        ({"a": 2}, set()),
        ({}, set()),
    ],
)
def test_groups_that_are_hidden_hide_each_other(counts, shown):
    assert large_enough(counts, smallest=5) == shown


def test_cells_that_could_start_a_formula_are_text():
    make_handout(lot='=HYPERLINK("http://example.org")')

    (row,) = table(files_of(make(take_down()))["handouts.csv"])

    assert row["lot"].startswith("'=")


def test_the_covering_list_says_what_was_asked_what_is_enclosed_and_what_was_withheld():
    make_handout(note="for Ada")
    disclosure = make(take_down())

    files = files_of(disclosure)
    words = " ".join(words_of("x.pdf", files["covering-list.pdf"]).split())

    for said in (
        "PRR 2026-021",
        "Gazette of Quillby",
        "All records of bins handed out in May",
        "handouts.csv",
    ):
        assert said in words
    assert "It is free text, which may name someone; nobody has released it." in words
    digest = hashlib.sha256(files["handouts.csv"]).hexdigest()
    assert disclosure.contents[0]["sha256"] == digest
    assert digest in words.replace(" ", "")


def test_made_twice_under_one_key_it_is_one_disclosure():
    request, key = take_down(), uuid.uuid4()
    done = {
        "request": request,
        "key": key,
        "by": make_member(),
        "at": timezone.now(),
        "watch": lambda *_: None,
    }

    assert making.make(**done) == making.make(**done)


def test_names_and_free_text_cannot_be_set_to_be_shown():
    with pytest.raises(ValidationError, match="always withheld"):
        withholding.write(
            key=Withholding.PERSON,
            says={"is_withheld": False, "reason": "", "citation": ""},
            by=make_member(),
            at=timezone.now(),
        )


def test_what_is_withheld_has_a_reason():
    with pytest.raises(ValidationError, match="Say why"):
        withholding.write(
            key="handouts.lot", says={"is_withheld": True, "reason": ""}, by=make_member(), at=timezone.now()
        )


@pytest.mark.parametrize(
    ("differences", "sentence"),
    [
        ({"first_day_on": date(2026, 1, 2), "last_day_on": date(2026, 1, 1)}, "before the first"),
        ({"kinds": []}, "at least one kind"),
        ({"kinds": ["gossip"]}, "Nothing of this kind is on record: gossip"),
    ],
)
def test_a_request_that_makes_no_sense_is_refused(differences, sentence):
    with pytest.raises(ValidationError, match=sentence):
        take_down(**differences)


@pytest.mark.postgres
def test_what_went_out_cannot_be_changed():
    disclosure = make(take_down())
    handover = Handover(
        disclosure=disclosure, to_whom="The Gazette", how="e_mail", handed_over_on=timezone.localdate()
    )
    making.hand_over(handover=handover, by=make_member(), at=timezone.now())

    for change in (
        lambda: Disclosure.objects.update(rows=0),
        lambda: Handover.objects.update(sha256="0"),
        lambda: Handover.objects.all().delete(),
        disclosure.save,
    ):
        with pytest.raises(IntegrityError, match="never changed"), transaction.atomic():
            change()

    assert Handover.objects.get().sha256 == disclosure.sha256


def test_it_cannot_have_gone_out_before_it_was_made():
    handover = Handover(
        disclosure=make(take_down()), to_whom="Ada", how="post", handed_over_on=date(2020, 1, 1)
    )

    with pytest.raises(ValidationError, match="made later"):
        making.hand_over(handover=handover, by=make_member(), at=timezone.now())


def test_forgetting_takes_files_with_released_words_and_the_name_of_who_asked(
    django_capture_on_commit_callbacks,
):
    from django.core.files.storage import default_storage

    person = make_participant(full_name="Philippa Ravensworth")
    handout = make_handout(household=person.household, participant=person, note=SAID_IN_PRIVATE)
    request = take_down(requester="Philippa Ravensworth")
    act = SimpleNamespace(by=make_member(), at=timezone.now())
    looked = {"looked_at": [handout.pk], "chosen": {(handout.pk, "note")}}
    making.release_words(request=request, kind=BY_KEY["handouts"], **looked, act=act)
    disclosure = make(request)

    with django_capture_on_commit_callbacks(execute=True):
        forgetting.forget(participant=person, why=Forgotten.Schedule.ASKED, by=None, at=timezone.now())

    assert not default_storage.exists(disclosure.stored_as)
    request.refresh_from_db()
    assert "Ravensworth" not in request.requester
    assert Handout.objects.get().note != SAID_IN_PRIVATE
