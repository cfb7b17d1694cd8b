"""What households themselves do when two are merged: records merged earlier, and people met in both."""

from typing import Any

from outreach.households.merging import RECORDS
from outreach.households.models import Household, Participant


class MergedEarlier:
    """Records absorbed by the absorbed household earlier follow it to the one that is kept, so that
    each record names its root."""

    def merge(self, kept: Household, absorbed: Household) -> Any:
        earlier = list(Household.objects.merged_into(absorbed).values_list("pk", flat=True))
        Household.objects.numbered(earlier).update(merged_into=kept)
        return {"absorbed": absorbed.pk, RECORDS: earlier}

    def undo(self, what_was_set: Any) -> None:
        Household.objects.numbered(what_was_set[RECORDS]).update(merged_into=what_was_set["absorbed"])


class SamePeople:
    """People of one name in both households are one person from now on; the record of the kept
    household stands for both."""

    def merge(self, kept: Household, absorbed: Household) -> Any:
        theirs = {person.pk: person for person in Participant.objects.of(absorbed).standing()}
        # `absorbed` names `kept` already, so its people are among those of `kept`.
        all_of_both = Participant.objects.of(kept).standing()
        ours = {person.name_key: person for person in all_of_both if person.pk not in theirs}
        linked = {}
        for person in theirs.values():
            if person.name_key in ours:
                also = list(person.also_recorded_as.values_list("pk", flat=True))
                numbers = [person.pk, *also]
                Participant.objects.numbered(numbers).update(same_person_as=ours[person.name_key])
                linked[str(person.pk)] = also
        return linked

    def undo(self, what_was_set: Any) -> None:
        for number, also in what_was_set.items():
            Participant.objects.numbered([int(number)]).update(same_person_as=None)
            Participant.objects.numbered(also).update(same_person_as=int(number))
