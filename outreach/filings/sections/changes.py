"""Why a restated figure moved: the change since the filing it replaces, split into its causes without remainder."""

from diversion.account_bridge import bridge_accounts
from diversion.bridge import RoundedBridge
from outreach.filings.masses import MassUnit
from outreach.filings.occasion import Occasion
from outreach.filings.report import Cell, Column, Number, Section, Table

# Name of the figure, its words, and the decimals in which its bridge is printed and sums.
FIGURES = (
    ("gross", "Went into bins", 3),
    ("landfill_bound", "Kept out of landfill", 3),
    ("methane_lifetime", "Methane avoided over its lifetime", 2),
    ("net", "Net warming avoided", 3),
)
UNITS = {"methane_lifetime": "kg CH4", "net": "t CO2e"}


def changes(occasion: Occasion) -> tuple[Section, ...]:
    """One section where the occasion restates an earlier filing, none otherwise."""
    if occasion.replaced is None:
        return ()
    now = occasion.accounts.period
    if not (now.estimated and occasion.replaced.was_estimated):
        words = "One of the two filings has no estimate, so the change cannot be split into its causes."
        return (Section(key="changes", heading="What changed", paragraphs=(words,)),)
    return (
        Section(
            key="changes",
            heading="What changed since the filing this replaces",
            paragraphs=(
                f"Replaces the filing submitted on {occasion.replaced.submitted_on}. Each part is averaged over all "
                "orders in which the causes could have come about, and the parts sum to the change to the last digit.",
            ),
            tables=(_table(occasion),),
        ),
    )


def _table(occasion: Occasion) -> Table:
    bridges = [(name, words, _bridge(occasion, name, decimals)) for name, words, decimals in FIGURES]
    causes = [cause for cause, _ in bridges[0][2].parts]
    return Table(
        key="changes",
        caption="From the filing before to this one",
        columns=(
            Column(heading="Figure"),
            Column(heading="Unit"),
            Column(heading="Before", is_number=True),
            *(Column(heading=_capital(cause), is_number=True) for cause in causes),
            Column(heading="Now", is_number=True),
        ),
        rows=tuple(_row(occasion.mass, name, words, bridge) for name, words, bridge in bridges),
        note="" if occasion.mass.tonnes_each == 1 else "Masses of this table are in tonnes of 1000 kg.",
    )


def _bridge(occasion: Occasion, name: str, decimals: int) -> RoundedBridge:
    before, after = occasion.replaced.inputs, occasion.inputs.period  # type: ignore[union-attr]
    return bridge_accounts(before, after, figure=name).rounded(decimals)


def _row(mass: MassUnit, name: str, words: str, bridge: RoundedBridge) -> tuple[Cell, ...]:
    numbers = (bridge.before, *(change for _, change in bridge.parts), bridge.after)
    printed = (Number(value=float(one), printed=f"{one:,}".replace("-", "−")) for one in numbers)
    return (words, UNITS.get(name, "t"), *printed)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
