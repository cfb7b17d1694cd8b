"""Where it went before: words turned into shares."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from outreach.followup.before import Before, NotAPlace, read_before


def _shares(text):
    before = read_before(text)
    return (
        (before.food_trash_percent, before.food_composted_percent),
        (before.yard_trash_percent, before.yard_composted_percent),
    )


ALL_TRASH, ALL_COMPOSTED, NEITHER, NOT_SAID = (100, 0), (0, 100), (0, 0), (None, None)


@pytest.mark.parametrize(
    ("text", "food", "yard"),
    [
        ("Trash", ALL_TRASH, ALL_TRASH),
        ("in the garbage can", ALL_TRASH, ALL_TRASH),
        ("la basura", ALL_TRASH, ALL_TRASH),
        ("landfill", ALL_TRASH, ALL_TRASH),
        ("Green cart", ALL_COMPOSTED, ALL_COMPOSTED),
        ("yard waste bin", ALL_COMPOSTED, ALL_COMPOSTED),
        ("contenedor verde", ALL_COMPOSTED, ALL_COMPOSTED),
        ("Composted at home", ALL_COMPOSTED, ALL_COMPOSTED),
        ("compost pile", ALL_COMPOSTED, ALL_COMPOSTED),
        ("fed to chickens", NEITHER, NEITHER),
        # A disposal says nothing of yard trimmings, the lawn nothing of food.
        ("Garbage disposal", NEITHER, NOT_SAID),
        ("down the sink", NEITHER, NOT_SAID),
        ("left on lawn", NOT_SAID, NEITHER),
        ("half trash half green cart", (50, 50), (50, 50)),
        ("trash 80%, green cart 20%", (80, 20), (80, 20)),
        ("20 % compost pile, the rest trash", (80, 20), (80, 20)),
        ("1/3 trash, 2/3 green bin", (33, 67), (33, 67)),
        ("half trash, half garbage disposal", (50, 0), NOT_SAID),
        ("", NOT_SAID, NOT_SAID),
        ("n/a", NOT_SAID, NOT_SAID),
    ],
)
def test_places_and_shares_are_understood(text, food, yard):
    assert _shares(text) == (food, yard)


@pytest.mark.parametrize(
    ("text", "useful_half"),
    [
        ("my neighbor", "no place in it is known"),
        ("trash and green cart", "say how much went to each"),
        ("mostly trash", "not clear what 'mostly' says"),
        ("60 % trash, 60 % green cart", "come to 120 %"),
        ("50 % trash", "come to 50 %"),
        ("compost pile 80 %, rest trash", "not clear what '80 %, rest' says"),
        ("trash, but not always", "not clear what"),
    ],
)
def test_what_is_not_clear_goes_to_a_person(text, useful_half):
    with pytest.raises(NotAPlace, match=useful_half) as refused:
        read_before(text)

    assert refused.value.text == text


WORDS = st.sampled_from(["trash", "half", "green", "cart", "disposal", "50", "%", ",", "rest", "and"])


@given(st.text(max_size=60) | st.lists(WORDS).map(" ".join))
def test_whatever_is_written_gives_shares_or_a_reason(text):
    try:
        before = read_before(text)
    except NotAPlace:
        return

    for trash, composted in _shares(text):
        assert (trash is None) == (composted is None)
        assert trash is None or (trash >= 0 and composted >= 0 and trash + composted <= 100)
    assert isinstance(before, Before)
