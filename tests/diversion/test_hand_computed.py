"""A small case worked out on paper, taken through the whole account.

Two jurisdictions, three strata, fifteen answers, second quarter of 2025, everybody exposed for 13 weeks. Food only, by
weight. Older answers and season do not come into it.

                    N   weeks  answers, kg a week      R    of it to trash    before     of A, B
    A, mesh        10    130   2  4  3  6  stopped     3    100 %, new                   trash all landfilled
    A, rigid       20    260   1  1  2  2  4           2     50 %             25 %
    B, mesh         5     65   1  2  3  4  stopped     2     50 %, prior      50 %       trash 80 % landfilled

Gross, if the silent are alike: 130·3 + 260·2 + 65·2 = 390 + 520 + 130 = 1040 kg.
Landfill-bound: 390 + 520·0.5 + 130·0.5·0.8 = 390 + 260 + 52 = 702 kg; additional: 390; before: 130 + 65 = 195.

Error of gross: e/13 = 2-3, 4-3 … so Σ(e/13)² = 20, 6, 10; v = 5/4 · Σ/25 = 1, 0.3, 0.5.
V = 130²·(1-5/20)·1 = 12675; 260²·(1-5/40)·0.3 = 17745; 65²·(1-5/10)·0.5 = 1056.25; sum 31476.25, root 177.4155.
d = 31476.25² / ((12675² + 17745² + 1056.25²)/4) = 990754314 / 119164079 = 8.3142.
t at 95 %: 1.8595 for 8 and 1.8331 for 9 degrees (any printed table); between them in 1/d: 1.8505.
Limits 1040·exp(∓1.8505·177.4155/1040) = 1040·exp(∓0.3157) = 758.5 and 1426.0 kg.

Silence: answerers hold 65 weeks in each stratum, Ŷ₀ = 65·(3 + 2 + 2) = 455 kg.
p = (130·0.8 + 260·1 + 65·0.8)/455 = 416/455 = 0.914286.
Odds 2: silent x 1/(2-p) = 35/38; 455 + 585·35/38 = 993.82 kg. Odds 4: x 1/(4-3p) = 35/44; 455 + 585·35/44 = 920.34 kg.
Range to say: 758.5·920.34/1040 = 671.2 to 1426.0 kg.

Landfill-bound at odds 2: answerers 195 + 65 + 52 = 312, silent 390·35/38 = 359.21, in all 671.21 kg.
Before, at odds 2: answerers 32.5 + 65 = 97.5, silent 97.5·35/38 = 89.80, in all 187.30 kg.
Methane, food at k 0.1225, typical collection: 19.0324 kg/t (worked out apart by the designers of the method).
Lifetime 0.67121·19.0324 = 12.775 kg; x 27.0 = 344.92 kg CO2e. Composting: 4·27.0 + 0.24·273 = 173.52 kg CO2e/t
on 0.99382 - 0.18730 = 0.80651 t: 139.95. Net 204.97 kg CO2e.
Response: 15 of 35.
"""

import pytest

from diversion.account import compute
from diversion.cells import Prior, Unit
from diversion.inputs import JurisdictionSettings
from diversion.rounding import printed, printed_share
from tests.factories.diversion import Answer, make_answers, make_exposure, make_inputs, make_quarter


def by_weight(amounts, **differences):
    answers = [Answer(food=100 * amount) for amount in amounts]
    return make_answers(answers, food_in=Unit.WEIGHT, **differences)


def nobody_composts(**differences):
    return make_answers([Answer()], food_in=Unit.WEIGHT, still_composting=False, **differences)


@pytest.fixture(scope="module")
def account():
    new = {"prior": Prior.NEW, "food_trash_percent": 100, "food_composted_percent": 0}
    some = {"family": "rigid", "food_trash_percent": 50, "food_composted_percent": 25}
    before = {
        "jurisdiction": "B",
        "prior": Prior.PRIOR,
        "food_trash_percent": 50,
        "food_composted_percent": 50,
    }
    quarter = make_quarter(
        exposure=(
            make_exposure(households=10, days=910),
            make_exposure(family="rigid", households=20, days=1820),
            make_exposure(jurisdiction="B", households=5, days=455),
        ),
        answers=(
            by_weight([2, 4, 3, 6], **new),
            nobody_composts(),
            by_weight([1, 1, 2, 2, 4], **some),
            by_weight([1, 2, 3, 4], **before),
            nobody_composts(jurisdiction="B"),
        ),
    )
    places = JurisdictionSettings(code="A"), JurisdictionSettings(code="B", landfilled_share=0.8)
    return compute(make_inputs(quarters=(quarter,), jurisdictions=places))


@pytest.mark.parametrize(
    ("measure", "tonnes"),
    [("gross", 1.040), ("landfill_bound", 0.702), ("additional", 0.390), ("composted_before", 0.195)],
)
def test_tonnes_if_the_silent_are_alike(account, measure, tonnes):
    assert account.figure(measure, "food").alike.value == pytest.approx(tonnes, rel=1e-12)
    assert account.figure(measure, "both").alike.value == pytest.approx(tonnes, rel=1e-12)
    assert account.figure(measure, "yard").alike.value == 0


def test_interval_of_gross(account):
    alike = account.figure("gross").alike

    assert alike.standard_error == pytest.approx(0.1774155, rel=1e-6)
    assert alike.degrees_of_freedom == pytest.approx(8.3142, rel=1e-5)
    assert (alike.lower, alike.upper) == pytest.approx((0.7585, 1.4260), rel=1e-4)


def test_range_under_silence(account):
    gross = account.figure("gross")

    assert [entry.value for entry in gross.at_odds] == pytest.approx([1.04, 0.99382, 0.92034], rel=1e-5)
    assert gross.nothing == pytest.approx(0.455, rel=1e-12)
    assert (gross.said_lower, gross.said_upper) == pytest.approx((0.6712, 1.4260), rel=1e-4)
    assert account.still_composting == pytest.approx(416 / 455, rel=1e-12)


def test_methane_and_warming(account):
    assert account.figure("methane_lifetime").headline.value == pytest.approx(12.775, rel=1e-4)
    assert account.figure("process").headline.value == pytest.approx(0.13995, rel=1e-4)
    assert account.figure("net").headline.value == pytest.approx(0.20497, rel=1e-4)


def test_what_the_documents_print(account):
    gross, net = account.figure("gross"), account.figure("net")

    assert printed(gross.headline.value, unit="t") == "0.99\N{NO-BREAK SPACE}t"
    assert (printed(gross.said_lower), printed(gross.said_upper)) == ("0.67", "1.43")
    assert printed(account.figure("landfill_bound").headline.value) == "0.67"
    assert printed(account.figure("additional").alike.value) == "0.39"
    assert printed(account.figure("methane_lifetime").headline.value, unit="kg") == "12.8\N{NO-BREAK SPACE}kg"
    assert printed(net.headline.value) == "0.20"
    assert printed_share(account.response.share) == "43\N{NO-BREAK SPACE}%"


def test_strata_as_used(account):
    found = [(s.answers, s.households, s.household_weeks, s.gross_food_kg_per_week) for s in account.strata]

    assert found == [
        (5, 10, 130, pytest.approx(3)),
        (5, 20, 260, pytest.approx(2)),
        (5, 5, 65, pytest.approx(2)),
    ]


def test_parts(account):
    tonnes = {
        part.code: part.figure("landfill_bound", "food").alike for part in account.parts_by("jurisdiction")
    }
    families = {part.code: part.figure("gross", "both").alike for part in account.parts_by("family")}

    assert tonnes == pytest.approx({"A": 0.650, "B": 0.052})
    assert families == pytest.approx({"mesh": 0.520, "rigid": 0.520})
