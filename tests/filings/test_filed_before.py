"""What was filed by an earlier version of the method is computed again to the same figures, notes and working.

The file holds three invented quarters as the first version of the method computed and froze them: one by the index,
one whose yard trimmings rest on the quarter's own 53 answers, one whose eight answers are all alike.
"""

import gzip
import json
from pathlib import Path

import pytest

from diversion.settings import METHOD_VERSION
from outreach.filings import composing, computing, frozen_inputs, verifying
from outreach.filings.report import as_text

KEPT = Path(__file__).parent / "data" / "filed_by_method_1.json.gz"
FILED = json.loads(gzip.decompress(KEPT.read_bytes()))


def computed_again(name: str):
    inputs = frozen_inputs.from_dict(FILED[name]["inputs"])
    return inputs, computing.compute(computing.FilingInputs(period=inputs, year_to_date=inputs))


@pytest.mark.parametrize("name", sorted(FILED))
def test_nothing_that_was_filed_changes(name):
    inputs, accounts = computed_again(name)

    again = json.loads(as_text(composing.account_of(accounts)))

    assert (inputs.settings.version, inputs.settings.season_fewest_answers, inputs.settings.draws) == (
        1,
        30,
        10_000,
    )
    assert set(FILED[name]["account"]) == {"period", "drawn"}
    for part, filed in FILED[name]["account"].items():
        assert verifying.differences(filed, again[part], where=part) == []


def test_today_the_same_answers_are_told_by_today_s_rules():
    """53 answers about the quarter itself no longer make the index needless, and alike answers give no interval."""
    quarter, _ = computed_again("quarter")
    alike, _ = computed_again("alike")
    today = frozen_inputs.from_dict({**FILED["quarter"]["inputs"], "settings": _of_today("quarter")})
    flat = frozen_inputs.from_dict({**FILED["alike"]["inputs"], "settings": _of_today("alike")})

    assert today.settings.version > quarter.settings.version == alike.settings.version
    codes = _codes(today)
    assert "season_assumed" in codes
    assert "season_assumed" not in _codes(quarter)
    assert {"no_spread", "nobody_stopped"} <= _codes(flat)
    assert not {"no_spread", "nobody_stopped"} & _codes(alike)


def _of_today(name: str) -> dict:
    return {
        **FILED[name]["inputs"]["settings"],
        "version": METHOD_VERSION,
        "season_fewest_answers": 100,
        "draws": 32_768,
    }


def _codes(inputs) -> set[str]:
    accounts = computing.compute(computing.FilingInputs(period=inputs, year_to_date=inputs))
    return {note.code for note in accounts.period.notes}
