"""A filing as open data: aggregates only, small counts merged, described as a Frictionless Data Package.

The description follows the Data Package and Table Schema specifications of the Frictionless standards.
"""

import hashlib
import json
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, BinaryIO

from django.conf import settings
from django.utils.text import slugify

from diversion import factors
from diversion.figures import Measure, Part, PartFigure, Stream
from outreach.filings import suppressing
from outreach.filings.models import Filing
from outreach.filings.pack.tables import as_csv
from outreach.staff import zip_entries

NUMBER, WHOLE, WORDS = "number", "integer", "string"
Field = tuple[str, str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Resource:
    """One table of the package: its name, what it is, its fields (name, type, meaning) and rows."""

    name: str
    title: str
    fields: tuple[Field, ...]
    rows: Sequence[Sequence[object]]

    @property
    def content(self) -> bytes:
        heading = [name for name, _kind, _about in self.fields]
        return as_csv(heading, self.rows).removeprefix(b"\xef\xbb\xbf")

    @property
    def described(self) -> dict[str, Any]:
        content = self.content
        return {
            "name": self.name,
            "title": self.title,
            "path": f"{self.name}.csv",
            "profile": "tabular-data-resource",
            "format": "csv",
            "mediatype": "text/csv",
            "encoding": "utf-8",
            "bytes": len(content),
            "hash": f"sha256:{hashlib.sha256(content).hexdigest()}",
            "schema": {
                "fields": [
                    {"name": name, "type": kind, "description": about} for name, kind, about in self.fields
                ],
                "missingValues": [""],
            },
        }


def write_data_package(filing: Filing, target: BinaryIO) -> None:
    """Write the zip: datapackage.json and one CSV a table."""
    resources = list(resources_of(filing))
    with zipfile.ZipFile(target, "w", compression=zipfile.ZIP_DEFLATED) as package:
        described = json.dumps(_described(filing, resources), indent=2, ensure_ascii=False)
        for name, content in (
            ("datapackage.json", described.encode()),
            *((f"{one.name}.csv", one.content) for one in resources),
        ):
            package.writestr(zip_entries.entry(name, filing.submitted_at), content)


def _described(filing: Filing, resources: list[Resource]) -> dict[str, Any]:
    return {
        "profile": "tabular-data-package",
        "name": slugify(filing.title),
        "id": filing.report_sha256,
        "title": filing.title,
        "description": (
            "Estimates from what households told a home-composting programme, not measurements. Counts under "
            f"{settings.SMALLEST_COUNT} are merged into 'other'. 'headline' takes the silent to have 1/"
            f"{filing.inputs['period']['settings']['odds']:g} of the answerers' odds of still composting."
        ),
        "created": filing.submitted_at.isoformat(),
        "version": f"{filing.pk}",
        "resources": [one.described for one in resources],
    }


def resources_of(filing: Filing) -> Iterator[Resource]:
    """The tables, from what the filing froze."""
    account = filing.report["account"]["period"]
    yield _counts(account)
    yield _figures(account)
    yield _parts(account)
    yield _factors(filing)


def _counts(account: dict[str, Any]) -> Resource:
    return Resource(
        name="counts",
        title="Households and answers",
        fields=(
            ("quarter", WORDS, "calendar quarter"),
            ("households", WHOLE, "households with a bin in use"),
            ("household_weeks", NUMBER, "weeks with a bin, summed over households"),
            ("households_not_yet_asked", WHOLE, "households for whom no question was due yet"),
            ("answers", WHOLE, "answers in force"),
            ("still_composting", WHOLE, "answers that say the household still composts"),
        ),
        rows=[
            [
                one["quarter"],
                one["households"],
                one["household_weeks"],
                one["unasked_households"],
                one["answers"],
                one["still_composting"],
            ]
            for one in account["counts"]
        ],
    )


def _figures(account: dict[str, Any]) -> Resource:
    return Resource(
        name="figures",
        title="Estimated totals",
        fields=(
            ("figure", WORDS, "what is estimated"),
            ("stream", WORDS, "food, yard or both"),
            ("unit", WORDS, "t is a tonne of 1000 kg"),
            ("headline", NUMBER, "at the assumption about the silent that the filing takes"),
            ("said_lower", NUMBER, "lower end of the range to say aloud"),
            ("said_upper", NUMBER, "upper end of the range to say aloud"),
            ("if_silent_alike", NUMBER, "if the silent are like those who answered"),
            ("if_silent_nothing", NUMBER, "if the silent compost nothing"),
        ),
        rows=[
            [
                one["name"],
                one["stream"],
                one["unit"],
                one["headline"]["value"],
                one["said_lower"],
                one["said_upper"],
                one["alike"]["value"],
                one["nothing"],
            ]
            for one in account["figures"]
        ],
    )


def _parts(account: dict[str, Any]) -> Resource:
    dimensions = dict.fromkeys(one["dimension"] for one in account["parts"])
    shown = [
        part
        for dimension in dimensions
        for part in suppressing.published(
            [_part(one) for one in account["parts"] if one["dimension"] == dimension],
            smallest=settings.SMALLEST_COUNT,
        )
    ]
    return Resource(
        name="parts",
        title="Jurisdictions, districts and bin families",
        fields=(
            ("dimension", WORDS, "what the parts are of; parts of one dimension add up to the whole"),
            ("part", WORDS, "its name; 'other' holds those too small to be shown"),
            ("households", WHOLE, "households with a bin in use"),
            ("household_weeks", NUMBER, "weeks with a bin, summed over households"),
            ("gross_t", NUMBER, "went into bins, headline, tonnes"),
            ("landfill_bound_t", NUMBER, "kept out of landfill, headline, tonnes"),
        ),
        rows=[_row(part) for part in shown],
    )


def _part(data: dict[str, Any]) -> Part:
    figures = (
        PartFigure(**{**one, "measure": Measure(one["measure"]), "stream": Stream(one["stream"])})
        for one in data["figures"]
    )
    return Part(**{**data, "figures": tuple(figures)})


def _row(part: Part) -> list[object]:
    tonnes: list[float | None] = [None, None]
    if part.figures:
        measures = (Measure.GROSS, Measure.LANDFILL_BOUND)
        tonnes = [part.figure(measure, Stream.BOTH).headline for measure in measures]
    return [part.dimension, part.code, part.households, part.household_weeks, *tonnes]


def _factors(filing: Filing) -> Resource:
    return Resource(
        name="factors",
        title="Published and assumed numbers",
        fields=(
            ("key", WORDS, "its name"),
            ("value", NUMBER, "central value"),
            ("low", NUMBER, "lowest"),
            ("high", NUMBER, "highest"),
            ("unit", WORDS, "its unit"),
            ("source", WORDS, "where it is from"),
            ("locator", WORDS, "where in it"),
            ("year", WHOLE, "of the source"),
            ("status", WORDS, "seen in the source, from memory, or assumed"),
        ),
        rows=[
            [
                one.key,
                one.value,
                one.low,
                one.high,
                one.unit,
                one.source,
                one.locator,
                one.year,
                str(one.status),
            ]
            for one in factors.load(filing.factor_set).factors
        ],
    )
