import pytest

from diversion.containers import SMALLEST_OFFERED, STANDARD, ContainerTaken
from diversion.errors import OutOfRange
from diversion.quantities import Material, NotAnAmount, Period, read_amount


def test_a_programme_adds_a_pail_of_its_own_and_its_words_win():
    own = STANDARD.with_container(key="our-pail", name="green pail", litres=7.0, words=("pail",))

    amount = read_amount("2 green pails", material=Material.FOOD, per=Period.WEEK, containers=own)
    shorter = read_amount("a pail", material=Material.FOOD, per=Period.WEEK, containers=own)

    assert (amount.millilitres_per_week, amount.container) == (14000, "our-pail")
    assert shorter.container == "our-pail"
    assert own["our-pail"].source == "the programme's own"


def test_the_standard_table_does_not_change_when_one_is_added():
    STANDARD.with_container(key="our-caddy", name="blue caddy", litres=7.0)

    with pytest.raises(KeyError):
        STANDARD["our-caddy"]


def test_a_key_is_taken_once():
    with pytest.raises(ContainerTaken, match="key of its own") as refused:
        STANDARD.with_container(key="gallon", name="imperial gallon", litres=4.54609)

    assert refused.value.key == "gallon"


@pytest.mark.parametrize("litres", [0, -1, float("nan"), float("inf")])
def test_a_container_holds_something(litres):
    with pytest.raises(OutOfRange):
        STANDARD.with_container(key="odd", name="odd thing", litres=litres)


def test_a_bag_means_a_paper_yard_bag_for_trimmings_only():
    for material in (Material.YARD, Material.BROWNS):
        assert read_amount("a bag", material=material, per=Period.WEEK).container == "paper-yard-bag"
    with pytest.raises(NotAnAmount):
        read_amount("a bag", material=Material.FOOD, per=Period.WEEK)


def test_every_word_leads_to_its_container():
    for container in STANDARD.containers:
        for material in container.materials:
            for words in container.words:
                assert STANDARD.words_for(material)[tuple(words.split())] == container


def test_each_container_tells_its_size_and_where_that_is_from():
    heading, *rows = STANDARD.as_table()

    assert heading == ("key", "container", "litres", "source", "checked")
    assert len({row[0] for row in rows}) == len(rows) == len(STANDARD.containers)
    assert all(all(row) for row in rows)


def test_the_smallest_offered_is_in_the_table_for_every_material():
    assert {STANDARD[SMALLEST_OFFERED[material]].key for material in Material} == {
        "half-gallon",
        "five-gallon-bucket",
    }
