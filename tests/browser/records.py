"""One of everything on record, made as people make it, and where the page of each is."""

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.utils import timezone

from diversion.inputs import Quarter
from outreach.bins import handing_out, ledger, ruling
from outreach.bins.models import BinModel, BinOrder, Handout, RuleException, RuleVersion, StockPlace
from outreach.filings import gathering, jobs, periods, submitting
from outreach.filings.answering import Written
from outreach.followup import answering
from outreach.followup.answer_reading import AnswerAsGiven
from outreach.followup.models import Answer, OwnContainer
from outreach.households import consent, merging, recording
from outreach.households.models import Household, Participant
from outreach.intake import staging
from outreach.intake.models import PaperworkRow
from outreach.intake.taking_in import take_in
from outreach.places.addresses import read_address
from outreach.places.models import Jurisdiction
from outreach.places.serving import PlacesList
from outreach.site.management.commands.demo import FOUND_AND_ANSWERED
from outreach.staff.models import Job, StaffMember
from outreach.workshops import planning, registering
from outreach.workshops.models import Registration, Workshop
from tests.browser.asking_records import make_asking
from tests.browser.disclosure_records import make_disclosure
from tests.browser.door_records import doors
from tests.browser.help_records import make_help
from tests.browser.money_records import make_money
from tests.browser.post_records import make_post
from tests.browser.sign_up_records import sign_ups
from tests.browser.weighing_records import make_visits, make_weighing
from tests.factories.followup import make_wave
from tests.factories.funding import make_funding_source
from tests.factories.paperwork import PLACES, make_csv
from tests.factories.places import make_district, make_served_place, make_venue
from tests.factories.staff import make_member
from tests.filings.programmes import programme

# What a resident is known by: nobody without the right to see it may find any of this on a page.
PEOPLE = {
    "Philippa Ravensworth": {"email": "philippa@example.org", "phone": "555-555-0101"},
    "Ignatius Thornquist": {"email": "ignatius@example.org", "phone": "555-555-0102"},
}
STREETS = ("17 Bellweather Crescent", "29 Bellweather Crescent")
SAID_IN_PRIVATE = "Philippa asks that her sister is told first"
QUARTER = Quarter(year=2025, quarter=2)

Arguments = dict[str, dict[str, Any]]


@dataclass
class Season:
    """What the records below share: who writes them, when, and where."""

    by: StaffMember
    at: datetime.datetime
    jurisdiction: Jurisdiction

    @property
    def on(self) -> datetime.date:
        return timezone.localdate(self.at)

    def ago(self, days: int) -> datetime.date:
        return self.on - datetime.timedelta(days=days)


def make_everything() -> Arguments:
    """Make one of everything; give the arguments of each address that takes any."""
    season = Season(make_member(full_name="Odile Marsh"), timezone.now(), programme())
    arguments: Arguments = {}
    for some in (_places, _staff, _households, _workshops, _bins, _answers, _filings, _paperwork):
        arguments |= dict(some(season))
    arguments |= dict(make_help(season, SAID_IN_PRIVATE))
    arguments |= dict(make_post(season))
    arguments |= dict(make_money(season, SAID_IN_PRIVATE))
    arguments |= dict(make_weighing(season, SAID_IN_PRIVATE))
    arguments |= dict(make_visits(season, SAID_IN_PRIVATE))
    arguments |= dict(make_asking(season, SAID_IN_PRIVATE))
    arguments |= dict(make_disclosure(season))
    # No step of the end is done here: the pages of residents would be closed.
    arguments["programme_end_step"] = {"step": "bins"}
    return arguments


def secrets() -> set[str]:
    """Every name, street, e-mail address, phone and remark of a resident that is on record."""
    told = {SAID_IN_PRIVATE}
    for person in Participant.objects.all():
        told |= {person.full_name, person.email, person.phone, person.phone_key}
    for household in Household.objects.all():
        told |= {household.street, household.street_key, household.note}
    return {text for text in told if text}


def _places(season: Season) -> Iterator[tuple[str, dict[str, Any]]]:
    here = season.jurisdiction
    served = make_served_place(jurisdiction=here, city_name="Quillby", zip_code="00071")
    yield "served_place", {"pk": served.pk}
    yield "district", {"pk": make_district(jurisdiction=here, name="North ward").pk}
    yield "venue", {"pk": make_venue(jurisdiction=here, name="Quillby Grange", street="1 Mill Lane").pk}
    yield "jurisdiction", {"pk": here.pk}
    yield "landfill_profile", {"pk": here.landfill_profile_id}


def _staff(season: Season) -> Iterator[tuple[str, dict[str, Any]]]:
    helper = make_member(full_name="Bram Oyelaran", username="bram")
    gone = make_member(full_name="Lotte Finch", deactivated_at=season.at, deactivated_by=season.by)
    for name in ("staff_edit", "staff_deactivate", "staff_new_password"):
        yield name, {"member_id": helper.pk}
    yield "staff_reactivate", {"member_id": gone.pk}
    job = Job.objects.create(
        kind="intake.take_in", queued_at=season.at, queued_by=season.by, state="running", all_steps=40
    )
    yield "job", {"job_id": job.pk}


def _household(street: str, name: str, season: Season) -> Participant:
    found = recording.record_household(
        address=read_address(street, unit="", city="Quillby", zip_code="00071"),
        place=PlacesList.load().resolve("Quillby", "00071"),
        began_on=season.ago(300),
        facts=recording.HouseholdFacts(note=SAID_IN_PRIVATE),
    )
    facts = recording.person_facts(name, **PEOPLE[name], note=SAID_IN_PRIVATE)
    added = recording.add_participant(household=found.household, person=facts, first_seen_on=season.ago(300))
    return added.participant


def _households(season: Season) -> Iterator[tuple[str, dict[str, Any]]]:
    kept, absorbed = (_household(*pair, season) for pair in zip(STREETS, PEOPLE, strict=True))
    third = recording.record_household(
        address=read_address("31 Bellweather Crescent", unit="", city="Quillby", zip_code="00071"),
        place=PlacesList.load().resolve("Quillby", "00071"),
        began_on=season.ago(200),
    ).household
    merged = merging.merge(
        kept=kept.household,
        absorbed=third,
        by=season.by,
        at=season.at,
        reason=SAID_IN_PRIVATE,
    )
    home = kept.household
    for name in ("household", "household_correct", "participant_add", "merge_choose"):
        yield name, {"pk": home.pk}
    for name in ("hand_out", "move_out", "answer_add"):
        yield name, {"household_id": home.pk}
    yield "household_merge", {"pk": home.pk, "absorbed": absorbed.household_id}
    yield "merge_undo", {"pk": merged.pk}
    yield "participant", {"pk": kept.pk}
    yield "participant_forget", {"pk": kept.pk}
    link = consent.path_of(home, consent.Purpose.FOLLOW_UP)
    yield "consent", {"token": link.rstrip("/").rsplit("/", 1)[1]}
    yield "household_forget", {"pk": home.pk}
    yield "household_hold", {"pk": third.pk}


def _workshops(season: Season) -> Iterator[tuple[str, dict[str, Any]]]:
    person = Participant.objects.get(full_name="Philippa Ravensworth")
    venue = make_venue(jurisdiction=season.jurisdiction, name="Orchard House")
    plan = {"venue": venue, "jurisdiction": season.jurisdiction, "seats": 30, "bins_planned": 20}
    held, coming = (
        planning.add(workshop=Workshop(held_on=day, **plan), by=season.by, at=season.at)
        for day in (season.ago(20), season.on + datetime.timedelta(days=9))
    )
    booked = registering.register(workshop=held, participant=person, by=season.by, at=season.at)
    registering.mark_attended(registration=booked, by=season.by, at=season.at)
    other = Participant.objects.get(full_name="Ignatius Thornquist")
    registering.register(workshop=coming, participant=other, by=season.by, at=season.at)
    yield from sign_ups(season, venue)
    yield "workshop", {"workshop_id": held.pk}
    yield "workshop_edit", {"workshop_id": coming.pk}
    yield "door_app", {"workshop_id": coming.pk}
    yield "door_words", {"language": "es"}
    yield from doors(held, season.by, season.at)
    yield "workshop_reason", {"workshop_id": coming.pk, "step": "cancel"}
    yield "workshop_person_add", {"workshop_id": held.pk, "how": "walk-in"}


def _order(model: BinModel, season: Season) -> BinOrder:
    order = BinOrder(
        supplier="Fennick and Daughters",
        bin_model=model,
        quantity=40,
        ordered_on=season.ago(30),
        due_on=season.ago(5),
        unit_price_cents=3150,
    )
    order.full_clean()
    order.save()
    return order


def _bins(season: Season) -> Iterator[tuple[str, dict[str, Any]]]:
    model = BinModel.objects.create(
        name="Mesh bin 110 gal", name_key="MESH BIN 110 GAL", family="mesh", litres=416
    )
    store, _is_new = StockPlace.objects.get_or_create(
        name="Yard store", defaults={"kind": StockPlace.Kind.STORE}
    )
    who = {"by": season.by, "at": season.at}
    order = _order(model, season)
    ledger.receive(
        bin_model=model,
        order=order,
        quantity=12,
        to_place=store,
        received_on=season.ago(25),
        lot="L-7",
        **who,
    )
    ruling.add_version(version=RuleVersion(in_force_from_on=season.ago(400)))
    yield from _handouts(model, store, season)
    yield "bin_model", {"model_id": model.pk}
    yield "stock_place", {"place_id": store.pk}
    for name in ("order", "order_edit", "order_cancel", "order_receive"):
        yield name, {"order_id": order.pk}


def _handouts(model: BinModel, store: StockPlace, season: Season) -> Iterator[tuple[str, dict[str, Any]]]:
    registration = Registration.objects.who_came().get(participant__full_name="Philippa Ravensworth")
    home, day = registration.household, season.ago(20)
    given = {"household": home, "bin_model": model, "from_place": store, "by": season.by, "at": season.at}
    first = handing_out.hand_out(
        **given,
        handed_on=day,
        workshop=registration.workshop,
        participant=registration.participant,
        lot="L-7",
        note=SAID_IN_PRIVATE,
    )
    handing_out.hand_out(**given, handed_on=season.ago(2), exception_reason=SAID_IN_PRIVATE)
    for name in ("handout", "handout_correct", "handout_take_back", "handout_replace", "handout_void"):
        yield name, {"handout_id": first.pk}
    yield "exception_reason", {"exception_id": RuleException.objects.latest("pk").pk}


def _answers(season: Season) -> Iterator[tuple[str, dict[str, Any]]]:
    home = Handout.objects.get(note=SAID_IN_PRIVATE).household
    given = AnswerAsGiven(
        household=home,
        participant=Participant.objects.get(full_name="Philippa Ravensworth"),
        answered_on=season.ago(1),
        composting="yes",
        channel=Answer.Channel.PHONE,
        food_text="a heap and a half",
        remarks=SAID_IN_PRIVATE,
    )
    waits = answering.record_answer(given=given, by=season.by, at=season.at).answer
    for name in ("answer", "answer_correct"):
        yield name, {"answer_id": waits.pk}
    yield "wave_edit", {"wave_id": make_wave().pk}
    own = OwnContainer.objects.create(name="green caddy", name_key="green caddy", ml=7000)
    yield "own_container_edit", {"container_id": own.pk}


def _filings(season: Season) -> Iterator[tuple[str, dict[str, Any]]]:
    written = {code: Written(text=text) for code, text in FOUND_AND_ANSWERED.items()}
    act = submitting.Act(by=season.by, at=season.at, cut_off=season.on, answers=written)
    scope = gathering.Scope(jurisdiction=season.jurisdiction)
    period = periods.calendar_quarter(QUARTER)
    filing = submitting.submit(period=period, scope=scope, choices={}, act=act)
    draft = submitting.begin(
        jurisdiction=season.jurisdiction, period=period, choices={}, by=season.by, at=season.at
    )
    yield "filing_draft", {"pk": draft.pk}
    for name in (
        "filing",
        "filing_working",
        "filing_verify",
        "filing_today",
        "filing_report",
        "filing_report_pdf",
        "filing_council",
        "filing_council_pdf",
        "filing_pdf",
        "filing_workbook",
        "filing_figures",
        "filing_data_package",
        "filing_live_file",
        "filing_pack_file",
        "filing_rows_file",
        "filing_named_rows_file",
        "api_filing",
    ):
        yield name, {"pk": filing.pk}
    rows = [jobs.rows_stored_as(filing, with_contact_data=one) for one in (False, True)]
    for stored in (jobs.stored_as(filing), jobs.pack_stored_as(filing), *rows):
        default_storage.save(stored, ContentFile(b"made by a worker"))
    yield "funding_source", {"pk": make_funding_source().pk}


SHEET = [
    ["Date: 3/1/2025", "Location: Harbor Annex, Tidewell"],
    ["Name", "Address", "City", "ZIP", "E-mail", "Bin", "Bin type"],
    ["Ada Holm", "5 Reed St", "Tidewell", "00431", "ada@example.org", "y", "Mesh ring"],
    ["Ben Ito", "Reed St", "Tidewell", "00431", "", "y", "Mesh ring"],
]


def _paperwork(season: Season) -> Iterator[tuple[str, dict[str, Any]]]:
    who = {"by": season.by, "at": season.at}
    take_in([("places.csv", PLACES), ("harbor-annex.csv", make_csv(SHEET))], **who)
    later = [["Date: 4/5/2025", SHEET[0][1]], SHEET[1], ["Cy Adeyemi", "9 Reed St", *SHEET[2][2:]]]
    staged = staging.stage(name="later.csv", data=make_csv(later), **who)
    row = PaperworkRow.objects.for_review().filter(file__kind="sign_in").latest("row_number")
    yield "paperwork_columns", {"pk": staged.pk}
    yield "paperwork_file", {"pk": row.file_id}
    yield "paperwork_original", {"pk": row.file_id}
    yield "intake_row", {"pk": row.pk}
