"""Beside a value stands the same in the unit of its limits, or else of the other system.

The factor is the inch of 25.4 mm (NIST SP 811, B.8).
"""

from __future__ import annotations

import pytest

from assistant.quantities.amount import Indication, parse_amount
from assistant.quantities.limits import Limits
from assistant.report.sheet.words import other_indication


@pytest.mark.parametrize(
    ("value", "upper", "shown"),
    [
        ("0.2 mm", "4 thou", "7.9\u00a0thou"),  # 7.874
        ("0.2 mm", "50 um", "200\u00a0µm"),
        ("0.2 mm", "0.3 mm", "0.0079\u00a0in"),
        ("2.5 thou", "0.1 mm", "0.0635\u00a0mm"),
        ("41 degF", "10 degC", "5\u00a0°C"),
    ],
)
def test_a_value_is_also_shown_in_the_unit_of_its_limit(value: str, upper: str, shown: str) -> None:
    for beside in (Limits(upper=parse_amount(upper)), Limits(lower=parse_amount(upper))):
        assert other_indication(Indication("eq", parse_amount(value)), beside) == shown


def test_without_a_limit_it_is_shown_in_the_other_system() -> None:
    assert (
        other_indication(Indication("eq", parse_amount("2.5 thou")), Limits()) == "0.0635\u00a0mm"
    )
