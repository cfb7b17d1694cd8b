"""The council page: what a filing says, on one page and in plain words, from its frozen report alone."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from django.utils.translation import gettext as _

from diversion.rounding import printed_share
from outreach.filings.documents.wording import worded
from outreach.filings.masses import SHORT_TON, TONNE, MassUnit, number
from outreach.filings.report import Bar, Chart, Headline, Number, Report, Section

QUARTERS_SHOWN = 8


def unit_of(report: Report) -> MassUnit:
    """The unit that the report prints tonnes in."""
    return next((SHORT_TON for one in report.headlines if one.unit == SHORT_TON.sign), TONNE)


def council_page(report: Report, *, mass: MassUnit) -> Report:
    """The page in the active language: three figures, one chart, range and response, what it does not claim."""
    period = report.account["period"]
    return Report(
        title=worded(report.title),
        subtitle=worded(report.subtitle.partition("; ")[0]),
        summary="",
        headlines=tuple(_headlines(period, mass)),
        sections=(*_trend(report, mass), _how_we_know(period, mass), _not_claimed()),
    )


def _headlines(period: dict[str, Any], mass: MassUnit) -> Iterator[Headline]:
    if kept := _kept_out(period):
        yield Headline(
            key="kept_out",
            number=mass.of(kept["headline"]["value"]),
            unit=worded(mass.sign),
            interval=_range(kept, mass) or worded("no interval"),
            words=_tonnes_in_words(mass),
        )
    counts = period["counts"][-1]
    yield Headline(
        key="households",
        number=number(counts["households"]),
        unit="",
        interval=_("counted from the records"),
        words=_("households have a bin in use"),
    )
    yield _response(counts["response"])


def _tonnes_in_words(mass: MassUnit) -> str:
    if mass is SHORT_TON:
        return _("short tons of food and yard trimmings kept out of landfill")
    return _("tonnes of food and yard trimmings kept out of landfill")


def _kept_out(period: dict[str, Any]) -> dict[str, Any] | None:
    """The frozen figure of the tonnes, both materials together; None without an estimate."""
    for one in period["figures"]:
        if (one["name"], one["stream"]) == ("landfill_bound", "both"):
            return dict(one)
    return None


def _range(kept: dict[str, Any], mass: MassUnit) -> str:
    if kept["said_lower"] is None:
        return ""
    low, high = mass.of(kept["said_lower"]).printed, mass.of(kept["said_upper"]).printed
    return _("%(low)s to %(high)s") % {"low": low, "high": high}


def _response(response: dict[str, Any] | None) -> Headline:
    asked = (
        _("%(answers)s of %(asked)s asked")
        % {"answers": f"{response['count']:,}", "asked": f"{response['of']:,}"}
        if response
        else _("nobody was asked yet")
    )
    share = response["share"] if response else None
    return Headline(
        key="response",
        number=Number(value=share, printed=worded(printed_share(share))),
        unit="",
        interval=asked,
        words=_("of households asked have answered"),
    )


def _trend(report: Report, mass: MassUnit) -> Iterator[Section]:
    """Quarter by quarter as the filing froze it, in the wanted unit."""
    frozen = next((one for one in report.charts if one.key == "trend"), None)
    if frozen is None or not frozen.bars:
        return
    quarters = list(dict.fromkeys(bar.label for bar in frozen.bars))[-QUARTERS_SHOWN:]
    stretch = unit_of(report).tonnes_each
    bars = tuple(_in_unit(bar, mass, stretch) for bar in frozen.bars if bar.label in quarters)
    unit, series = worded(mass.sign), tuple(worded(one) for one in frozen.series)
    listed = "; ".join(_bar_in_words(bar, series, unit) for bar in bars)
    chart = Chart(
        key="trend",
        caption=_("Kept out of landfill, by quarter"),
        unit=unit,
        bars=bars,
        alt=_("Bar chart: %(bars)s.") % {"bars": listed},
        shape=frozen.shape,
        series=series,
    )
    yield Section(
        key="trend",
        heading=f"{_('Kept out of landfill, by quarter')} ({unit})",
        paragraphs=(
            _("Bars are estimates, lines on them their ranges.")
            if series
            else _("Bars are estimates. The range of the latest is said above."),
        ),
        charts=(chart,),
    )


def _in_unit(bar: Bar, mass: MassUnit, stretch: float) -> Bar:
    value, lower, upper = (
        mass.of(None if one is None else one * stretch) for one in (bar.value, bar.lower, bar.upper)
    )
    return replace(
        bar, value=float(value.value or 0), lower=lower.value, upper=upper.value, printed=value.printed
    )


def _bar_in_words(bar: Bar, series: tuple[str, ...], unit: str) -> str:
    return " ".join((bar.label, *series[bar.series : bar.series + 1], bar.printed, unit))


def _how_we_know(period: dict[str, Any], mass: MassUnit) -> Section:
    kept, response = _kept_out(period), period["counts"][-1]["response"]
    words = [_("Households that took a bin told us how much goes into it and where it went before.")]
    if response:
        words.append(
            _("%(answers)s of the %(asked)s households that we asked (%(share)s) have answered.")
            % {
                "answers": f"{response['count']:,}",
                "asked": f"{response['of']:,}",
                "share": worded(printed_share(response["share"])),
            }
        )
    if kept is None:
        words.append(_("There is no estimate of tonnes for this period: too few answers, or no bin in use."))
    elif kept["said_lower"] is None:
        words.append(_("No range can be given: the answers are alike, or differ too much."))
    else:
        words.append(
            _(
                "The figure lies between %(low)s and %(high)s %(unit)s, depending on what those who did not answer "
                "are doing."
            )
            % {
                "low": mass.of(kept["said_lower"]).printed,
                "high": mass.of(kept["said_upper"]).printed,
                "unit": worded(mass.name),
            }
        )
    return Section(key="how", heading=_("How we know"), paragraphs=(" ".join(words),))


def _not_claimed() -> Section:
    return Section(
        key="not_claimed",
        heading=_("What this does not claim"),
        paragraphs=(
            _("It is an estimate from what households told us; nobody weighed all of it."),
            _("It does not say what these households would have done without the programme."),
            _("It is no carbon credit, and no household's share can be read from it."),
            _("A home pile is not certified free of pathogens; local codes say where a pile may stand."),
        ),
    )
