"""First in, first out: which delivery a bin came from, from counts and days alone.

What lies on the shelves is what came last, so a bin that leaves is of the oldest delivery of which any is left:

- a bin written off, or missed by a count, was one of the oldest on the shelf; one found again makes good for it;
- bins that no delivery explains (a first count, more found than were ever missed) are older than all others;
- a bin that came back to a shelf, or whose handout was voided, is of its own delivery again and leaves next;
- a bin cannot have come with a delivery of a later day: one that left an empty shelf is of none.

Which of two shelves a bin lay on makes no difference, nor does the lot printed on it. Nothing here reads records.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import Enum


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    """Bins that came in together, and the order they are of; none where nobody said."""

    order_id: int | None
    received_on: date
    quantity: int


class What(Enum):
    """What happened on the shelves of one bin model."""

    CAME = "came"
    WENT = "went"
    CAME_BACK = "came back"
    # Counted more or fewer, or written off.
    CHANGED = "changed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Happening:
    """One of them: a delivery, a handout that took a bin or gave it back, or so many more or fewer."""

    what: What
    on: date
    quantity: int = 1
    order_id: int | None = None
    handout_id: int | None = None


class Shelves:
    """The bins of one model on all shelves together, delivery by delivery."""

    def __init__(self, *, on_hand: int = 0) -> None:
        self.on_hand = on_hand
        self._deliveries: list[Delivery] = []
        self._left: list[int] = []
        self._left_in_all = 0

    def add(self, delivery: Delivery, *, left: int) -> None:
        """A delivery younger than those there, of which so many have not been handed out."""
        self._deliveries.append(delivery)
        self._left.append(left)
        self._left_in_all += left

    def take(self, on: date) -> int | None:
        """Let one bin leave; return the place of its delivery among all, none where it is of none."""
        place = self._oldest() if self.on_hand > 0 else None
        if place is not None and self._deliveries[place].received_on > on:
            place = None
        self.on_hand -= 1
        if place is not None:
            self._change(place, -1)
        return place

    def put_back(self, place: int | None) -> None:
        self.on_hand += 1
        if place is not None:
            self._change(place, 1)

    def order_of(self, place: int | None) -> int | None:
        return None if place is None else self._deliveries[place].order_id

    def contents(self) -> list[Delivery]:
        """What lies there, the oldest first, with the quantities left; bins that no delivery explains are left out."""
        missing = self._missing()
        found: list[Delivery] = []
        for delivery, left in zip(self._deliveries, self._left, strict=True):
            gone = min(max(missing, 0), left)
            missing -= gone
            if left > gone:
                found.append(
                    Delivery(
                        order_id=delivery.order_id, received_on=delivery.received_on, quantity=left - gone
                    )
                )
        return found

    def _missing(self) -> int:
        """Bins of deliveries that were not handed out and are not there; below 0, bins that no delivery explains."""
        return self._left_in_all - self.on_hand

    def _oldest(self) -> int | None:
        missing = self._missing()
        if missing < 0:
            return None
        for place, left in enumerate(self._left):
            if left > missing:
                return place
            missing -= left
        return None

    def _change(self, place: int, by: int) -> None:
        self._left[place] += by
        self._left_in_all += by


def shelves_of(
    deliveries: Iterable[Delivery], *, handed_out: Mapping[int | None, int], on_hand: int
) -> Shelves:
    """The shelves as they are now.

    Parameters
    ----------
    deliveries : iterable of Delivery
        In the order in which they came.
    handed_out : mapping
        Bins of each order, and of none, that went to households and did not come back to a shelf.
    on_hand : int
        Bins of the model in the ledger, on all shelves; may be below 0.
    """
    still = Counter(handed_out)
    shelves = Shelves(on_hand=on_hand)
    for delivery in deliveries:
        gone = min(still[delivery.order_id], delivery.quantity)
        still[delivery.order_id] -= gone
        shelves.add(delivery, left=delivery.quantity - gone)
    return shelves


def next_orders(shelves: Shelves, days: Sequence[date]) -> list[int | None]:
    """The orders of the bins that leave next, on these days one after another."""
    return [shelves.order_of(shelves.take(day)) for day in days]


def replay(happenings: Iterable[Happening]) -> dict[int, int | None]:
    """Go through all that happened to a model, in order; return the order of each handout's bin."""
    shelves = Shelves()
    places: dict[int | None, int | None] = {}
    for one in happenings:
        match one.what:
            case What.CAME:
                delivery = Delivery(order_id=one.order_id, received_on=one.on, quantity=one.quantity)
                shelves.add(delivery, left=one.quantity)
                shelves.on_hand += one.quantity
            case What.WENT:
                places[one.handout_id] = shelves.take(one.on)
            case What.CAME_BACK:
                shelves.put_back(places.get(one.handout_id))
            case What.CHANGED:
                shelves.on_hand += one.quantity
    return {
        handout_id: shelves.order_of(place) for handout_id, place in places.items() if handout_id is not None
    }
