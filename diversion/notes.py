"""What must be said beside the figures of an account."""

from collections.abc import Sequence

from diversion.alike import has_no_spread
from diversion.estimating import NO_INTERVAL_SINCE, Estimation
from diversion.figures import Figure, Note
from diversion.inputs import AccountInputs
from diversion.rounding import counted
from diversion.settings import SHORT_INTERVAL_UNDER


def notes(inputs: AccountInputs, estimation: Estimation) -> tuple[Note, ...]:
    """The notes of an estimated period.

    Returns
    -------
    tuple of Note
        Codes: interval_too_short, no_interval, no_spread, all_stopped, nobody_stopped, ageing_not_applied,
        ageing_assumed, season_not_applied, season_assumed, weigh_ins_not_applied, weigh_ins_of_volunteers,
        browns_not_asked, browns_counted, nobody_gave, without_programme_not_measured.
    """
    found = [
        *_of_answers(estimation),
        *_of_silence(inputs, estimation),
        *_of_ageing(inputs, estimation),
        *_of_season(inputs, estimation),
        *_of_missing(estimation),
        *_of_weigh_ins(inputs),
        _of_browns(estimation),
        Note(
            code="without_programme_not_measured",
            sentence="What these households would have done without the programme is not measured.",
        ),
    ]
    return tuple(found)


def _of_answers(estimation: Estimation) -> list[Note]:
    fewest = min(int(quarter.rates.rates.answers.sum()) for quarter in estimation.quarters)
    notes = (
        (
            "interval_too_short",
            fewest < SHORT_INTERVAL_UNDER,
            f"Only {fewest} answers are in force, so the interval is too short: with 10 answers it "
            f"holds the truth in about 85 of 100 cases, not 90.",
        ),
        (
            "no_interval",
            any(_is_too_wide(figure) for figure in estimation.figures),
            "A figure without limits is known too badly for an interval to mean anything.",
        ),
        (
            "no_spread",
            any(has_no_spread(figure) for figure in estimation.figures),
            "Where all answers are alike no spread can be measured, so that figure has no interval.",
        ),
        (
            "all_stopped",
            not any(quarter.rates.still.any() for quarter in estimation.quarters),
            "Every answer says 'stopped', so there is no interval around the 0.",
        ),
    )
    return [Note(code=code, sentence=sentence) for code, applies, sentence in notes if applies]


def _of_browns(estimation: Estimation) -> Note:
    if estimation.browns is None:
        return Note(
            code="browns_not_asked",
            sentence="Browns are not asked about, so their emissions in the bin are not counted.",
        )
    return Note(
        code="browns_counted",
        sentence=f"{estimation.browns.told} households told how much browns they add; their emissions in the bin are "
        "counted, estimated of all households alike.",
    )


def _is_too_wide(figure: Figure) -> bool:
    return figure.alike.value > 0 and figure.alike.upper is None and not has_no_spread(figure)


def _of_silence(inputs: AccountInputs, estimation: Estimation) -> list[Note]:
    everybody = all((quarter.rates.still >= 1).all() for quarter in estimation.quarters)
    if inputs.settings.version < NO_INTERVAL_SINCE or not everybody:
        return []
    return [
        Note(
            code="nobody_stopped",
            sentence="Every answer in force says 'still composting', so no assumption about the silent changes a "
            "figure; some of them may have stopped all the same.",
        )
    ]


def _of_ageing(inputs: AccountInputs, estimation: Estimation) -> list[Note]:
    if not inputs.settings.apply_ageing:
        return [
            Note(
                code="ageing_not_applied",
                sentence="Older answers are taken as if given today; households that have stopped since are still "
                "counted, which overstates.",
            )
        ]
    quitting = estimation.basis.assumptions.quitting
    if not quitting.assumed:
        return []
    return [
        Note(
            code="ageing_assumed",
            sentence=f"With {counted(quitting.answers, 'answer')} and {counted(quitting.stops, 'stop')} the rate at "
            f"which households stop is assumed, not estimated.",
        )
    ]


def _of_season(inputs: AccountInputs, estimation: Estimation) -> list[Note]:
    if not inputs.settings.apply_season:
        return [
            Note(
                code="season_not_applied",
                sentence="Yard trimmings are as reported, whatever the season asked about; for a single quarter that "
                "can be far off.",
            )
        ]
    if all(quarter.rates.season == "quarter" for quarter in estimation.quarters):
        return []
    return [
        Note(
            code="season_assumed",
            sentence="Yard trimmings are moved from the season asked about to the period by an assumed index.",
        )
    ]


def _of_weigh_ins(inputs: AccountInputs) -> list[Note]:
    used = [weighed for weighed in (inputs.food_weighed, inputs.yard_weighed) if weighed]
    if not used:
        return [
            Note(
                code="weigh_ins_not_applied",
                sentence="Volumes are turned into mass by published densities, not by weigh-ins of this programme.",
            )
        ]
    if not any(weighed.are_volunteers for weighed in used):
        return []
    return [
        Note(
            code="weigh_ins_of_volunteers",
            sentence="Volumes are turned into mass by weigh-ins of volunteers, who may report better than others.",
        )
    ]


def _of_missing(estimation: Estimation) -> list[Note]:
    missing: Sequence[str] = sorted(
        {name for quarter in estimation.quarters for name in quarter.rates.nobody_gave}
    )
    return [
        Note(code="nobody_gave", sentence=f"No household that still composts gave a {name}; it counts as 0.")
        for name in missing
    ]
