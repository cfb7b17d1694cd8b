"""Every address of ours in a browser and as every reader: nothing cut off, nothing that bars, nobody named."""

import contextlib
import io
import re
import uuid
import zipfile

import pytest
from django.urls import Resolver404, resolve, reverse
from pypdf import PdfReader

from outreach.staff.roles import Role
from tests.browser import records
from tests.factories.staff import make_member
from tests.staff.test_admission import patterns

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

ONLY_POSTED = "It only takes what is posted."
A_FILE = "It gives a file to keep, not a page."
FOR_MACHINES = "It is read by machines."
LEFT_OUT = {
    "sign_in": "Whoever has signed in is sent on; it is looked at below.",
    "sign_out": ONLY_POSTED,
    "served_place_remove": ONLY_POSTED,
    "duplicates_different": ONLY_POSTED,
    "hold_release": ONLY_POSTED,
    "retention_do": ONLY_POSTED,
    "consent_told": ONLY_POSTED,
    "participant_link": ONLY_POSTED,
    "participant_unlink": ONLY_POSTED,
    "workshop_step": ONLY_POSTED,
    "workshop_headcount": ONLY_POSTED,
    "workshop_person_put": ONLY_POSTED,
    "registration_step": ONLY_POSTED,
    "booking_step": ONLY_POSTED,
    "offer_answer": ONLY_POSTED,
    "my_booking_step": ONLY_POSTED,
    "postcards_mailed": ONLY_POSTED,
    "call_logged": ONLY_POSTED,
    "postcards_pdf": A_FILE,
    "owed_let_go": ONLY_POSTED,
    "public_calendar": A_FILE,
    "workshop_calendar": A_FILE,
    "staff_calendar": A_FILE,
    "sign_in_look": ONLY_POSTED,
    "answer_look": ONLY_POSTED,
    "typed_names": "Options of a list, looked at with the grid that has it.",
    "workshop_sheet": A_FILE,
    "workshop_waiver": A_FILE,
    "workshop_labels": A_FILE,
    "workshop_flyer": A_FILE,
    "answer_settle": ONLY_POSTED,
    "weigh_in_take_off": ONLY_POSTED,
    "weigh_in_no_reply": ONLY_POSTED,
    "intake_take_in_all": ONLY_POSTED,
    "paperwork_set_aside": ONLY_POSTED,
    "intake_try_again": ONLY_POSTED,
    "intake_row_right": ONLY_POSTED,
    "filing_submit": ONLY_POSTED,
    "filing_discard": ONLY_POSTED,
    "filing_live": ONLY_POSTED,
    "filing_pack": ONLY_POSTED,
    "filing_rows": ONLY_POSTED,
    "disclosure_make": ONLY_POSTED,
    "programme_end_take_back": ONLY_POSTED,
    "end_open_files": "It is there once it was written; tests/ending fetches it.",
    "end_certificate": "It is there once contact data are destroyed; tests/ending reads it.",
    "disclosure_file": A_FILE,
    "filing_named_rows": ONLY_POSTED,
    "filing_rows_file": A_FILE,
    "filing_named_rows_file": A_FILE,
    "filing_live_file": A_FILE,
    "filing_pack_file": A_FILE,
    "filing_data_package": A_FILE,
    "help_reopen": ONLY_POSTED,
    "message_step": ONLY_POSTED,
    "call_outcome": ONLY_POSTED,
    "letters_printed": ONLY_POSTED,
    "letters_pdf": A_FILE,
    "message_letter": A_FILE,
    "grant_period_remove": ONLY_POSTED,
    "costs_csv": A_FILE,
    "hours_csv": A_FILE,
    "paperwork_original": A_FILE,
    "filing_pdf": A_FILE,
    "filing_report_pdf": A_FILE,
    "filing_council_pdf": A_FILE,
    "filing_workbook": A_FILE,
    "filing_figures": A_FILE,
    "help_letter": A_FILE,
    "sheet_print": A_FILE,
    "household_sheet": A_FILE,
    "handout_sheet": A_FILE,
    "weigh_in_sheets": A_FILE,
    "weigh_in_sheet": A_FILE,
    "site_check_route": A_FILE,
    "workshop_sheets": A_FILE,
    "api_filings": FOR_MACHINES,
    "api_filing": FOR_MACHINES,
    "door_worker": FOR_MACHINES,
    "door_device": ONLY_POSTED,
    "door_table": ONLY_POSTED,
    "door_pass_revoke": ONLY_POSTED,
    "door_device_revoke": ONLY_POSTED,
    "door_held_release": ONLY_POSTED,
    "api_door_devices": FOR_MACHINES,
    "api_door_roster": FOR_MACHINES,
    "api_door_events": FOR_MACHINES,
    "api_door_goodbye": FOR_MACHINES,
    "door_words": FOR_MACHINES,
    "door_manifest": FOR_MACHINES,
}
ONLY_POSTED_TO = {name for name, reason in LEFT_OUT.items() if reason == ONLY_POSTED}
# The same addresses asked otherwise.
ALSO = (
    "/households/duplicates/?kind=participant",
    "/households/?search=nobody",
    "/bins/lot/?lot=L-7",
    "/bins/handouts/?state=exception",
    "/workshops/?venue=999",
    "/set-up/trail/?number=1",
)
# A job is shown to whoever asked for it, and to the office.
ASKED_BY_ANOTHER = {"job"}
# Paperwork is what a figure rests on in the end: an auditor reads it as it came.
PAPERWORK = {"paperwork_file", "paperwork_original", "intake_row", "filing_pack_file"}
WIDTHS = (1280, 360)


@pytest.fixture(autouse=True)
def uploads(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def arguments():
    return records.make_everything()


def addresses(arguments, *, left_out=()):
    """Where each page is; a new one with arguments wants a record in tests/browser/records.py."""
    return {
        pattern.name: reverse(pattern.name, kwargs=arguments.get(pattern.name, {}))
        for pattern in patterns()
        if pattern.name not in left_out
    }


def faults_of(window, address):
    """What is wrong with one page at each width."""
    window.complaints.clear()
    answer = window.page.goto(window.base + address)
    faults = [] if answer.status == 200 else [f"status {answer.status}"]
    if not window.page.url.endswith(address):
        faults.append(f"went on to {window.page.url}")
    for width in WIDTHS:
        window.page.set_viewport_size({"width": width, "height": 800})
        # Inks do not change with the width, and looking at them takes longest.
        but = () if width == WIDTHS[0] else ("color-contrast",)
        faults += [f"{width} px, cut off: {what}" for what in window.cut_off()]
        faults += [f"{width} px, {barrier}" for barrier in window.serious_barriers(but=but)]
    return faults + window.complaints


def test_no_screen_is_cut_off_or_bars_anyone(look_as, arguments):
    window = look_as(Role.ADMINISTRATOR)
    asked = [*addresses(arguments, left_out=LEFT_OUT).values(), *ALSO]

    faults = {address: faults_of(window, address) for address in asked}

    assert {address: found for address, found in faults.items() if found} == {}


@pytest.mark.django_db
def test_what_is_left_out_is_left_out_for_its_reason(as_role, arguments):
    client = as_role(Role.ADMINISTRATOR)
    everywhere = addresses(arguments | _sample_arguments(arguments))

    answers = {name: client.get(everywhere[name]) for name in LEFT_OUT}

    for name, reason in LEFT_OUT.items():
        if reason == ONLY_POSTED:
            assert answers[name].status_code == 405, name
        elif reason in (A_FILE, FOR_MACHINES):
            assert "text/html" not in answers[name]["Content-Type"], name
            kept_from(answers[name])


def _sample_arguments(arguments):
    """Arguments of the addresses that are only posted to; any record of the kind will do."""
    person, workshop = arguments["participant"]["pk"], arguments["workshop"]["workshop_id"]
    answer, draft = arguments["answer"]["answer_id"], arguments["filing_draft"]["pk"]
    return {
        "served_place_remove": arguments["served_place"],
        "hold_release": {"pk": 1},
        "consent_told": {"pk": 1},
        "duplicates_different": {"kind": "household", "left": 1, "right": 2},
        "participant_link": {"pk": person, "same_as": 1},
        "participant_unlink": {"pk": person},
        "workshop_step": {"workshop_id": workshop, "step": "close"},
        "workshop_headcount": {"workshop_id": workshop},
        "workshop_person_put": {"workshop_id": workshop, "how": "book", "participant_id": person},
        "registration_step": {"registration_id": 1, "step": "attended"},
        "owed_let_go": {"promise_id": 1},
        "answer_settle": {"answer_id": answer, "outcome": "count"},
        "postcards_mailed": arguments["wave_edit"],
        "postcards_pdf": arguments["postcards_pdf"],
        "call_logged": arguments["answer_add"],
        "weigh_in_take_off": arguments["weigh_in"],
        "weigh_in_no_reply": arguments["weigh_in_season"],
        "paperwork_set_aside": arguments["paperwork_columns"],
        "intake_row_right": arguments["intake_row"],
        "sign_in_look": {"workshop_id": workshop, "number": 3},
        "answer_look": {"number": 3},
        "door_device": {"workshop_id": workshop},
        "door_table": {"workshop_id": workshop},
        "door_pass_revoke": {"pass_id": 1},
        "door_device_revoke": {"device_id": 1},
        "door_held_release": {"number": uuid.UUID(int=1)},
        "filing_live": arguments["filing"],
        "filing_pack": arguments["filing"],
        "filing_rows": arguments["filing"],
        "programme_end_take_back": {"step": "bins"},
        "grant_period_remove": arguments["grant_period"],
        "filing_named_rows": arguments["filing"],
        "filing_submit": {"pk": draft},
        "filing_discard": {"pk": draft},
    }


def kept_from(answer):
    """The content of an answer; a file that it was sent from is closed."""
    content = answer.getvalue()
    if answer.streaming and (sent := getattr(answer, "file_to_stream", None)):
        sent.close()
    return content


def in_words(answer):
    """Everything that can be read in an answer, also inside a PDF or a workbook."""
    content = kept_from(answer)
    if content.startswith(b"%PDF"):
        return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)
    if content.startswith(b"PK"):
        with zipfile.ZipFile(io.BytesIO(content)) as parts:
            return "\n".join(parts.read(name).decode(errors="replace") for name in parts.namelist())
    return content.decode()


def admitted_to(role):
    """Names of the addresses that answer this role, but for those where names are meant to be read."""
    return {
        pattern.name
        for pattern in patterns()
        if role in getattr(pattern.callback, "allowed_roles", Role)
        and pattern.name not in PAPERWORK | ASKED_BY_ANOTHER
        and LEFT_OUT.get(pattern.name) != ONLY_POSTED
        # Devices have tokens of their own, and no person is admitted there.
        and not pattern.name.startswith("api_door_")
    }


@pytest.mark.django_db
@pytest.mark.parametrize("role", [Role.CITY_ANALYST, Role.AUDITOR])
def test_no_resident_is_named_to_those_who_read_figures(as_role, arguments, role):
    client, never_said = as_role(role), records.secrets()
    asked = addresses(arguments, left_out=ONLY_POSTED_TO)

    said, refused = {}, {}
    for name in admitted_to(role):
        answer = client.get(asked[name])
        if answer.status_code not in (200, 302):
            refused[name] = answer.status_code
        words = in_words(answer)
        said[name] = [secret for secret in never_said if secret in words]

    assert refused == {}
    assert len(said) > 20
    assert {name: found for name, found in said.items() if found} == {}


def closed_to(role, html):
    """Addresses of ours that a page links to and that turn this role away."""
    for address in set(re.findall(r'href="(/[^"#?]*)', html)):
        with contextlib.suppress(Resolver404):
            if role not in getattr(resolve(address).func, "allowed_roles", Role):
                yield address


@pytest.mark.django_db
@pytest.mark.parametrize("role", Role)
def test_no_link_leads_to_a_closed_door(as_role, arguments, role):
    client = as_role(role)
    asked = addresses(arguments, left_out=LEFT_OUT)
    admitted = admitted_to(role) | (PAPERWORK - set(LEFT_OUT) if role == Role.AUDITOR else set())

    closed = {}
    for name in admitted & set(asked):
        html = client.get(asked[name]).content.decode()
        closed[name] = sorted(closed_to(role, html))

    assert {name: found for name, found in closed.items() if found} == {}


def test_paperwork_with_names_is_for_auditors_and_the_office():
    admitted = {p.name: p.callback.allowed_roles for p in patterns() if p.name in PAPERWORK}

    assert set(admitted) == PAPERWORK
    assert all(
        set(roles) <= {Role.ADMINISTRATOR, Role.COORDINATOR, Role.AUDITOR} for roles in admitted.values()
    )


@pytest.mark.parametrize("address", ["/no-such-page/", "/staff/password/", "/set-up/people/"])
def test_door_crew_meet_pages_in_words_where_they_may_not_go(look_as, address):
    window = look_as(Role.DOOR_CREW, width=360)

    window.open(address)

    assert window.page.locator("h1").count() == 1
    assert window.cut_off() == []
    assert window.serious_barriers() == []


def test_signing_in_and_being_locked_out(look_as, settings):
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]  # eight tries, quickly
    window = look_as(Role.COORDINATOR, width=360)
    window.page.context.clear_cookies()
    make_member(username="wren", password="bellflower-moss-7")

    window.open("/staff/sign-in/")

    assert window.cut_off() == []
    assert window.serious_barriers() == []

    for _attempt in range(settings.AXES_FAILURE_LIMIT):
        window.page.get_by_label("Sign-in name").fill("wren")
        window.page.get_by_label("Password").fill("not the password")
        window.page.get_by_role("button", name="Sign in").click()

    assert window.page.get_by_role("heading", name="Too many attempts").is_visible()
    assert window.cut_off() == []
    assert window.serious_barriers() == []
