"""The recipe desk's sums against published worked examples and the laws they must keep."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diversion.errors import OutOfRange
from outreach.coaching import mix
from outreach.coaching.mix import Batch, CannotReach, NothingToMix, Part
from outreach.coaching.published import Kind, published

FEEDSTOCKS = published().feedstocks
litres = st.floats(0.5, 500)
parts = st.builds(Part, feedstock=st.sampled_from(list(FEEDSTOCKS.values())), litres=litres)


def test_wet_grass_wants_the_leaves_that_cornell_works_out():
    """Source: Cornell Composting, moisture worked example: 10 kg at 77 %, leaves 35 %, goal 60 %. Seen."""
    needed = mix.dry_needed(Batch(kg=10, moisture_percent=77), dry_moisture_percent=35, goal_percent=60)

    assert needed == pytest.approx(6.8, abs=0.05)


def test_grass_wants_the_carbon_that_cornell_works_out():
    """Source: Cornell Composting, C/N worked example, 10 kg of grass want 3.5 kg of leaves. From memory."""
    grass = Batch(kg=10, moisture_percent=77, carbon_percent=45, nitrogen_percent=2.4)
    leaves = Batch(kg=1, moisture_percent=35, carbon_percent=50, nitrogen_percent=0.75)

    assert mix.carbon_needed(grass, leaves, goal=30) == pytest.approx(3.5, abs=0.05)


def test_hay_scraps_and_coffee_mix_as_published():
    """Source: 'How to calculate the C:N of your compost mix' (docslib 12269573): 34.7. Seen; percent as is."""
    batches = [
        Batch(kg=50, moisture_percent=0, carbon_percent=40, nitrogen_percent=1),
        Batch(kg=10, moisture_percent=0, carbon_percent=10, nitrogen_percent=1),
        Batch(kg=2, moisture_percent=0, carbon_percent=25, nitrogen_percent=1),
    ]

    assert mix.carbon_to_nitrogen_of(batches) == pytest.approx(34.7, abs=0.05)


def test_averaging_ratios_is_not_what_is_done():
    """2 parts of 20:1 and 1 of 60:1 averaged give 33 (gardensimply.com, seen): wrong, mass weighs in.

    Two litres of grass and one of leaves at 0.204 and 0.120 kg/L (Missouri S&T compost calculator, seen).
    """
    grass = Batch(kg=0.408, moisture_percent=80, carbon_percent=48, nitrogen_percent=2.4)
    leaves = Batch(kg=0.12, moisture_percent=38, carbon_percent=48, nitrogen_percent=0.8)

    ratio = mix.carbon_to_nitrogen_of([grass, leaves])

    assert abs(ratio - 100 / 3) > 1
    assert ratio == pytest.approx((0.0816 * 48 + 0.0744 * 48) / (0.0816 * 2.4 + 0.0744 * 0.8))


@given(st.lists(parts, min_size=1, max_size=5))
def test_masses_add_up_and_the_typical_lies_in_its_range(chosen):
    mixture = mix.mix(chosen)

    assert mixture.litres == pytest.approx(sum(part.litres for part in chosen))
    assert mixture.kg.typical == pytest.approx(sum(part.batch.kg for part in chosen))
    for span in (mixture.kg, mixture.moisture_percent, mixture.carbon_to_nitrogen):
        assert span.low <= span.typical * (1 + 1e-9)
        assert span.typical <= span.high * (1 + 1e-9)


@given(litres, litres, st.floats(0.5, 100))
def test_more_browns_raise_the_ratio(green, brown, more):
    def ratio(of):
        leaves = Part(feedstock=FEEDSTOCKS["leaves"], litres=of)
        return mix.mix([Part(feedstock=FEEDSTOCKS["food"], litres=green), leaves]).carbon_to_nitrogen.typical

    assert ratio(brown + more) > ratio(brown)


def test_browns_are_two_to_one_by_volume_unless_the_programme_says_otherwise():
    """Common practice, no source; 1 to 5 by published guidance (Hawaii, Sonoma, Frisco)."""
    greens = [Part(feedstock=FEEDSTOCKS["food"], litres=10)]

    usual, own = mix.browns_for(greens), mix.browns_for(greens, per_green=3)

    assert (usual.low, usual.typical, usual.high) == (10, 20, 50)
    assert own.typical == 30


def test_eucalyptus_up_to_a_fifth_passes_and_more_does_not():
    """Common practice, no source."""

    def limits(eucalyptus):
        pair = [("leaves", 100 - eucalyptus), ("eucalyptus", eucalyptus)]
        return mix.mix([Part(feedstock=FEEDSTOCKS[k], litres=v) for k, v in pair]).limits

    assert limits(20) == ()
    assert "a fifth" in limits(21)[0].sentence


def test_an_inch_on_a_bed_and_one_part_in_four():
    harvest = mix.harvest_of(101.6)

    assert harvest.litres.typical == pytest.approx(50.8)
    assert harvest.bed_m2.typical == pytest.approx(2)
    assert harvest.potting_litres.typical == pytest.approx(203.2)


def test_what_cannot_be_is_refused_in_words():
    with pytest.raises(CannotReach, match="between the two"):
        mix.dry_needed(Batch(kg=1, moisture_percent=50), dry_moisture_percent=35, goal_percent=60)
    with pytest.raises(NothingToMix, match="at least one material"):
        mix.mix([])
    with pytest.raises(OutOfRange, match="fruit and vegetable"):
        Part(feedstock=FEEDSTOCKS["food"], litres=-1)


@pytest.mark.parametrize("feedstock", FEEDSTOCKS.values(), ids=lambda one: one.key)
def test_dry_plant_matter_is_about_half_carbon(feedstock):
    assert 30 <= feedstock.carbon_percent <= 66
    assert feedstock.kind in Kind
