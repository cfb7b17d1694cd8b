"""What happens to answers when two records of one household are merged.

Both may have answered the same wave. Both answers are facts and both stay current: the later one is in
force from its day, the earlier until then, and the wave counts as answered once, because responses count
households. Waves stay as they were given. Undoing sets back exactly the rows that were moved and works
both households' days in force out again; answers recorded in between stay with the household they name.
Weigh-ins, site checks, invitations and calls count under the kept household too; two weigh-ins of one household are
one home, and where both were asked in one wave only the earlier invitation is reminded of.
"""

from typing import Any

from django.db.models import Model

from outreach.followup import in_force
from outreach.followup.models import Answer, FollowUpCall, Invitation, SiteCheck, WeighIn
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


# Named by each model that counts under a household and needs nothing worked out anew.
MOVED: dict[str, type[Model]] = {
    "weigh_ins": WeighIn,
    "site_checks": SiteCheck,
    "invitations": Invitation,
    "calls": FollowUpCall,
}


class CountWhatWasSeen:
    """Count the weigh-ins, site checks, invitations and calls of the absorbed household under the kept one."""

    covers = frozenset(
        {
            "followup.WeighIn.household",
            "followup.WeighIn.counted_under",
            "followup.SiteCheck.household",
            "followup.SiteCheck.counted_under",
            "followup.FollowUpCall.household",
            "followup.FollowUpCall.counted_under",
            "followup.Invitation.household",
            "followup.Invitation.counted_under",
        }
    )

    def merge(self, kept: Household, absorbed: Household) -> Any:
        set_now: dict[str, Any] = {"from": absorbed.pk, "to": kept.pk}
        for name, model in MOVED.items():
            rows = model._default_manager.filter(counted_under=absorbed)
            set_now[name] = sorted(rows.values_list("pk", flat=True))
            rows.update(counted_under=kept)
        return set_now

    def undo(self, what_was_set: Any) -> None:
        records = records_of(what_was_set["from"])
        for name, model in MOVED.items():
            since = model._default_manager.filter(
                counted_under=what_was_set["to"], household__in=records
            ).values_list("pk", flat=True)
            back = {*what_was_set.get(name, ()), *since}
            model._default_manager.filter(pk__in=back).update(counted_under=what_was_set["from"])
