"""A district's figures in a paragraph, a table and a chart."""

from dataclasses import dataclass

from django.conf import settings
from django.utils.translation import gettext as _

from diversion.rounding import counted
from outreach.filings.district_question import DistrictFigures, Spell
from outreach.filings.masses import MassUnit, mass_unit_of, number
from outreach.filings.report import Bar, Cell, Chart, Column, Number, Table
from outreach.filings.shown import DrawnChart, drawn

WITHHELD = Number(value=None, printed="too small to show")


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownDistrict:
    """What the page shows of an answer."""

    heading: str
    paragraphs: tuple[str, ...]
    table: Table
    chart: DrawnChart | None


def shown(figures: DistrictFigures) -> ShownDistrict:
    mass = mass_unit_of([figures.district.jurisdiction])
    return ShownDistrict(
        heading=f"{figures.district}, {figures.together.name}",
        paragraphs=_paragraphs(figures, mass),
        table=_table(figures, mass),
        chart=_chart(figures, mass),
    )


def _paragraphs(figures: DistrictFigures, mass: MassUnit) -> tuple[str, ...]:
    whole = figures.together
    if whole.is_withheld:
        return (
            _(
                "%(district)s had so few households with a bin that its figures could point at one of them; counts "
                "under %(smallest)d, and those from which they could be worked out, are not shown. Ask about the "
                "jurisdiction, or about other quarters."
            )
            % {"district": figures.district, "smallest": settings.SMALLEST_COUNT},
        )
    return (_how_many(figures, whole), _how_much(whole, mass), _from(figures, whole))


def _how_many(figures: DistrictFigures, whole: Spell) -> str:
    return _("In %(district)s, %(households)s had a bin in use in %(quarter)s.") % {
        "district": figures.district,
        "households": counted(whole.households or 0, "household"),
        "quarter": figures.last,
    }


def _how_much(whole: Spell, mass: MassUnit) -> str:
    found = whole.estimated
    if found is None:
        return _("There is no estimate of tonnes: %(reason)s") % {"reason": whole.reason}
    words = _(
        "In %(period)s an estimated %(kept)s %(unit)s of their food scraps and yard trimmings stayed out of landfill."
    ) % {"period": whole.name, "kept": mass.of(found.headline).printed, "unit": mass.name}
    return f"{words} {_how_sure(whole, mass)}"


def _how_sure(whole: Spell, mass: MassUnit) -> str:
    found = whole.estimated
    if found is None or found.lower is None:
        return _("There is no interval: the answers are alike, or differ too much.")
    return _(
        "How sure: if those who did not answer are like those who did, it is %(alike)s, with a 90 %% interval of "
        "%(range)s from having asked only some; if they compost nothing, it is %(nothing)s."
    ) % {
        "alike": mass.of(found.alike).printed,
        "range": mass.range_of(found.lower, found.upper),
        "nothing": mass.of(found.nothing).printed,
    }


def _from(figures: DistrictFigures, whole: Spell) -> str:
    answers = (
        _("Too few answers in a district to show their number")
        if whole.answers is None
        else counted(whole.answers, "answer")
    )
    return _(
        "Where from: %(answers)s in force there, the days on which bins were handed out, and factor set %(factors)s. "
        "Answers of the whole jurisdiction speak for households of the same bin family and time with the bin. The "
        "silent are given 1/%(odds)g of the answerers' odds of still composting, as filings do unless a funder asks "
        "otherwise. It is an estimate from what households told us, not a measurement."
    ) % {"answers": answers, "factors": figures.factor_set, "odds": figures.odds}


def _table(figures: DistrictFigures, mass: MassUnit) -> Table:
    spells = figures.quarters
    rows = [_row(one, mass) for one in spells]
    unit = mass.sign
    return Table(
        key="district",
        caption=f"{figures.district}, by quarter",
        columns=(
            Column(heading="Quarter"),
            Column(heading="Households with a bin", is_number=True),
            Column(heading="Answers in force", is_number=True),
            Column(heading="Kept out of landfill", unit=unit, is_number=True),
            Column(heading="If the silent are alike", unit=unit, is_number=True),
            Column(heading="90 % from", unit=unit, is_number=True),
            Column(heading="90 % to", unit=unit, is_number=True),
            Column(heading="If they compost nothing", unit=unit, is_number=True),
        ),
        rows=tuple(rows),
        total=_row(figures.together, mass) if len(spells) > 1 else None,
        note="Computed from today's records, not filed. Limits hold the spread of asking and reporting, not that of "
        "the factors. Households are of the last quarter of a row; quarters with an estimate of their own need not "
        "add up to the row of all together.",
    )


def _row(spell: Spell, mass: MassUnit) -> tuple[Cell, ...]:
    if spell.is_withheld:
        return (spell.name, WITHHELD, *(number(None) for _column in range(6)))
    found = spell.estimated
    start = (spell.name, number(spell.households), number(spell.answers))
    if found is None:
        return (*start, *(number(None) for _column in range(5)))
    values = (found.headline, found.alike, found.lower, found.upper, found.nothing)
    return (*start, *(mass.of(one) for one in values))


def _chart(figures: DistrictFigures, mass: MassUnit) -> DrawnChart | None:
    bars = tuple(
        Bar(
            label=spell.name,
            value=float(mass.of(spell.estimated.alike).value or 0),
            lower=mass.of(spell.estimated.lower).value,
            upper=mass.of(spell.estimated.upper).value,
            printed=mass.of(spell.estimated.alike).printed,
        )
        for spell in figures.quarters
        if spell.estimated is not None
    )
    if not bars:
        return None
    listed = "; ".join(f"{bar.label} {bar.printed} {mass.sign}" for bar in bars)
    return drawn(
        Chart(
            key="district",
            caption=_(
                "Kept out of landfill by quarter, if the silent are like those who answered, with 90 % limits"
            ),
            unit=mass.sign,
            bars=bars,
            alt=f"Bar chart with intervals: {listed}",
        )
    )
