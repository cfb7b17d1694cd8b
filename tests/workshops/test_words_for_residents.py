"""Everything a resident reads of sign-up is written in Spanish too, on pages and in messages."""

from string import Template

import pytest
from django.utils import translation
from django.utils.translation import gettext, pgettext

from outreach.workshops.message_kinds import MORE, SAMPLE
from outreach.workshops.texts import TEXTS
from tests.workshops.sentences import every_sentence

# The same word in both languages.
SAME_IN_BOTH: set[str] = set()


def test_every_sentence_has_its_spanish():
    sentences = every_sentence()

    with translation.override("es"):
        missing = {
            said
            for context, said in sentences
            if (pgettext(context, said) if context else gettext(said)) == said
        }

    assert len(sentences) > 150
    assert missing - SAME_IN_BOTH == set()


@pytest.mark.parametrize("key", TEXTS)
def test_a_message_says_the_same_facts_in_both_languages(key):
    english, spanish = (
        {name for part in text for name in Template(part).get_identifiers()} for text in TEXTS[key]
    )

    assert english == spanish
    assert english <= {*SAMPLE, *MORE.get(key, {})}


@pytest.mark.parametrize("key", TEXTS)
def test_what_asks_something_of_a_person_carries_the_link_to_do_it(key):
    bodies = [body for _subject, body in TEXTS[key]]

    assert key == "thanks" or all("$link" in body for body in bodies)
