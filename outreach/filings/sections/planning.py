"""How to be surer: more answers, and what chasing some of the silent would settle."""

from diversion import account_planning, silence_planning
from diversion.figures import Figure, Measure, Stratum
from diversion.planning import AnswerPlan, NothingToPlan
from diversion.rounding import counted, printed_share
from diversion.silence_planning import ChasedSubsample, Silence
from diversion.terms import silent_ratio
from outreach.filings.masses import number
from outreach.filings.occasion import Occasion
from outreach.filings.report import Cell, Column, Number, Section, Table

WANTED_HALF_WIDTH = 0.15
CHASED = (20, 50, 100, 200)
FEWEST_CHASED = 2
# What more answers do not do, so that nobody calls for a month to be surer of something else.
ONLY_ASKING = (
    "More answers narrow only what comes from having asked some and not all. Asking the same households again, the "
    "kilograms in a bucket, the season, and those who never answer stay as doubtful as they are."
)


def answers_wanted(occasion: Occasion) -> Section:
    """How many more answers bring ± 15 %, from which strata, and what a chased few of the silent would settle."""
    account = occasion.accounts.period
    if not account.estimated:
        return _section(account.no_estimate_reason)
    try:
        plan = account_planning.answers_wanted(occasion.inputs.period, wanted_half_width=WANTED_HALF_WIDTH)
    except NothingToPlan as reason:
        return _section(str(reason))
    words = [_answers_in_words(plan), ONLY_ASKING]
    tables = [_strata_table(plan, {_name(one): one for one in account.strata})] if plan.more else []
    silence = _silence(occasion)
    if silence.silent_households >= FEWEST_CHASED and silence.alike > silence.from_answerers:
        chased = _chased(silence, odds=occasion.inputs.period.settings.odds)
        words.append(_silence_in_words(occasion, silence, chased[0]))
        tables.append(_chased_table(occasion, chased))
    return _section(*words, tables=tuple(tables))


def _section(*paragraphs: str, tables: tuple[Table, ...] = ()) -> Section:
    return Section(key="planning", heading="How to be surer", paragraphs=paragraphs, tables=tables)


def _answers_in_words(plan: AnswerPlan) -> str:
    now, wanted = printed_share(plan.half_width_now), printed_share(plan.wanted_half_width)
    start = f"What went into bins is known to ± {now} (with 90 %, if the silent are like those who answered)"
    if plan.reachable and not plan.answers:
        return f"{start}; ± {wanted} or better needs no more of them."
    if not plan.answers:
        return f"{start}. Everybody answered; that it is not ± {wanted} lies in how differently households report."
    if plan.reachable:
        return f"{start}. {plan.answers:,} more, from the strata below, would make that ± {wanted}."
    return (
        f"{start}. Even an answer from {_all_households(plan.answers)} without one would leave "
        f"± {printed_share(plan.half_width_then)} and not reach ± {wanted}: what households report varies too much."
    )


def _all_households(count: int) -> str:
    return "the one household" if count == 1 else f"all {counted(count, 'household')}"


def _name(stratum: Stratum) -> str:
    return f"{stratum.quarter}, {stratum.number}"


def _strata_table(plan: AnswerPlan, strata: dict[str, Stratum]) -> Table:
    return Table(
        key="answers_wanted",
        caption="Where more answers help most",
        columns=(
            Column(heading="Stratum"),
            Column(heading="Made of"),
            Column(heading="More answers", is_number=True),
            Column(heading="Unanswered", is_number=True),
        ),
        rows=tuple(_wanted(name, more, strata[name]) for name, more in plan.more),
        total=(
            "All",
            "",
            number(plan.answers),
            number(sum(strata[name].households - strata[name].answers for name, _ in plan.more)),
        ),
        note="Within a stratum, pick at random; calling only those who are easy to reach tells about them alone.",
    )


def _wanted(name: str, more: int, stratum: Stratum) -> tuple[Cell, ...]:
    return (
        name,
        "; ".join(stratum.members),
        number(more),
        number(stratum.households - stratum.answers),
    )


def _kept_out(occasion: Occasion) -> Figure:
    return occasion.accounts.period.figure(Measure.LANDFILL_BOUND)


def _silence(occasion: Occasion) -> Silence:
    kept, account = _kept_out(occasion), occasion.accounts.period
    response = account.counts[-1].response
    return Silence(
        from_answerers=kept.nothing,
        # Sums in another order may differ in the last bit where everybody answered.
        alike=max(kept.alike.value, kept.nothing),
        still_composting=min(account.still_composting or 0.0, 1.0),
        silent_households=response.of - response.count if response else 0,
    )


def _chased(silence: Silence, *, odds: float) -> list[ChasedSubsample]:
    """Subsamples of round sizes, or all the silent where they are fewer; their share guessed as for the headline."""
    guessed = silence.still_composting * silent_ratio(silence.still_composting, odds)
    sizes = [size for size in CHASED if size < silence.silent_households] or [silence.silent_households]
    return [silence_planning.chase(silence, chased=size, share_guessed=guessed) for size in sizes]


def _silence_in_words(occasion: Occasion, silence: Silence, first: ChasedSubsample) -> str:
    mass = occasion.mass
    return (
        f"{silence.silent_households:,} of the households asked have not answered. Depending on what they do, the "
        f"tonnage kept out of landfill is anything from {mass.range_of(first.now_low, first.now_high)} {mass.name}, "
        "and no number of further answers from the willing changes that. What settles it is a random few of the "
        "silent, asked again and again by post, telephone and at the door until nearly all of them have answered."
    )


def _chased_table(occasion: Occasion, chased: list[ChasedSubsample]) -> Table:
    unit = occasion.mass.sign
    return Table(
        key="silent_chased",
        caption="Kept out of landfill, after chasing a random few of the silent",
        columns=(
            Column(heading="Silent households chased", is_number=True),
            Column(heading="90 % from", unit=unit, is_number=True),
            Column(heading="90 % to", unit=unit, is_number=True),
            Column(heading="Part of the range settled", is_number=True),
        ),
        rows=tuple(_settled(occasion, one) for one in chased),
        note="At the share of them still composting that the headline assumes; households not asked yet are taken to "
        "be like the silent.",
    )


def _settled(occasion: Occasion, one: ChasedSubsample) -> tuple[Cell, ...]:
    return (
        number(one.chased),
        occasion.mass.of(one.then_low),
        occasion.mass.of(one.then_high),
        Number(value=one.part_settled, printed=printed_share(one.part_settled)),
    )
