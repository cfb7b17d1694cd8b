"""What happens to answers when two records of one household are merged.

Both may have answered the same wave. Both answers are facts and both stay current: the later one is in
force from its day, the earlier until then, and the wave counts as answered once, because responses count
households. Waves stay as they were given. Undoing sets back exactly the rows that were moved and works
both households' days in force out again; answers recorded in between stay with the household they name.
"""

from typing import Any

from outreach.followup import in_force
from outreach.followup.models import Answer
from outreach.households.merging import records_of
from outreach.households.models import Household


class CountAnswers:
    """Count the answers of the absorbed household under the kept one."""

    def merge(self, kept: Household, absorbed: Household) -> Any:
        moved = Answer.objects.recorded_for([absorbed.pk])
        numbers = list(moved.values_list("pk", flat=True))
        self._count_under(numbers, kept.pk)
        in_force.rebuild([kept.pk])
        return {"from": absorbed.pk, "to": kept.pk, "answers": numbers}

    def undo(self, what_was_set: Any) -> None:
        # What was recorded for it, or for a record merged into it earlier, while it was merged goes back too.
        since = Answer.objects.recorded_for([what_was_set["to"]]).filter(
            household__in=records_of(what_was_set["from"])
        )
        back = {*what_was_set["answers"], *since.values_list("pk", flat=True)}
        self._count_under(sorted(back), what_was_set["from"])
        in_force.rebuild([what_was_set["from"], what_was_set["to"]])

    @staticmethod
    def _count_under(answer_ids: list[int], root_id: int) -> None:
        """Days are let go first: a household has one latest answer at any time."""
        Answer.objects.filter(pk__in=answer_ids).update(
            counted_under=root_id, in_force_from_day=0, in_force_until_day=0
        )
