"""Containers of the programme's own, such as the pail that it hands out, beside those that everybody knows."""

import re
import unicodedata

from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext_lazy as _

from diversion.amount_tokens import tokens_of
from diversion.amount_words import LONGEST_RUN, OF, SMALL_OR_LARGE, VESSEL
from diversion.containers import STANDARD, ContainerTable
from diversion.quantities import Material, NotAnAmount, Period, read_amount
from outreach.staff.constraints import within

LEAST_ML, MOST_ML = 50, 1_000_000
ML_PER_LITRE = 1000
TRIED = 2
# Kinds of words that may be in a name: 'big tub', 'bag of the city'.
HARMLESS = {OF, SMALL_OR_LARGE, VESSEL}


class OwnContainerQuerySet(models.QuerySet["OwnContainer"]):
    def in_use(self) -> "OwnContainerQuerySet":
        """Those that answers are read with."""
        return self.filter(is_retired=False)

    def table(self) -> ContainerTable:
        """The standard containers and ours in use; where two claim a word, ours wins."""
        table = STANDARD
        for one in self.in_use().order_by("pk"):
            table = one.added_to(table)
        return table


class OwnContainer(models.Model):
    """Something that residents count when asked how much, which the programme added: its size and its words."""

    name = models.CharField(
        _("name"), max_length=60, help_text=_("One of it, as residents say it: 'green caddy'.")
    )
    # Folded, so that 'Green Caddy' and 'green caddy' meet.
    name_key = models.CharField(max_length=60, unique=True, editable=False)
    other_words = models.CharField(
        _("also called"),
        max_length=300,
        blank=True,
        help_text=_("Other words for it, in English or Spanish, with commas between: 'tub, cubito verde'."),
    )
    ml = models.PositiveIntegerField(_("size, millilitres"))
    is_retired = models.BooleanField(_("not used any more"), default=False)

    objects = OwnContainerQuerySet.as_manager()

    class Meta:
        ordering = ["is_retired", "name"]
        constraints = [
            within(
                "ml",
                LEAST_ML,
                MOST_ML,
                name="own_container_size",
                sentence=_("A container holds from 0.05 to 1000 litres. Check the size and its unit."),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def litres(self) -> float:
        return self.ml / ML_PER_LITRE

    @property
    def words(self) -> tuple[str, ...]:
        """What residents call one of it, and several: its name and its other words, folded."""
        said = [self.name, *self.other_words.split(",")]
        return tuple(form for word in map(folded, said) if word for form in _forms(word))

    def added_to(self, table: ContainerTable) -> ContainerTable:
        return table.with_container(
            key=f"own-{self.pk or 0}", name=folded(self.name), litres=self.litres, words=self.words
        )

    def clean(self) -> None:
        self.name_key = folded(self.name)
        if OwnContainer.objects.filter(name_key=self.name_key).exclude(pk=self.pk).exists():
            raise ValidationError(
                {"name": _("A container of this name is on the list already. Correct that one.")}
            )
        if self.name_key and not self.is_retired and self.ml is not None and LEAST_ML <= self.ml <= MOST_ML:
            for field, word in self._named():
                self._require_readable(field, word)

    def _named(self) -> list[tuple[str, str]]:
        others = [("other_words", folded(word)) for word in self.other_words.split(",") if word.strip()]
        return [("name", self.name_key), *others]

    def _require_readable(self, field: str, word: str) -> None:
        """'Two of it' must be read as twice its size, or the name would lead nowhere."""
        others = OwnContainer.objects.exclude(pk=self.pk).table()
        for material in Material:
            claimed = others.words_for(material).get(tuple(word.split()))
            if claimed is not None and claimed.key.startswith("own-"):
                raise ValidationError(
                    {
                        field: _("'%(word)s' already means another container: %(other)s.")
                        % {"word": word, "other": claimed.name}
                    }
                )
        try:
            amount = read_amount(
                f"{TRIED} {word}", material=Material.FOOD, per=Period.WEEK, containers=self.added_to(others)
            )
        except NotAnAmount:
            amount = None
        means_something = {token.kind for token in tokens_of(word, {})} - HARMLESS
        if means_something or amount is None or amount.millilitres_per_week != TRIED * self.ml:
            raise ValidationError(
                {
                    field: _(
                        "An answer of '2 %(word)s' could not be read. Use up to %(most)s words, without numbers "
                        "and without words for a time or an amount."
                    )
                    % {"word": word, "most": LONGEST_RUN}
                }
            )


def _forms(word: str) -> tuple[str, ...]:
    """One and several: 'green caddy', 'green caddies'; 'cubito verde', 'cubitos verdes'."""
    ending = f"{word[:-1]}ies" if word.endswith("y") else f"{word}es"
    return word, f"{word}s", ending, " ".join(f"{part}s" for part in word.split())


def folded(words: str) -> str:
    """As answers are compared: lower case, without accents, one blank between words."""
    plain = unicodedata.normalize("NFKD", words.lower())
    letters = "".join(char for char in plain if not unicodedata.combining(char))
    return re.sub(r"[\s\-'’]+", " ", letters).strip()
