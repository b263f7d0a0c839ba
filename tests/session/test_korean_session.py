"""A workshop in Korean: whole sessions in which no English is spoken."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from assistant.cli.main import app
from assistant.dialogue.expectation import Expectation
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed
from assistant.language.hypothesis import Hypothesis, Recognition, Word, typed
from assistant.quantities.amount import parse_amount
from assistant.session.edges import EndOfInput, Sound
from assistant.session.rehearsal import rehearse
from tests.session.kit import Edges, MemoryJournal, demo_context, new_session, opened

NAME = "kb2_inspection_cover.ko-KR"
PEOPLE = ("--builder", "Otto Brandwick", "--inspector", "Marta Quill")
# Names of people and of the job are spoken as they are written.
_NAMES = re.compile(r"Rehearsal (?:Builder|Inspector)|Olga Brandt|Marta Quill|KB2-7")
OPENING = ("찰리", "내용 맞음", "주의 숙지")
NUMBER = ("킬로 브라보 둘 하나 칠", "내용 맞음", "고무 개스킷", "내용 맞음")


def english(said: Iterable[str]) -> list[str]:
    """The lines that hold Latin letters, names left out."""
    return [line for line in said if re.search(r"[A-Za-z]", _NAMES.sub("", line))]


class Lines:
    """A source that hears ``recognitions`` one after the other."""

    def __init__(self, recognitions: Iterable[Recognition]) -> None:
        self._next = iter(recognitions)

    def hear(self, expected: Expectation, patience_s: float | None) -> Sound | None:
        for recognition in self._next:
            return Sound(recognition)
        raise EndOfInput


def after(recognitions: Iterable[Recognition]) -> Edges:
    """What is said and recorded in a session that hears ``recognitions``."""
    edges = Edges()
    session = new_session(MemoryJournal(), edges, demo_context(NAME))
    session.open(opened(session))
    session.run(Lines(recognitions))
    return edges


def after_lines(*lines: str) -> Edges:
    return after(map(typed, lines))


def test_nothing_english_is_said_in_a_rehearsal() -> None:
    said = [text for scene in rehearse(demo_context(NAME)) for text in scene.said]
    assert len(said) > 60
    assert english(said) == []


def test_nothing_english_is_said_off_the_straight_way() -> None:
    said = after_lines(
        "명령 목록", *OPENING, "현재 위치", "남은 작업", "주의사항 반복", "명령 목록", *NUMBER,
        "느리게 말하기", "빠르게 말하기", "크게 말하기", "조용히 말하기", "한번 더", "토크 안내",
        "허용 범위", "계측 구 밀리미터", "내용 틀림", "계측 이십 미크론", "공 점 공 둘",
        "그대로 사용", "마모 한도 안", "검사원 마이크 퀘벡", "검사 거부", "다시 측정",
        "계측 영 점 팔", "숫자 낭독", "기록 정정", "계측 0.8 mm", "계측 팔십일 밀리미터",
        "하나 점 둘", "계측 영 점 팔 일", "오른쪽", "계측 영 점 팔 일", "듣기 중지", "듣기 재개",
        "메모 남기기", "틈이 조금 있음", "사진 첨부", "계속 진행", "계속 진행",
        "날 영 점 오 통과", "이전 단계", "내용 틀림", "단계 생략", "내용 틀림", "작업 중단",
        "내용 틀림", "바나나", "작업 중단", "내용 맞음",
    ).spoken  # fmt: skip
    assert len(said) > 80
    assert english(said) == []
    assert said[-1].startswith("작업을 중단하고 저장했습니다")


def test_a_korean_reading_is_recorded_as_it_was_said() -> None:
    lines = ("계측 영 점 팔 일 밀리미터", "계측 0.80 mm", "계속 진행")
    edges = after_lines(*OPENING, *NUMBER, *lines)
    values = [f.indication.amount for f in edges.facts if isinstance(f, ReadingConfirmed)]
    assert values == [parse_amount("0.81 mm"), parse_amount("0.80 mm")]


def test_a_numeral_with_a_twin_is_asked_for_in_words_that_have_none() -> None:
    # 일 and 칠 differ by one consonant, 하나 and 칠 by everything: so radio practice says 하나.
    sure = Hypothesis(tuple(Word(w) for w in ["계측", "영", "점", "일", "칠", "밀리미터"]), 0.97)
    before = map(typed, (*OPENING, *NUMBER))
    asked = after([*before, Recognition((sure,), "vosk")]).spoken[-1]
    assert asked.startswith("다른 숫자와 비슷하게 들립니다. 들은 값: 영 점 일 칠 밀리미터.")


@pytest.fixture
def _own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_DATA", str(tmp_path / "data"))


def call(*arguments: str, lines: Iterable[str] = ()) -> Result:
    return CliRunner().invoke(app, list(arguments), input="".join(f"{s}\n" for s in lines))


@pytest.mark.usefixtures("_own_data")
def test_a_session_is_run_stopped_and_resumed_in_korean() -> None:
    first = call(
        "run", "kb2_inspection_cover", "--language", "ko-KR", *PEOPLE, "--keyboard",
        "--voice", "silent", lines=(*OPENING, "작업 중단", "내용 맞음"),
    )  # fmt: skip
    assert first.exit_code == 0, first.output
    assert "작업을 중단하고 저장했습니다" in first.output
    again = call("resume", "--keyboard", "--voice", "silent", lines=("작업 중단", "내용 맞음"))
    assert again.exit_code == 0, again.output
    assert "다시 오셨습니다" in again.output
    assert "changed since" not in again.output


@pytest.mark.usefixtures("_own_data")
@pytest.mark.parametrize("command", ["check", "rehearse"])
def test_a_language_that_the_procedure_is_not_written_in_is_one_sentence(command: str) -> None:
    refused = call(command, "kb2_input_shaft", "--language", "ko-KR")
    assert refused.exit_code == 2
    assert "is written in en-US, not in ko-KR" in refused.output
    assert "kb2_input_shaft.ko-KR.yaml" in refused.output
    assert len(refused.output.strip().splitlines()) == 1


@pytest.mark.usefixtures("_own_data")
def test_a_language_that_is_not_installed_is_one_sentence(tmp_path: Path) -> None:
    text = Path(f"procedures/{NAME}.yaml").read_text(encoding="utf-8")
    path = tmp_path / "strange.yaml"
    path.write_text(text.replace("language: ko-KR", "language: xx-XX"), encoding="utf-8")
    refused = call("run", str(path), *PEOPLE, "--keyboard", "--voice", "silent")
    assert refused.exit_code == 2
    assert "line 7: error: The language 'xx-XX' is not installed; use one of: " in refused.output
    assert "Traceback" not in refused.output
