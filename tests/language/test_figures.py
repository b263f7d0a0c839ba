"""Torques and angles found in running text, in whatever way they are written or spelled out."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.language import Language
from assistant.language import figures as module
from assistant.language.compiled import compiled
from assistant.language.figures import _SPECS, figures, speaks_of
from assistant.quantities.amount import parse_amount
from assistant.quantities.symbols import symbol
from assistant.quantities.units import UNITS, same_dimension

EN, KO = Language.load("en-US"), Language.load("ko-KR")


def found(text: str, language: Language = EN) -> list[str]:
    return [str(f.amount) for f in figures(language, text)]


@pytest.mark.uncounted
@pytest.mark.parametrize(
    ("text", "amount"),
    # symbols after NIST SP 811 (N·m), ASME practice (lbf·ft) and the shop floor (common practice)
    [("50 N*m", "50 N*m"), ("50 N·m", "50 N*m"), ("50 N⋅m", "50 N*m"), ("50 N.m", "50 N*m"),
     ("50 N-m", "50 N*m"), ("50 N m", "50 N*m"), ("50Nm", "50 N*m"), ("50 NM", "50 N*m"),
     ("50 newton metres", "50 N*m"), ("50 Newton-meters", "50 N*m"), ("50 newtonmetres", "50 N*m"),
     ("fifty newton metres", "50 N*m"), ("forty-five newton meters", "45 N*m"),
     ("twelve point five N·m", "12.5 N*m"), ("one newton metre", "1 N*m"),
     ("one hundred and twenty newton metres", "120 N*m"), ("1,500 N*m", "1500 N*m"),
     ("40 lbf*ft", "40 lbf*ft"), ("40 lbf ft", "40 lbf*ft"), ("40 ft-lb", "40 lbf*ft"),
     ("40 ft·lbs", "40 lbf*ft"), ("40 ft.lbf", "40 lbf*ft"), ("40 lb-ft", "40 lbf*ft"),
     ("forty foot pounds", "40 lbf*ft"), ("40 foot-pounds", "40 lbf*ft"),
     ("forty pound feet", "40 lbf*ft"), ("120 in-lb", "120 lbf*in"), ("120 lbf·in", "120 lbf*in"),
     ("ninety inch pounds", "90 lbf*in"), ("60 degrees", "60 deg"), ("60°", "60 deg"),
     ("40 cN·m", "40 cN*m"), ("40 cN*m", "40 cN*m"), ("40 cNm", "40 cN*m"),
     ("forty centinewton metres", "40 cN*m"), ("80 oz-in", "80 ozf*in"), ("80 ozf·in", "80 ozf*in"),
     ("80 in-oz", "80 ozf*in"), ("eighty ounce inches", "80 ozf*in"),
     ("５０ N·m", "50 N*m"), ("50 Ｎｍ", "50 N*m"), ("٥٠ Nm", "50 N*m"), ("50\u200bNm", "50 N*m"),
     ("50 N\u200bm", "50 N*m"), ("50 N∙m", "50 N*m"), ("50 N•m", "50 N*m"), ("90 º", "90 deg"),
     ("a quarter turn", "90 deg"), ("1/4 turn", "90 deg"), ("one sixth of a turn", "60 deg"),
     ("two flats", "120 deg"), ("half a turn", "180 deg"),
     ("60 deg", "60 deg"), ("ninety degrees", "90 deg"), ("half a degree", "0.5 deg"),
     ("a hundred and eighty degrees", "180 deg")],
)  # fmt: skip
def test_a_figure_is_found_in_any_spelling(text: str, amount: str) -> None:
    assert found(text) == [amount]
    assert found(f"Now tighten all of them to {text}, then go on.") == [amount]
    assert found(f"Go slowly. ({text.capitalize()}) And on.") == [amount]


@pytest.mark.parametrize("text", [
    "5 kgf·m", "5 kilogram metres", "80 dN·m", "five kgm", "5 daNm", "5 daN·m", "5 kg-m", "5 m·kg",
    "5 mkg", "5 kp·m", "50000 N·mm", "50000 Nmm", "500 N.cm", "500 Ncm", "50 kgf·cm",
    # may be read in two ways, or in none
    "4,5 Nm", "5e1 Nm", "5x10^1 Nm",
])  # fmt: skip
def test_a_torque_in_a_unit_that_is_not_known_is_a_figure_without_an_amount(text: str) -> None:
    (figure,) = figures(EN, f"Tighten to {text}.")
    assert (figure.amount, figure.torque) == (None, True)


@pytest.mark.parametrize(
    "text",
    ["Warm the hub to eighty degrees Celsius.", "Heat to 80 °C.", "No more than 180 degrees F.",
     "Turn the shaft ten full turns by hand.", "Measure in newton metres.", "A few degrees off.",
     "Pull with ten pounds.", "Wait thirty minutes.", "Fit the M8 x 1 bolts.", "Read to 0.01 mm.",
     "Four bolts, two degrees of freedom less.", ""],
)  # fmt: skip
def test_what_is_no_torque_and_no_angle_is_left(text: str) -> None:
    assert [a for a in found(text) if a != "2 deg"] == []


def test_several_figures_are_found_in_order_with_their_words() -> None:
    text = "Tighten to 40 to 50 N*m. Then turn sixty degrees more, 33 lbf ft at the end."
    assert [f.written for f in figures(EN, text)] == ["50 N m", "sixty degrees", "33 lbf ft"]
    assert figures(EN, text)[0].sentence == "Tighten to 40 to 50 N*m."
    assert found("40-50 N*m") == ["50 N*m"]
    assert found("40 ± 2 N*m") == ["2 N*m"]


@pytest.mark.parametrize(
    ("text", "amount"),
    [("볼트를 사십 뉴턴 미터로 조이십시오.", "40 N*m"), ("40 N*m로 조입니다.", "40 N*m"),
     ("사십오 뉴턴미터까지", "45 N*m"), ("60도 더 돌리십시오.", "60 deg"),
     ("육십 도를 돌립니다.", "60 deg")],
)  # fmt: skip
def test_figures_in_korean(text: str, amount: str) -> None:
    assert found(text, KO) == [amount]


def test_a_temperature_in_korean_is_no_angle() -> None:
    assert found("섭씨 팔십 도로 데우십시오.", KO) == []


TORQUES = [unit for unit in UNITS if same_dimension(unit, "N*m")]


@given(st.integers(1, 999), st.sampled_from([*TORQUES, "deg"]))
def test_a_torque_or_angle_is_found_in_text_however_it_is_written(number: int, unit: str) -> None:
    amount = f"{number} {unit}"
    for written in (EN.say_amount(parse_amount(amount)), amount, f"{number} {symbol(unit)}"):
        assert found(f"Set it to {written} and go on.") == [amount]


def test_words_are_known_by_their_beginnings() -> None:
    assert speaks_of(EN, "Retightened bolts.", "tightening")
    assert speaks_of(EN, "Tighten it", "torque", "tightening")
    assert not speaks_of(EN, "It is watertight.", "tightening", "torque")
    assert speaks_of(KO, "볼트를 조이십시오", "fastener")


SIGNS = [
    "5",
    "1/2",
    "½",
    "0.5",
    "-",
    "·",
    "N",
    "m",
    "lbf",
    "ft",
    "°",
    "of",
    "a",
    "to",
    "the",
    "kgf",
]


@given(st.data())
def test_words_passed_over_unread_are_no_part_of_a_figure(data: st.DataObject) -> None:
    """Most words are passed over without asking the grammar; asking it finds the same."""
    language = {"en": EN, "ko": KO}[data.draw(st.sampled_from(["en", "ko"]))]
    words = [w for spec in _SPECS for w in compiled(language.sources, spec).typed_words]
    forms = language._typist._in_forms
    word = st.sampled_from(sorted({*words, *forms, *SIGNS, "bearing", "베어링", "뉴턴미터로"}))
    glued = st.tuples(word, st.sampled_from([" ", " ", "", "-", "·"])).map("".join)
    text = "".join(data.draw(st.lists(glued, max_size=8)))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module, "_may_be_in_unit", lambda *_: True)
        asked = tuple(module._in_sentence(language, text))
    assert tuple(module._in_sentence(language, text)) == asked
