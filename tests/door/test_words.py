"""What the Door says: every key that a module asks for is there, nothing is there in vain, residents read Spanish."""

import json
import re

import pytest
from django.conf import settings
from django.utils import translation

from outreach.door import words, worker

# Keys that are put together from what the device knows: the kind of an event, how a co-pay was settled …
MADE_OF_PARTS = re.compile(r"^(did|copay|language)_")
MADE_IN_STATES = {"connected", "sending", "unreachable", "starting", "finished", "not_opened", "ended_clean"}
COUNTED = re.compile(r"_(one|other)$")


def modules() -> str:
    return "\n".join(file.read_text(encoding="utf-8") for file in sorted(worker.OURS.glob("*.js")))


def keys_of(group) -> set[str]:
    return {COUNTED.sub("", key) for key in group}


def test_every_word_that_a_module_asks_for_is_there():
    said = set(re.findall(r'\bsay\("(\w+)"', modules()))
    told = set(re.findall(r'\btell\(\w+, "(\w+)"', modules()))

    assert len(said) > 60
    assert said - keys_of(words.CREW) == set()
    assert told - keys_of(words.RESIDENT) == set()


@pytest.mark.parametrize("group", [words.CREW, words.RESIDENT], ids=["crew", "resident"])
def test_no_word_is_there_in_vain(group):
    text = modules()
    asked = {key for key in keys_of(group) if f'"{key}"' in text or MADE_OF_PARTS.match(key)}

    assert keys_of(group) - asked - MADE_IN_STATES == set()


def test_every_event_that_the_device_makes_can_be_told():
    kinds = set(re.findall(r'door\.act\("(\w+)"', modules()))

    assert kinds == {"arrived", "walked_in", "waiver_accepted", "bin_given", "headcount", "undone"}
    assert {f"did_{kind}" for kind in kinds - {"undone"}} <= set(words.CREW)


def test_a_counted_sentence_has_both_numbers():
    for key in words.CREW:
        if found := COUNTED.search(key):
            other = {"one": "_other", "other": "_one"}[found[1]]
            assert COUNTED.sub(other, key) in words.CREW


def test_residents_are_told_everything_in_both_languages():
    english, spanish = (json.loads(words.as_json(code))["resident"] for code in ("en", "es"))

    assert set(english) == set(spanish)
    assert {key for key in english if english[key] == spanish[key]} == set()
    for key, sentence in english.items():
        assert set(re.findall(r"{\w+}", sentence)) == set(re.findall(r"{\w+}", spanish[key]))


def test_what_is_said_does_not_depend_on_who_asks():
    with translation.override("es"):
        in_spanish = words.as_json("en")

    assert in_spanish == words.as_json("en")
    assert {code for code, _name in settings.LANGUAGES} == {"en", "es"}
