"""What is said where a dimension over builds has nothing to show."""

from __future__ import annotations

import pytest

from assistant.report.trend_missing import why_none
from tests.report.test_export import record_of_sample


@pytest.mark.parametrize(
    ("step", "position", "told"),
    [
        ("flot", "", "has no step 'flot'. Did you mean 'float'?"),
        ("nothing_like_it", "", "has no step 'nothing_like_it'. Steps with values: "),
        ("float", "front", "'float' has no position 'front'."),
        ("lock", "", "has a value for 'lock' yet."),
    ],
)
def test_a_missing_step_is_told_from_a_missing_position(
    step: str, position: str, told: str
) -> None:
    assert told in why_none([record_of_sample()], "kb2_sample", step, position)


def test_without_any_build() -> None:
    assert why_none([], "kb2_sample", "float", "") == (
        "There is no build of 'kb2_sample' in this store."
    )
