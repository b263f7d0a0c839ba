"""The form of a spelled number: what Python's ``re`` matches, without its backtracking."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.procedure.form import fits, form_fault

_PIECE = st.sampled_from(["A", "B", "[A-Z]", "[0-9]", "7", "(A|AB)", "(KB)", "-", "."])
_TIMES = st.sampled_from(["", "", "?", "*", "+", "{2}", "{1,3}"])
_FORMS = st.lists(st.tuples(_PIECE, _TIMES), max_size=5).map(
    lambda parts: "^" + "".join(a + b for a, b in parts) + "$"
)


@given(_FORMS, st.text("AB7K-", max_size=8))
def test_it_agrees_with_the_standard_library(form: str, text: str) -> None:
    assert fits(form, text) == (re.fullmatch(form, text) is not None)


@pytest.mark.parametrize("form", ["^(A|AA)+$", "^(A+)+$", "^(A*)*B$", "^([A-Z]|[A-Z0-9])+#$"])
def test_a_form_that_backtracks_answers_at_once(form: str) -> None:
    """With ``re`` each of these takes years against forty letters; here it is no longer a wait."""
    assert not fits(form, "A" * 4000 + "!")


@pytest.mark.parametrize(
    "form", ["[", "(?=A)B", r"(A)\1", "A{2000}", "((A{90}){90}){90}", "*A", "\ud800"]
)
def test_what_is_no_form_says_why_and_fits_nothing(form: str) -> None:
    assert form_fault(form)
    assert not fits(form, "A")
