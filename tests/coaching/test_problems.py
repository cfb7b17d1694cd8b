"""The table of problems holds together, and says what the sources it names say."""

import pytest
from django.utils import translation

from diversion.factors.published import Status
from outreach.coaching.problems import BadEntry, Cause, Said, diagnose, problems
from outreach.coaching.symptoms import Symptom

# 'Compost piles: troubleshooting problems', a sheet reposted at scribd.com (59759219), and Oregon State University
# Extension, 2018: symptom, what it comes from, and a word of what to do.
FROM_THE_SHEET = [
    ("sour", "too_wet", "browns"),
    ("ammonia", "too_green", "browns"),
    ("nothing_happens", "too_small", "3 by 3 by 3"),
    ("nothing_happens", "too_brown", "food scraps"),
    ("dry", "too_dry", "water"),
    ("sour", "no_air", "thin layers"),
    ("flies", "food_exposed", "Bury"),
    ("rats", "shelter", "mesh"),
]


def text_of(cause):
    return " ".join(one.en for one in cause.now)


@pytest.mark.parametrize("symptom", Symptom.values)
def test_every_symptom_has_causes_with_something_to_do(symptom):
    problem = problems()[symptom]

    assert problem.causes
    assert all(cause.now and cause.source for cause in problem.causes)


@pytest.mark.parametrize(("symptom", "cause", "words"), FROM_THE_SHEET)
def test_the_causes_are_those_of_the_sources(symptom, cause, words):
    found = {one.key: one for one in problems()[symptom].causes}

    assert words in text_of(found[cause])


def test_what_has_no_source_says_so():
    rows = [*problems().values(), *(cause for one in problems().values() for cause in one.causes)]

    assert {row.status for row in rows if row.source == "common practice, no source"} == {Status.ASSUMED}
    assert all(row.source == "common practice, no source" for row in rows if row.status is Status.ASSUMED)


def test_smoke_is_never_to_be_opened_and_calls_for_help():
    hot = problems()["hot"]

    assert "do not open it" in hot.call.en
    assert all("911" in text_of(cause) for cause in hot.causes)
    assert "heat" in hot.caution_keys


def test_no_advice_names_borax_or_poison_as_a_cure():
    said = " ".join(text_of(cause) for one in problems().values() for cause in one.causes).lower()

    assert "borax" not in said
    assert "boric" not in said
    assert "Lay no poison" in problems()["rats"].call.en


def test_it_speaks_the_language_of_the_reader():
    name = problems()["ants"].name

    with translation.override("es"):
        assert str(name) == "Hormigas"
    with translation.override("en-us"):
        assert str(name) == "Ants"


def test_what_explains_more_of_the_symptoms_comes_first():
    together = diagnose(["flies", "sour", "soggy"])

    # Too wet: 1/3 + 1 + 1; food left open: 1.
    assert [cause.key for cause in together.causes][:2] == ["too_wet", "food_exposed"]
    assert len({cause.key for cause in together.causes}) == len(together.causes)


def test_what_can_burn_comes_before_everything_else():
    together = diagnose(["sour", "rats", "flies", "hot"])

    assert [cause.key for cause in together.causes][:2] == ["large_and_rich", "dry_core"]


def test_one_symptom_keeps_the_order_of_the_table():
    assert diagnose(["rats"]).causes == problems()["rats"].causes


def test_nothing_known_is_nothing_found():
    nothing = diagnose(["gnomes"])

    assert (nothing.problems, nothing.causes, nothing.cautions) == ((), (), [])


def test_a_sentence_in_one_language_is_refused():
    with pytest.raises(BadEntry, match="both languages"):
        Said("Turn it.", " ")


def test_a_cause_without_advice_is_refused():
    with pytest.raises(BadEntry, match="nothing to do"):
        Cause(key="x", words=Said("a", "b"), now=(), source="s", status=Status.SEEN)
