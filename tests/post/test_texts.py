"""Wordings: filled in without fail, refused with the reason, kept beside each other."""

import pytest
from django.core.exceptions import ValidationError
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from outreach.post import texts
from outreach.post.kinds import Kind, Text
from outreach.post.models import TextVersion
from tests.factories.post import AT, ENGLISH, SAMPLE, SPANISH

KIND = Kind(key="test.any", title="Any", sample=SAMPLE, texts={"en": ENGLISH, "es": SPANISH})
PIECES = st.one_of(
    st.sampled_from(["$name", "${day}", "$$", "$link", "$", "$5", "${", "$nobody", "$ñ", "$Name", "ı$name"]),
    st.text(max_size=8),
)
WORDS = st.lists(PIECES, max_size=12).map("".join)
# The first draw of text loads a table, which a busy machine takes its time over.
unhurried = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
VALUES = st.fixed_dictionaries({name: st.text(max_size=20) for name in SAMPLE})


def is_refused(text):
    try:
        texts.refuse_wrong_names(KIND, "en", text)
    except ValidationError:
        return True
    return False


@unhurried
@given(subject=WORDS, body=WORDS, values=VALUES)
def test_a_text_that_is_not_refused_can_be_filled_in_with_anything(subject, body, values):
    text = Text(subject, body + " $link")

    if not is_refused(text):
        filled = texts.filled(text, values)

        assert "\n" not in filled.subject
        assert len(filled.subject) <= texts.LONGEST_SUBJECT
        assert "\n\n\n" not in filled.body


@unhurried
@given(values=VALUES)
def test_every_value_arrives_as_it_is(values):
    filled = texts.filled(Text("s", "$name|$day|$link"), values)

    assert "".join(filled.body.split()) == "".join("|".join(values[name] for name in SAMPLE).split())


@pytest.mark.parametrize(
    ("subject", "body", "field", "sentence"),
    [
        ("Only $5", "$link", "subject", "A \\$ stands alone"),
        ("Hello", "$link costs $ 5", "body", "A \\$ stands alone"),
        (
            "Hello $nme",
            "$link",
            "subject",
            "Nobody fills in \\$nme. This message knows \\$day, \\$link, \\$name",
        ),
        ("Hello", "$link $who $what", "body", "Nobody fills in \\$what, \\$who"),
        ("Hello $link", "Body", "body", "The text must contain \\$link"),
    ],
)
def test_a_wrong_name_or_a_missing_link_is_said_where_it_is(subject, body, field, sentence):
    with pytest.raises(ValidationError, match=sentence) as refused:
        texts.refuse_wrong_names(KIND, "en", Text(subject, body))

    assert list(refused.value.message_dict) == [field]


def test_what_a_kind_needs_can_be_said_by_the_kind():
    free = Kind(key="test.free", title="Free", sample=SAMPLE, texts=dict(KIND.texts), needed=frozenset())

    texts.refuse_wrong_names(free, "en", Text("Thanks", "Thank you, $name."))


@pytest.mark.django_db
@pytest.mark.postgres
class TestWriting:
    @pytest.fixture(autouse=True)
    def kinds_of_tests(self, known_kinds):
        pass

    def write(self, by, body="New $link", *, after=0):
        return texts.write(
            kind="test.confirmation", language="en", text=Text("New", body), after=after, by=by, at=AT
        )

    def test_versions_stay_beside_each_other(self, coordinator):
        self.write(coordinator)
        self.write(coordinator, "Newer $link", after=1)

        bodies = list(TextVersion.objects.order_by("version").values_list("version", "body", "written_by"))
        assert bodies == [(1, "New $link", coordinator.pk), (2, "Newer $link", coordinator.pk)]

    def test_nothing_is_kept_where_nothing_differs(self, coordinator):
        self.write(coordinator)

        assert self.write(coordinator, after=1) is None

    def test_nobody_overwrites_what_they_have_not_read(self, coordinator):
        self.write(coordinator)

        with pytest.raises(ValidationError, match="Someone else changed this text meanwhile"):
            self.write(coordinator, "Other $link", after=0)
