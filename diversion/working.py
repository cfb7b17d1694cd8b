"""The working behind a figure: which steps were taken, with which figures and which factors."""

from dataclasses import dataclass, replace

from diversion.factors import PublishedFactor
from diversion.figures import plain


@dataclass(frozen=True, slots=True, kw_only=True)
class StepFigure:
    """A named number of a step, unrounded, with its unit."""

    name: str
    value: float | int | str | None
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of the method as it was applied.

    Parameters
    ----------
    title : str
    formula : str
        What was computed, in words.
    applied : bool
        False where the step was switched off or had nothing to do; the formula then says why.
    figures : tuple of StepFigure
    factors : tuple of PublishedFactor
        The published and assumed numbers that it used.
    number : int
        1 to 14, as in the method note; set by the working that it is part of.
    """

    title: str
    formula: str
    applied: bool = True
    figures: tuple[StepFigure, ...] = ()
    factors: tuple[PublishedFactor, ...] = ()
    number: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Working:
    """The steps of an account in order."""

    steps: tuple[Step, ...]

    @classmethod
    def of(cls, *steps: Step) -> "Working":
        """Number the steps from 1 in the order in which they were taken."""
        return cls(steps=tuple(replace(step, number=number) for number, step in enumerate(steps, start=1)))

    def as_table(self) -> tuple[tuple[str | int | float | None, ...], ...]:
        """Rows for a page, a PDF or a workbook, heading first.

        Returns
        -------
        tuple of tuple
            Columns: step, title, what, value, unit, source, checked. A row with the formula opens each step;
            a row for each of its figures and factors follows.
        """
        rows: list[tuple[str | int | float | None, ...]] = [
            ("step", "title", "what", "value", "unit", "source", "checked")
        ]
        for step in self.steps:
            title = step.title if step.applied else f"{step.title} (not applied)"
            rows.append((step.number, title, step.formula, None, "", "", ""))
            rows += [
                (step.number, title, entry.name, entry.value, entry.unit, "", "") for entry in step.figures
            ]
            rows += [_factor_row(step.number, title, factor) for factor in step.factors]
        return tuple(rows)

    def to_dict(self) -> dict[str, object]:
        """Plain data for JSON, unrounded."""
        return {"steps": plain(self.steps)}


def _factor_row(number: int, title: str, factor: PublishedFactor) -> tuple[str | int | float | None, ...]:
    source = f"{factor.source}, {factor.locator} ({factor.year})"
    return number, title, factor.meaning, factor.value, factor.unit, source, str(factor.status)
