"""Reading amounts with the containers that are in use, each text once: an export repeats the same few hundred."""

from typing import Self

from diversion.containers import ContainerTable
from diversion.quantities import Amount, Material, NotAnAmount, Period, read_amount
from outreach.followup.own_containers import OwnContainer


class AmountReader:
    """What texts say under one table of containers; made anew for each piece of work."""

    def __init__(self, containers: ContainerTable) -> None:
        self._containers = containers
        self._read: dict[tuple[str, Material, Period], Amount | NotAnAmount] = {}

    @classmethod
    def load(cls) -> Self:
        """With the standard containers and the programme's own."""
        return cls(OwnContainer.objects.table())

    def read(self, text: str, material: Material, per: Period) -> Amount | NotAnAmount:
        """What a text says, or why it says nothing."""
        key = text, material, per
        if key not in self._read:
            try:
                self._read[key] = read_amount(text, material=material, per=per, containers=self._containers)
            except NotAnAmount as why:
                self._read[key] = why
        return self._read[key]
