"""Charts of two kinds of bars: told apart without colour, inside their frame, as long as their values."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from outreach.filings.charts import lay_out, svg_of
from outreach.filings.charts.marks import LETTER, Rectangle, Stroke, Words
from outreach.filings.charts.pairs import nice_step
from outreach.filings.report import Bar, Chart, Report
from tests.filings.test_report import make_report

AS_FILED, TODAY = "as filed", "with today's factors"
# Values are checked, not time: a busy machine may take long over one example.
unhurried = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])


def pair(label, filed, today):
    return (
        Bar(label=label, value=filed, lower=filed / 2, upper=2 * filed, printed=f"{filed}"),
        Bar(label=label, value=today, lower=today / 2, upper=2 * today, printed=f"{today}", series=1),
    )


def pairs_of(*bars):
    return Chart(
        key="trend", caption="", unit="short tons", bars=bars, alt="", shape="pairs", series=(AS_FILED, TODAY)
    )


def falls_of(*bars):
    return Chart(key="net", caption="", unit="t", bars=bars, alt="", shape="falls")


def boxes(chart, role):
    return [mark for mark in lay_out(chart).marks if isinstance(mark, Rectangle) and mark.role == role]


def words(chart):
    return [mark.text for mark in lay_out(chart).marks if isinstance(mark, Words)]


def test_columns_in_pairs_are_as_tall_as_their_values_and_the_second_is_hatched():
    chart = pairs_of(*pair("2025-Q1", 2, 4), *pair("2025-Q2", 1, 3))

    filled, outlined = boxes(chart, "bar")[1:], boxes(chart, "bar-second")[:-1]

    # The keys are drawn last: a filled box, and an outlined one.
    tall = {box.height for box in boxes(chart, "bar")} | {box.height for box in boxes(chart, "bar-second")}
    unit = min(tall - {10.0})
    assert sorted(round(height / unit, 6) for height in tall - {10.0}) == [1, 2, 3, 4]
    assert len(filled) == len(outlined) == 2
    assert any(isinstance(mark, Stroke) and mark.role == "hatch" for mark in lay_out(chart).marks)


def test_pairs_name_their_series_their_unit_and_their_scale():
    chart = pairs_of(*pair("2025-Q1", 20, 40))

    said = words(chart)

    assert {AS_FILED, TODAY, "short tons", "0", "20", "80", "Q1", "2025"} <= set(said)


@unhurried
@given(
    st.lists(st.tuples(st.floats(0.001, 1e6), st.floats(0.001, 1e6)), min_size=1, max_size=12),
)
def test_whatever_the_values_everything_in_pairs_lies_inside(values):
    bars = [bar for n, (filed, today) in enumerate(values) for bar in pair(f"20{n + 10}-Q1", filed, today)]
    layout = lay_out(pairs_of(*bars))

    for mark in layout.marks:
        if isinstance(mark, Rectangle):
            assert -0.1 <= mark.x <= mark.x + mark.width <= layout.width + 0.1
            assert -0.1 <= mark.y <= mark.y + mark.height <= layout.height + 0.1
        elif isinstance(mark, Stroke):
            assert -0.1 <= min(mark.y1, mark.y2) <= max(mark.y1, mark.y2) <= layout.height + 0.1
        elif isinstance(mark, Words):
            assert 0 <= mark.y <= layout.height


@unhurried
@given(st.floats(1e-9, 1e12))
def test_a_step_of_the_scale_is_one_two_or_five_and_never_too_small(least):
    step = nice_step(least)

    assert least * (1 - 1e-6) <= step <= 2.5 * least * (1 + 1e-6)
    assert f"{step:e}"[0] in "125"


def test_what_is_taken_off_hangs_between_the_whole_and_the_rest():
    chart = falls_of(
        Bar(label="all", value=10, printed="10"),
        Bar(label="not trash", value=-6, printed="−6", series=1),
        Bar(label="kept out", value=4, lower=2, upper=8, printed="4"),
    )

    (whole, rest), (fall,) = boxes(chart, "bar"), boxes(chart, "bar-second")

    assert fall.x == pytest.approx(rest.x + rest.width)
    assert fall.x + fall.width == pytest.approx(whole.x + whole.width)
    assert fall.width == pytest.approx(0.6 * whole.width)


def test_a_rest_below_zero_goes_to_the_left_of_it():
    chart = falls_of(
        Bar(label="avoided", value=1, printed="1"),
        Bar(label="given off", value=-3, printed="−3", series=1),
        Bar(label="net", value=-2, printed="−2"),
    )

    (avoided, net), (fall,) = boxes(chart, "bar"), boxes(chart, "bar-second")

    assert net.x + net.width == pytest.approx(avoided.x)
    assert fall.x == pytest.approx(net.x)
    widest = max(mark.x + len(mark.text) * LETTER for mark in lay_out(chart).marks if isinstance(mark, Words))
    assert widest <= lay_out(chart).width


def test_series_are_the_same_after_storage_and_older_reports_have_none():
    report = make_report()
    chart = pairs_of(*pair("2025-Q1", 2, 4))
    stored = report.to_dict()
    stored["sections"][0]["charts"] = [
        {**stored["sections"][0]["charts"][0]},
        {
            "key": chart.key,
            "caption": "",
            "unit": chart.unit,
            "alt": "",
            "shape": "pairs",
            "series": list(chart.series),
            "bars": [
                {"label": bar.label, "value": bar.value, "lower": bar.lower, "upper": bar.upper,
                 "printed": bar.printed, "series": bar.series}
                for bar in chart.bars
            ],
        },
    ]  # fmt: skip
    del stored["sections"][0]["charts"][0]["series"]
    for bar in stored["sections"][0]["charts"][0]["bars"]:
        del bar["series"]

    older, newer = Report.from_dict(stored).charts

    assert older == report.charts[0]
    assert newer == chart
    assert 'class="chart-hatch"' in svg_of(newer)
