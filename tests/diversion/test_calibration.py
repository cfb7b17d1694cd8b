import pytest
from hypothesis import given
from hypothesis import strategies as st

from diversion.calibration import NothingReported, TooFewWeighIns, WeighIn, calibrate
from diversion.errors import OutOfRange

LITRES = (10, 6, 8, 12, 5, 9, 7, 11, 4, 8, 15, 6, 9, 10, 7, 3, 8, 12, 6, 5)
KG = (3.1, 2.2, 2.0, 4.4, 1.1, 2.5, 2.6, 3.0, 1.5, 2.1, 5.2, 1.4, 3.3, 2.9, 2.2, 0.6, 2.8, 3.5, 2.1, 1.2)
TWENTY = [WeighIn(reported_litres=litres, measured_kg=kg) for litres, kg in zip(LITRES, KG, strict=True)]


def test_ratio_of_twenty_homes():
    """Reference values computed apart from this package: ratio estimator, t with 19 on the log scale."""
    found = calibrate(TWENTY)

    assert found.kg_per_litre == pytest.approx(0.308696, abs=5e-7)
    assert found.standard_error == pytest.approx(0.010908, abs=5e-7)
    assert (found.lower, found.upper) == pytest.approx((0.290398, 0.328146), abs=1e-6)
    assert found.degrees_of_freedom == 19
    assert str(found) == "0.309 kg per reported litre (0.290 to 0.328) from 20 volunteers"


def test_nineteen_homes_are_too_few():
    with pytest.raises(TooFewWeighIns, match="until 1 more has") as refused:
        calibrate(TWENTY[:19])

    assert (refused.value.homes, refused.value.needed) == (19, 20)


@pytest.mark.parametrize(
    ("picked_at_random", "homes_picked", "are_volunteers"),
    [(False, None, True), (True, None, True), (True, 41, True), (True, 40, False), (False, 20, True)],
)
def test_homes_are_volunteers_unless_picked_at_random_and_half_agreed(
    picked_at_random, homes_picked, are_volunteers
):
    found = calibrate(TWENTY, picked_at_random=picked_at_random, homes_picked=homes_picked)

    assert found.are_volunteers is are_volunteers


@given(st.floats(0.01, 100))
def test_a_larger_unit_of_volume_changes_the_ratio_and_nothing_else(scale):
    scaled = [WeighIn(reported_litres=h.reported_litres * scale, measured_kg=h.measured_kg) for h in TWENTY]

    found, usual = calibrate(scaled), calibrate(TWENTY)

    assert found.kg_per_litre * scale == pytest.approx(usual.kg_per_litre)
    assert found.upper / found.kg_per_litre == pytest.approx(usual.upper / usual.kg_per_litre)


def test_homes_that_report_exactly_leave_no_error():
    exact = [WeighIn(reported_litres=litres, measured_kg=litres / 4) for litres in LITRES]

    found = calibrate(exact)

    assert (found.kg_per_litre, found.standard_error, found.lower) == (0.25, 0, 0.25)


def test_nothing_weighed_is_a_ratio_of_nothing_and_nothing_reported_is_none():
    nothing = calibrate([WeighIn(reported_litres=2, measured_kg=0)] * 20)

    assert (nothing.kg_per_litre, nothing.lower, nothing.upper) == (0, None, None)
    assert str(nothing) == "0.000 kg per reported litre from 20 volunteers"
    with pytest.raises(NothingReported, match="Enter what they reported"):
        calibrate([WeighIn(reported_litres=0, measured_kg=1)] * 20)


def test_negative_weights_are_refused():
    with pytest.raises(OutOfRange):
        WeighIn(reported_litres=-1, measured_kg=1)
    with pytest.raises(OutOfRange):
        WeighIn(reported_litres=1, measured_kg=-1)
