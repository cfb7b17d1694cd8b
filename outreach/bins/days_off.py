"""Days of use less the days on which a household is known not to have used its bin."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from outreach.bins.models import Pause, Stay
from outreach.bins.models.handouts import NO_END_DAY
from outreach.bins.spans import Span

# From the first day off up to, not with, the first day of use again.
Days = tuple[int, int]


def days_off(root_ids: Sequence[int]) -> dict[int, list[Days]]:
    """Of each household that has any: its days off in order, those that touch joined."""
    rows = Pause.objects.standing().filter(counted_under__in=root_ids).order_by("from_on")
    found: dict[int, list[Days]] = defaultdict(list)
    for root_id, from_on, until_on in rows.values_list("counted_under", "from_on", "until_on"):
        days = (from_on.toordinal(), NO_END_DAY if until_on is None else until_on.toordinal())
        theirs = found[root_id]
        if theirs and days[0] <= theirs[-1][1]:
            theirs[-1] = (theirs[-1][0], max(theirs[-1][1], days[1]))
        else:
            theirs.append(days)
    return found


def less(spans: Iterable[Span], off: Sequence[Days]) -> Iterator[Span]:
    """The spans with those days taken out: each parted, shortened, left out or as it was."""
    for span in spans:
        rest = span
        for begin, end in off:
            if end <= rest.from_day or begin >= rest.until_day:
                continue
            if rest.from_day < begin:
                why = Stay.Ended.STOPPED if end == NO_END_DAY else Stay.Ended.PAUSED
                yield replace(rest, until_day=begin, because=str(why))
            rest = replace(rest, from_day=min(end, rest.until_day))
        if rest.from_day < rest.until_day:
            yield rest
