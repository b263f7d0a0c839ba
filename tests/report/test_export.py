"""CSV and JSON against the csv module, an independent schema validator and NIST's factors."""

from __future__ import annotations

import csv
import json
import re
from fractions import Fraction
from functools import lru_cache
from io import StringIO
from pathlib import Path

import jsonschema
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from assistant.quantities.amount import parse_amount
from assistant.quantities.habit import converted
from assistant.quantities.limits import Limits
from assistant.report.export import COLUMNS, json_schema, schema_text, to_csv, to_json
from assistant.report.model import BuildRecord
from assistant.report.record import build_record
from tests.quantities.kit import exactly
from tests.report.sample import OPENED, Scribe, confirmed, offered, sample


@pytest.fixture(scope="module")
def record() -> BuildRecord:
    return build_record(sample())


@lru_cache(maxsize=1)
def record_of_sample() -> BuildRecord:
    return build_record(sample())


def rows(text: str) -> list[dict[str, str]]:
    """The CSV read by Python's own module, strictly."""
    return list(csv.DictReader(StringIO(text, newline=""), strict=True))


def test_one_row_a_reading_with_every_column(record: BuildRecord) -> None:
    found = rows(to_csv(record))
    assert len(found) == len(record.readings) == 8
    assert all(tuple(row) == COLUMNS for row in found)
    for row, reading in zip(found, record.readings, strict=True):
        assert Fraction(row["value"]) == reading.indication.amount.value
        assert row["unit"] == reading.indication.amount.unit
        assert row["status"] == reading.status
        assert row["verdict"] == reading.judgement.verdict


def test_stated_and_converted_stand_side_by_side(record: BuildRecord) -> None:
    """1 in = 25.4 mm exactly: NIST SP 811 (2008) B.8."""
    row = rows(to_csv(record))[2]
    assert (row["value"], row["unit"]) == ("2.5", "thou")
    assert (row["converted_value"], row["converted_unit"]) == ("0.0635", "mm")
    assert (row["lower_limit"], row["upper_limit"], row["limit_unit"]) == ("1.5", "3", "thou")
    assert (row["converted_lower_limit"], row["converted_upper_limit"]) == ("0.0381", "0.0762")


@pytest.mark.parametrize(
    ("stated", "unit", "number"),
    [
        # NIST SP 811 (2008) B.8: ft.lbf 1.355 818 N.m; in.lbf 1.129 848 E-01 N.m; in 25.4 mm
        ("1.000000 lbf*ft", "N*m", 1.355818),
        ("1.00000 lbf*in", "N*m", 0.1129848),
        ("1.000000 in", "mm", 25.4),
        ("1.00000 psi", "bar", 0.06894757),
        ("1.00000 lbf", "N", 4.448222),
        ("25.4 mm", "in", 1.0),
        ("68 degF", "degC", 20.0),
        ("20.0 N*m", "lbf*ft", 14.75124),
    ],
)
def test_converted_by_nists_factors_to_a_tenth_of_the_resolution(
    stated: str, unit: str, number: float
) -> None:
    amount = parse_amount(stated)
    other = converted(amount)
    assert other is not None
    assert other.unit == unit
    assert amount.resolution is not None
    zero = parse_amount(f"0 {amount.unit}").to(unit).value  # a temperature's scale is shifted
    step = parse_amount(f"1 {amount.unit}").to(unit).value - zero
    assert float(other.value) == pytest.approx(number, abs=float(amount.resolution * step) / 10)


def test_converted_numbers_claim_no_more_than_was_read() -> None:
    for stated, written in [
        ("14 lbf*ft", "19.0 N*m"),
        ("14.0 lbf*ft", "18.98 N*m"),
        ("0.25 mm", "0.00984 in"),
        ("1.5 thou", "0.0381 mm"),
        ("1/64 in", "0.3969 mm"),
        ("-0.10 mm", "-0.00394 in"),
    ]:
        assert str(converted(parse_amount(stated))) == written
    assert converted(parse_amount("60 deg")) is None


def test_a_cell_cannot_run_in_a_spreadsheet() -> None:
    scribe = Scribe("=cmd()")
    for entry in sample():
        scribe.add(entry)
    found = rows(to_csv(build_record(scribe.entries)))
    assert {row["session"] for row in found} == {"'=cmd()"}


_NUMBER = re.compile(r"-?\d+(\.\d+)?(/\d+)?")
_HEARD = st.text(st.sampled_from("=+-@;,\t\r\n \"'|!ab1\u200b\ufeff\uff1d"), max_size=12)


@given(_HEARD)
@example("-1+cmd|' /C calc'!A0")
@example("x;=1+1")
@example(" =1+1")
@example("\n=1+1")
def test_whichever_separator_a_spreadsheet_takes_no_cell_runs(heard: str) -> None:
    """After OWASP, "CSV Injection" (from memory): = + - @ tab and carriage return begin a formula.

    Read as a spreadsheet does that splits at commas, at semicolons or at tabs.
    """
    reading = record_of_sample().readings[0].model_copy(update={"heard": heard})
    text = to_csv(record_of_sample().model_copy(update={"readings": [reading]}))
    for separator in ",;\t":
        for row in csv.reader(StringIO(text, newline=""), delimiter=separator):
            for cell in row:
                assert separator != "," or not cell.startswith(("\t", "\r"))
                seen = cell.strip(' \t\r\n"\u200b\ufeff')
                assert seen[:1] not in {*"=+-@\uff1d"} or _NUMBER.fullmatch(seen), cell


def test_negative_numbers_stay_numbers() -> None:
    reading = (
        record_of_sample().readings[0].model_copy(update={"indication": exactly("-0.0381 mm")})
    )
    text = to_csv(record_of_sample().model_copy(update={"readings": [reading]}))
    assert rows(text)[0]["value"] == "-0.0381"
    assert rows(text)[0]["converted_value"] == "-0.0015"


def test_the_json_keeps_its_schema(record: BuildRecord) -> None:
    """Checked by jsonschema, draft 2020-12."""
    schema = json_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    for count in (0, 1, 20, 60, len(sample())):
        validator.validate(json.loads(to_json(build_record(sample()[:count]))))


@pytest.mark.parametrize("spoil", ["number", "status", "extra", "missing"])
def test_the_schema_rejects_what_is_wrong(record: BuildRecord, spoil: str) -> None:
    whole = json.loads(to_json(record))
    reading = whole["readings"][0]
    if spoil == "number":
        reading["indication"]["amount"]["number"] = 2.0
    elif spoil == "status":
        reading["status"] = "perhaps"
    elif spoil == "extra":
        reading["colour"] = "green"
    else:
        del reading["limits"]
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(whole, json_schema())


def test_numbers_in_the_json_are_exact(record: BuildRecord) -> None:
    for reading, line in zip(json.loads(to_json(record))["readings"], record.readings, strict=True):
        assert Fraction(reading["indication"]["amount"]["number"]) == line.indication.amount.value


def test_the_published_schema_is_the_one_in_use() -> None:
    """docs/record.schema.json; write it again with python -m tests.report.write_schema."""
    published = Path(__file__).parents[2] / "docs" / "record.schema.json"
    assert published.read_text(encoding="utf-8") == schema_text()


def test_no_cell_is_a_fraction_that_a_spreadsheet_takes_for_a_date() -> None:
    """1 mm is 5/127 in exactly (25.4 mm an inch, NIST SP 811 B.8): 0.03937008 to seven figures."""
    mixed = Limits(parse_amount("1.5 thou"), parse_amount("1 mm"))
    scribe = Scribe()
    scribe.event(OPENED.model_dump(mode="json"))
    scribe.heard(offered("float", "top", exactly("2 thou"), mixed))
    scribe.heard(confirmed("float", "top", exactly("2 thou"), mixed, "dial"))
    (row,) = rows(to_csv(build_record(scribe.entries)))
    assert (row["lower_limit"], row["upper_limit"]) == ("1.5", "39.37008")
