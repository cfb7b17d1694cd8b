"""What stands in the form of a row before a person corrects it, and whom the row could mean."""

from django.db.models import Q

from outreach.bins.models import BinModel
from outreach.households.knowing import KnownHouseholds
from outreach.households.models import Household
from outreach.households.recording import PersonFacts
from outreach.intake.answer_exports import read_composting
from outreach.intake.bin_names import BinNames, is_no
from outreach.intake.fields import Fields
from outreach.intake.forms import ROW_FIELDS, RowForm
from outreach.intake.models import IntakeMade, PaperworkRow
from outreach.intake.settling import fields_of, reading_of
from outreach.intake.sign_in_sheets import bins_gone_home
from outreach.intake.staging import opened_again
from outreach.intake.titles import Occasion
from outreach.intake.understanding import table_rows
from outreach.intake.workshops_meant import choices_on
from outreach.places.serving import PlacesList

MOST_CANDIDATES = 12


def form_for(row: PaperworkRow, data: object = None) -> RowForm:
    """The form that completes a row, filled with what could be read of it."""
    kind = reading_of(row).kind
    households = likely_households(row) if kind in {"sign_in", "answers"} else []
    form = RowForm(
        data,
        workshops=choices_on(_when(row)) if kind == "sign_in" else [],
        kind=kind,
        bins=list(BinModel.objects.values_list("name", flat=True)),
        households=[(one.pk, f"{one}, {one.city_name} {one.zip_code}") for one in households],
        initial=initial_of(row, kind),
    )
    if kind == "sign_in" and IntakeMade.objects.handouts_of_row(row).exists():
        # The bin is on record; it is corrected on the page of its handout.
        del form.fields["bin_taken"], form.fields["bin_model"]
    return form


def initial_of(row: PaperworkRow, kind: str) -> dict[str, object]:
    """The row's own words, tidied where a choice or a date stands in the form."""
    fields = fields_of(row)
    initial: dict[str, object] = {name: fields.text(name) for name in ROW_FIELDS[kind]}
    initial["name"] = fields.person().full_name or fields.text("name")
    initial["email"], initial["phone"] = fields.email(), fields.phone().shown
    initial["date"] = fields.day("date")
    if kind == "sign_in":
        initial |= _of_sign_in(row, fields)
    if kind == "answers":
        initial["composting"] = {"on_and_off": "sometimes"}.get(
            said := read_composting(fields.text("composting")), said
        )
        help_text = fields.text("wants_help")
        initial["wants_help"] = "" if not help_text else "no" if is_no(help_text) else "yes"
    return initial


def _of_sign_in(row: PaperworkRow, fields: Fields) -> dict[str, object]:
    occasion = occasion_of(row)
    gone, _doubt = bins_gone_home(fields, names := BinNames.load())
    model = names.find(gone[0]) if gone else None
    return {
        "date": fields.day("date") or occasion.held_on,
        "starts": fields.text("starts") or occasion.start.in_words,
        "workshop_number": occasion.workshop_id or "",
        "venue": fields.text("venue") or occasion.venue,
        "workshop_city": occasion.city,
        "bin_taken": "yes" if gone else "no" if is_no(fields.text("bin_taken")) else "",
        "bin_model": model.name if isinstance(model, BinModel) else "",
    }


def _when(row: PaperworkRow) -> Occasion:
    return Occasion(held_on=fields_of(row).day("date")).or_else(occasion_of(row))


def occasion_of(row: PaperworkRow) -> Occasion:
    """When and where a row of a sign-in sheet happened, as its sheet says."""
    opened, places = opened_again(row.file), PlacesList.load()
    for sheet, reading in zip(opened.sheets, opened.readings, strict=True):
        if sheet.name[:120] == row.sheet:
            for one in table_rows(sheet, reading, places):
                if one.row.number == row.row_number:
                    return one.occasion
    return reading_of(row).occasion


def likely_households(row: PaperworkRow) -> list[Household]:
    """Households on record that a row could mean: by address, person, e-mail or phone."""
    fields, known = fields_of(row), KnownHouseholds.load()
    person = PersonFacts(name=fields.person(), email=fields.email(), phone=fields.phone())
    address = fields.address()
    place = PlacesList.load().resolve(address.city_name, address.zip_code)
    if place.understood:
        address = address.at(place)
    on = fields.day("date") or row.file.received_at.date()
    found = known.find(address, on=on, person=person)
    candidates = {*found.candidates, *known.households_reached_by(person), found.household_id}
    numbers = sorted(number for number in candidates if number)
    likely = list(Household.objects.numbered(numbers))
    same_words = Q(participants__name_key=person.name.name_key) & ~Q(participants__name_key="")
    if address.street_key:
        same_words |= Q(street_key=address.street_key)
    alike = Household.objects.roots().filter(same_words).distinct()[:MOST_CANDIDATES]
    return list({one.pk: one for one in [*likely, *alike]}.values())[:MOST_CANDIDATES]


def with_household(texts: dict[str, str], household: Household | None) -> dict[str, str]:
    """The texts with the address of the household that a person chose."""
    if household is None:
        return texts
    return texts | {
        "address": household.street,
        "unit": household.unit,
        "city": household.city_name,
        "zip": household.zip_code,
    }
