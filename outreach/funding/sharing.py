"""Parting a whole among those who pay for it or whom it matches: nothing over, nothing left."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, TypeVar

from django.core.exceptions import ValidationError
from django.db.models import Model
from django.utils.translation import gettext as _

Key = TypeVar("Key")


def parted(
    whole: int, wanted: Sequence[tuple[Key, int | None]], in_words: Callable[[int], str]
) -> dict[Key, int]:
    """The share of each; one of them may be left open and takes what the others leave.

    Parameters
    ----------
    whole : int
        What is parted, in the least unit: cents, minutes.
    wanted : sequence of (key, amount or None)
    in_words : callable
        An amount as people read it, for the sentences.

    Raises
    ------
    ValidationError
        Where two are left open, one is named twice, or the shares do not add up to the whole.
    """
    keys = [key for key, _amount in wanted]
    if len(set(keys)) < len(keys):
        raise ValidationError(_("Name each of them once."))
    if sum(amount is None for _key, amount in wanted) > 1:
        raise ValidationError(_("Leave at most one share empty: it takes what the others leave."))
    rest = whole - sum(amount or 0 for _key, amount in wanted)
    shares = {key: rest if amount is None else amount for key, amount in wanted}
    if sum(shares.values()) == whole and min(shares.values(), default=1) > 0:
        return shares
    if rest <= 0:
        sentence = _(
            "The shares come to %(over)s too much, or leave nothing for the last. The whole is %(whole)s."
        )
    else:
        sentence = _("The shares fall short by %(short)s. The whole is %(whole)s.")
    raise ValidationError(
        sentence % {"over": in_words(-rest), "short": in_words(rest), "whole": in_words(whole)}
    )


def rewrite(
    *,
    known: Iterable[Any],
    wanted: Mapping[int, int],
    key: str,
    amount: str,
    new: Callable[[int, int], Model],
    save_whole: Callable[[], None],
) -> None:
    """Bring the shares of a whole to what is wanted, each change in the trail, and save the whole between.

    What becomes less goes first and what becomes more last, so that the shares never exceed their whole.
    """
    there = {getattr(share, key): share for share in known}
    more: list[Any] = []
    for number, share in there.items():
        if number not in wanted:
            share.delete()
        elif wanted[number] != getattr(share, amount):
            grows = wanted[number] > getattr(share, amount)
            setattr(share, amount, wanted[number])
            if grows:
                more.append(share)
            else:
                share.save()
    save_whole()
    # A new whole has its number only now.
    more += [new(number, value) for number, value in wanted.items() if number not in there]
    for share in more:
        share.full_clean()
        share.save()
