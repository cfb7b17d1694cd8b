"""What a filing kept, laid out for its workbook: its groups, its answers one by one, its landfills."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from diversion.estimating import Basis, Estimation, estimate
from diversion.inputs import AccountInputs
from diversion.quarter_rates import QuarterRates
from diversion.strata import CellKey, Group
from outreach.filings import frozen_inputs, gather_sql
from outreach.filings.gathering import Codes
from outreach.filings.models import Filing
from outreach.filings.weighed import Weighed, weighed_from

LINES_AT_ONCE = 2_000
AMOUNTS = ("days", "food", "yard", "browns")


@dataclass(frozen=True, kw_only=True)
class AnswerLine:
    """One answer in force behind the filing: its group's place among the groups, from 1, and its key."""

    number: int
    group: int
    place: dict[str, Any]
    key: dict[str, Any]
    days: int
    food: int
    yard: int
    browns: int | None


@dataclass(frozen=True)
class Frozen:
    """The filed quarter, estimated again from what the filing kept."""

    filing: Filing

    @cached_property
    def inputs(self) -> AccountInputs:
        return frozen_inputs.from_dict(self.filing.inputs["period"])

    @cached_property
    def weighed(self) -> Weighed:
        return weighed_from(self.filing.inputs.get("weighed"))

    @cached_property
    def estimation(self) -> Estimation:
        return estimate(self.inputs, self.inputs.quarters)

    @property
    def basis(self) -> Basis:
        return self.estimation.basis

    @property
    def rates(self) -> QuarterRates:
        return self.estimation.quarters[0].rates

    @property
    def groups(self) -> tuple[Group, ...]:
        return self.rates.groups

    @property
    def jurisdictions(self) -> list[str]:
        return [one.code for one in self.inputs.jurisdictions]

    @property
    def answer_count(self) -> int:
        return sum(group.answers for group in self.groups)

    def answers(self) -> Iterator[AnswerLine]:
        """Every answer in force, group by group; one at a time, so that memory does not grow with them."""
        codes = Codes.load()
        group_of = {cell.key: place for place, group in enumerate(self.groups, 1) for cell in group.cells}
        lines = self.filing.period_lines
        cells = []
        for cell in lines.order_by("cell").values_list("cell", flat=True).distinct():
            key = gather_sql.key_of_line(cell)
            if key["answered"]:
                place = codes.place_of(key)
                stratum = CellKey(**{name: place[name] for name in ("jurisdiction", "family", "band")})
                cells.append((group_of[stratum], cell, place, key))
        for group, cell, place, key in sorted(cells, key=lambda one: one[:2]):
            rows = lines.of_cell(cell).order_by("number").values_list("number", *AMOUNTS)
            for number, *amounts in rows.iterator(chunk_size=LINES_AT_ONCE):
                known = dict(zip(AMOUNTS, amounts, strict=True))
                yield AnswerLine(number=number, group=group, place=place, key=key, **known)
