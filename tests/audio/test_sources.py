"""Sound files, the half-duplex gate, levels and the script reader."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import soundfile

from assistant.audio.chime import heard, say_again
from assistant.audio.devices import same_device
from assistant.audio.file_source import FileSource, read_audio
from assistant.audio.gate import HalfDuplexGate
from assistant.audio.level import ClippingWatch, Level
from assistant.audio.microphone import BlockBuffer
from assistant.audio.synthesis import parse_script
from assistant.speech.errors import SpeechError
from assistant.speech.types import Samples
from assistant.voice.pronounce import Respelling


def block(value: int, length: int = 1600) -> Samples:
    return np.full(length, value, np.int16)


@pytest.mark.parametrize("suffix", ["wav", "flac"])
def test_a_16_khz_file_comes_through_unchanged(tmp_path: Path, suffix: str) -> None:
    samples = np.random.default_rng(1).integers(-32768, 32767, 5000, np.int16)
    path = tmp_path / f"sound.{suffix}"
    soundfile.write(path, samples, 16_000)
    np.testing.assert_array_equal(np.concatenate(list(FileSource(path).blocks())), samples)


def test_stereo_at_44_1_khz_becomes_mono_at_16_khz(tmp_path: Path) -> None:
    t = np.arange(44_100) / 44_100
    tone = 0.5 * np.sin(2 * np.pi * 1000 * t)
    soundfile.write(tmp_path / "tone.wav", np.column_stack((tone, tone)), 44_100)
    samples = read_audio(tmp_path / "tone.wav")
    assert abs(len(samples) - 16_000) <= 1
    assert int(np.abs(np.fft.rfft(samples[:16_000])).argmax()) == 1000


def test_a_file_that_cannot_be_used_says_why(tmp_path: Path) -> None:
    with pytest.raises(SpeechError, match="There is no sound file"):
        read_audio(tmp_path / "missing.wav")
    (tmp_path / "notes.wav").write_text("not sound")
    with pytest.raises(SpeechError, match="cannot be read as audio"):
        read_audio(tmp_path / "notes.wav")
    soundfile.write(tmp_path / "empty.wav", np.zeros(0, np.int16), 16_000)
    with pytest.raises(SpeechError, match="holds no sound"):
        read_audio(tmp_path / "empty.wav")


def test_the_gate_drops_speech_and_tail_and_marks_the_cut() -> None:
    gate = HalfDuplexGate(tail_s=0.15, mark_s=1.0)
    assert gate.take(block(1)) is not None
    with gate.closed():
        mark = gate.take(block(2))
        assert mark is not None
        assert len(mark) == 16_000
        assert not mark.any()
        assert gate.take(block(2)) is None
    assert gate.take(block(3)) is None  # 0.1 s of the tail
    left = gate.take(block(4))
    assert left is not None
    assert len(left) == 800
    passed = gate.take(block(5))
    assert passed is not None
    np.testing.assert_array_equal(passed, block(5))


def test_a_full_buffer_loses_the_oldest_and_counts() -> None:
    buffer = BlockBuffer(2)
    for value in (1, 2, 3):
        buffer.put(block(value))
    first = buffer.get(0.0)
    assert buffer.overruns == 1
    assert first is not None
    assert first[0] == 2
    buffer.get(0.0)
    with pytest.raises(TimeoutError):
        buffer.get(0.0)
    buffer.close()
    assert buffer.get(0.0) is None


def test_levels() -> None:
    full = Level.of(np.tile(np.array([32767, -32768], np.int16), 800))
    assert full.rms_dbfs == pytest.approx(0.0, abs=0.01)
    assert full.clipped == 1.0
    assert "Too loud" in full.advice
    assert Level.of(block(0)).rms_dbfs == -96.0
    assert "Too quiet" in Level.of(block(100)).advice


def test_the_chimes_differ_and_do_not_click() -> None:
    for chime in (heard(), say_again()):
        assert abs(int(chime[0])) < 100
        assert abs(int(chime[-1])) < 300
        assert 0.1 < len(chime) / 16_000 < 0.5
    assert len(heard()) != len(say_again())


def test_respelling_takes_whole_words_only() -> None:
    respell = Respelling({"thou": "thow"})
    assert respell("Five Thou, a thousand, thou.") == "Five thow, a thousand, thow."


def test_a_script_line_that_means_nothing_is_named() -> None:
    lines = parse_script(["@noise hum 20", "go on", "@breath", "[rms] step done"], "slt")
    assert [(x.text, x.speaker, x.noise, x.breath) for x in lines] == [
        ("go on", "slt", "hum", False),
        ("step done", "rms", "hum", True),
    ]
    for bad in ("@noise gale 20", "@tempo fast", "@shout", "[nobody] hello"):
        with pytest.raises(SpeechError, match="Line 2 of the session script"):
            parse_script(["go on", bad])


def test_sound_that_is_cut_off_again_and_again_is_told_once() -> None:
    watch = ClippingWatch(blocks=3, within_s=1.0, quiet_s=10.0)
    loud, good = Level.of(block(32767)), Level.of(block(9000))
    for level in (loud, good, loud, *[good] * 10, loud):  # blows, not a voice
        watch.take(level, 1600)
    assert watch.warnings == 0
    for _ in range(50):
        watch.take(loud, 1600)
    assert watch.warnings == 1
    for _ in range(60):
        watch.take(loud, 1600)
    assert watch.warnings == 2


@pytest.mark.parametrize(
    ("before", "after", "same"),
    [
        ("KB Talk: USB Audio (hw:1,0)", "KB Talk: USB Audio (hw:3,0)", True),
        ("KB Talk: USB Audio (hw:1,0)", "Inside: Analogue (hw:1,0)", False),
        ("default", "default", True),
    ],
)
def test_a_microphone_is_known_again_at_another_place(before: str, after: str, same: bool) -> None:
    assert same_device(before, after) is same
