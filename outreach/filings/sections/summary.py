"""The plain paragraph and the big figures."""

from diversion.alike import has_no_spread
from diversion.figures import Figure, Measure
from diversion.rounding import counted, printed_share
from outreach.filings.masses import number
from outreach.filings.occasion import Occasion
from outreach.filings.report import Headline

TOLD_US = (
    "This is an estimate from what households told us, not a measurement, and what they would have done "
    "without the programme is not measured."
)


def paragraph(occasion: Occasion) -> str:
    """What the quarter came to, in words a council member reads in a minute."""
    account = occasion.accounts.period
    if not account.estimated:
        return f"{_done(occasion)} There is no estimate of {occasion.mass.name}: {account.no_estimate_reason}"
    return f"{_done(occasion)} {_kept_out(occasion)} {_response(occasion)} {TOLD_US}"


def _done(occasion: Occasion) -> str:
    counts = occasion.counts
    return (
        f"From {occasion.period_in_words}, the programme in {occasion.place} held "
        f"{counted(counts.workshops, 'workshop')} with {counted(counts.people, 'person', 'people')} and handed out "
        f"{counted(counts.bins, 'bin')}."
    )


def _kept_out(occasion: Occasion) -> str:
    figure, mass = occasion.accounts.period.figure(Measure.LANDFILL_BOUND), occasion.mass
    alike = figure.alike
    said = (
        f"an estimated {mass.of(figure.headline.value).printed} {mass.name} of food scraps and yard trimmings "
        f"stayed out of landfill"
    )
    if figure.said_lower is None and figure.alike.value > 0:
        return f"Among households with a bin, {said}. {_why_no_interval(figure)}"
    if figure.said_lower is None:
        return (
            "No answer in force says that any food scraps or yard trimmings went to landfill before, so none can be "
            f"counted as kept out of it; {_went_in(occasion)}"
        )
    return (
        f"Among households with a bin, {said}; depending on what those who did not answer are doing, the true "
        f"figure lies between {mass.of(figure.said_lower).printed} and {mass.of(figure.said_upper).printed}. "
        f"If they are like those who answered, it is {mass.of(alike.value).printed}, with a 90 % interval of "
        f"{mass.range_of(alike.lower, alike.upper)}."
    )


def _why_no_interval(figure: Figure) -> str:
    if has_no_spread(figure):
        return "All answers are alike; no spread can be measured, so there is no interval."
    return "The answers differ so much that no interval around it would mean anything."


def _went_in(occasion: Occasion) -> str:
    gross = occasion.accounts.period.figure(Measure.GROSS).headline.value
    return f"an estimated {occasion.mass.of(gross).printed} {occasion.mass.name} went into bins."


def _response(occasion: Occasion) -> str:
    counts = occasion.accounts.period.counts[-1]
    if counts.response is None:
        return "No household had been asked yet."
    return (
        f"{counted(counts.answers, 'household')} of {counts.response.of:,} asked "
        f"({printed_share(counts.response.share)}) have told us how it is going."
    )


def headlines(occasion: Occasion) -> tuple[Headline, ...]:
    """Tonnes kept out, methane avoided over its lifetime, net warming; none without an estimate."""
    account = occasion.accounts.period
    if not account.estimated:
        return ()
    kept, methane, net = (
        account.figure(Measure.LANDFILL_BOUND),
        account.figure("methane_lifetime"),
        account.figure("net"),
    )
    mass = occasion.mass
    return (
        Headline(
            key="kept_out",
            number=mass.of(kept.headline.value),
            unit=mass.sign,
            interval=mass.range_of(kept.said_lower, kept.said_upper),
            words="kept out of landfill",
        ),
        _plain(methane, key="methane", unit="kg CH4", words="methane avoided over its lifetime"),
        _plain(net, key="net", unit="t CO2e", words="net warming avoided"),
    )


def _plain(figure: Figure, *, key: str, unit: str, words: str) -> Headline:
    ranged = figure.said_lower is not None
    low, high = number(figure.said_lower).printed, number(figure.said_upper).printed
    return Headline(
        key=key,
        number=number(figure.headline.value),
        unit=unit,
        interval=f"{low} to {high}" if ranged else "no interval",
        words=words,
    )
