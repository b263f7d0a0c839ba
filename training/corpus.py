"""The words to be said: what builders say to the tool, and enough other English around it.

Written from a seed as lines of three columns: the words, the words as a synthesiser is given
them, and their phones as indices.
"""

from __future__ import annotations

import argparse
import random
import re
from collections.abc import Callable, Iterator
from pathlib import Path

from assistant.evaluation.states import STATES
from assistant.language import Language
from assistant.language.spec import ListenSpec, NumberSpec
from assistant.resources import data_folder
from assistant.voice.pronounce import Respelling
from training.phones import targets

_DIGITS = "zero one two three four five six seven eight nine".split()
_TEENS = "thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split()
_TENS = "thirty forty fifty sixty seventy eighty ninety".split()
_ONES = _DIGITS[1:]
_UNITS = (
    "thou millimeters microns inches newton meters;pound feet;pound inches;degrees degrees"
    " celsius;bar psi seconds minutes millimeter micron inch newtons kilograms"
)
_SHORT = (
    "no yes go stop on off up down left right next back done ok help wait start pause reading"
    " correction bolt blade point oh niner double triple minus half quarter goes a an and of"
    " decimal negative positive step good bad pass fail true false top bottom front rear"
).split()
_LABELS = (
    "bolt stud nut screw position point hole tooth bearing seal shim pin key flange cover end side"
    " plane station blade gear shaft option part number line page step"
).split()
_SIDES = (
    "top bottom left right front rear input output inner outer upper lower near far drive free"
    " vertical horizontal first second third fourth fifth last"
).split()

Maker = Callable[[random.Random], str]


class Corpus:
    """Draws lines; what may be said comes from the language's grammars."""

    def __init__(self, language: Language, common: frozenset[str] | None = None) -> None:
        """``common``: words to draw other talk from; None: the whole dictionary, names and all."""
        self._language = language
        self._known = language.pronunciations
        self._words = [
            w
            for w in self._known
            if re.fullmatch(r"[a-z]{2,12}", w) and (common is None or w in common)
        ]
        self._specs = [*STATES.values(), *(_reading_specs()), *_other_specs(language)]
        self._sentences = list(_sentences(language))
        units = [u for part in _UNITS.split(";") for u in (part.split() if " " in part else [part])]
        self._units = [*units, "newton meters", "pound feet", "pound inches", "degrees celsius"]
        self._spelled = list(language.character_words.values())

    def makers(self, close: float) -> list[tuple[float, Maker]]:
        """How often each kind of line is drawn; ``close``: times as many that sound alike."""
        return [
            (0.22, self.phrase), (0.16, self.reading), (0.15, self.digits),
            (0.12 * close, self.teens), (0.12 * close, self.doubled), (0.07, self.number),
            (0.06, self.spelling), (0.07, self.short), (0.05, self.label), (0.07, self.words),
            (0.05, self.sentence),
        ]  # fmt: skip

    def phrase(self, rng: random.Random) -> str:
        """Anything that some state of a session allows."""
        return self._language.sample(rng.choice(self._specs), rng)

    def reading(self, rng: random.Random) -> str:
        """A likely reading of some gauge, said the usual way."""
        whole = rng.choice((rng.randint(0, 9), rng.randint(10, 99), rng.randint(100, 999)))
        said = self._cardinal(whole)
        if rng.random() < 0.6:
            digits = " ".join(rng.choice(_DIGITS) for _ in range(rng.randint(1, 4)))
            said += f" {rng.choice(('point', 'point', 'decimal'))} {digits}"
        elif rng.random() < 0.15:
            said += rng.choice((" and a half", " and a quarter", " and three quarters"))
        lead = rng.choice(("reading ",) * 5 + ("reading minus ", "reading less than ", ""))
        unit = rng.choice(self._units) if rng.random() < 0.8 else ""
        return f"{lead}{said} {unit}".strip()

    def digits(self, rng: random.Random) -> str:
        """A run of digits, mostly three to six, as read back one by one."""
        count = rng.choice((1, 2, 3, 3, 4, 4, 5, 5, 6, 6, 7, 8))
        said = [rng.choice(_DIGITS) for _ in range(count)]
        if rng.random() < 0.25:  # the same digit twice is where a run is miscounted
            at = rng.randrange(count)
            said.insert(at, said[at])
        said = [rng.choice(("oh", "zero")) if d == "zero" else d for d in said]
        said = ["niner" if d == "nine" and rng.random() < 0.15 else d for d in said]
        if rng.random() < 0.35:
            said.insert(rng.randint(0, len(said) - 1), rng.choice(("point", "decimal")))
        if rng.random() < 0.1:
            said.insert(0, rng.choice(("minus", "double", "triple", "reading")))
        return " ".join(said)

    def teens(self, rng: random.Random) -> str:
        """Thirteen or thirty in the same frame, so that only their end tells them apart."""
        at = rng.randrange(7)
        said = rng.choice((_TEENS, _TENS))[at]
        if said in _TENS and rng.random() < 0.25:
            said += " " + rng.choice(_ONES)
        hundreds, digit = rng.choice(_ONES) + " hundred ", rng.choice(_DIGITS)
        before = rng.choice(
            ("", "", "reading ", "reading ", "point ", "bolt ", "a hundred and ", hundreds)
        )
        other = rng.choice((*_TEENS, *_TENS))
        unit = " " + rng.choice(self._units)
        after = rng.choice(
            ("", "", unit, unit, f" point {digit}", " thousandths of an inch", f" {other}")
        )
        return before + said + after

    def doubled(self, rng: random.Random) -> str:
        """A sound that ends one word and begins the next, or the same words without it.

        "Sixteen newton" and "sixty newton" differ in the length of one N and in stress alone.
        """
        at = rng.randrange(7)
        said = rng.choice((_TEENS, _TENS))[at]
        if rng.random() < 0.3:
            kind = rng.randrange(3)
            if kind == 0:
                said = " ".join(rng.choice(("one", "seven", "nine", "ten")) for _ in range(2))
            elif kind == 1:
                said = rng.choice(("seventeen", "seventy", "nineteen", "ninety", "seven", "one"))
            else:
                said = rng.choice(("eight two", "eight ten", "point two", "six seven", "six six"))
        before = rng.choice(
            (
                "",
                "reading ",
                "reading ",
                "reading ",
                "a hundred and ",
                rng.choice(_ONES) + " hundred ",
            )
        )
        after = rng.choice(
            ("newton meters",) * 6
            + ("newtons", "newton meter", "nine", "nine", "november", "newton", "nine point two")
        )
        return f"{before}{said} {after}"

    def number(self, rng: random.Random) -> str:
        """A cardinal of up to five digits, or a fraction of the trade."""
        if rng.random() < 0.2:
            top = self._cardinal(rng.randint(1, 31))
            return (
                f"{top} {rng.choice(('eighths', 'sixteenths', 'thirty seconds', 'sixty fourths'))}"
            )
        return self._cardinal(rng.randrange(10 ** rng.randint(1, 5)))

    def spelling(self, rng: random.Random) -> str:
        """A serial in the spelling alphabet."""
        return " ".join(rng.choice(self._spelled) for _ in range(rng.randint(1, 7)))

    def short(self, rng: random.Random) -> str:
        """One or two short words alone."""
        return " ".join(rng.choice(_SHORT) for _ in range(rng.choice((1, 1, 1, 2))))

    def label(self, rng: random.Random) -> str:
        """A place or part as procedures name them."""
        said = [rng.choice(_SIDES)] if rng.random() < 0.6 else []
        said.append(rng.choice(_LABELS))
        if rng.random() < 0.5:
            said.append(self._cardinal(rng.randint(1, 24)))
        return " ".join(said)

    def words(self, rng: random.Random) -> str:
        """Words of the dictionary at random: other people's talk must not become commands."""
        return " ".join(rng.choice(self._words) for _ in range(rng.randint(1, 6)))

    def sentence(self, rng: random.Random) -> str:
        """Running English: the tool's own sentences."""
        return rng.choice(self._sentences)

    def _cardinal(self, whole: int) -> str:
        said = self._language._speaker._cardinal(whole)
        return said if whole > 999 or " and " not in said else said.replace(" and ", " ")

    def line(self, rng: random.Random, close: float = 1.0) -> str:
        """A line all of whose words are known."""
        makers = self.makers(close)
        while True:
            (make,) = rng.choices([m for _, m in makers], [w for w, _ in makers])
            said = make(rng)
            if said and all(word in self._known for word in said.split()):
                return said


def _reading_specs() -> Iterator[ListenSpec]:
    everything = ("thou", "in", "mm", "um", "N*m", "lbf*ft", "lbf*in", "deg", "degC", "bar", "kg")
    for unit in everything:
        for decimals in (0, 1, 3):
            yield ListenSpec((), NumberSpec((unit,), decimals, signed=True, bounds=True))
    yield ListenSpec((), NumberSpec(("mm", "in"), 3, blades=True))


def _other_specs(language: Language) -> Iterator[ListenSpec]:
    yield ListenSpec(language.command_ids)
    yield ListenSpec(language.command_ids)
    yield ListenSpec((), digits=True)
    yield ListenSpec((), spelling=True)


def _sentences(language: Language) -> Iterator[str]:
    """The prompts, and the texts of the shipped procedures, as plain words."""
    texts = [*language.sources.prompts.values()]
    for path in sorted(data_folder("procedures").glob("*.yaml")):
        if ".ko-KR." not in path.name:
            texts += re.findall(r":\s*([A-Z][^{}\n]{12,})", path.read_text(encoding="utf-8"))
    for text in texts:
        for piece in re.split(r"[.;:,!?]|\{\w+\}", str(text)):
            plain = re.sub(r"[^a-z' ]", "", piece.lower()).split()
            while plain:
                some, plain = plain[:12], plain[12:]
                if len(some) > 1 and all(word in language.pronunciations for word in some):
                    yield " ".join(some)


def main() -> None:
    """Writes a corpus."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("--lines", type=int, default=72_000)
    parser.add_argument("--close", type=float, default=1.0, help="times as many teens and tens")
    parser.add_argument("--vocabulary", type=Path, help="the grown model's vocabulary.txt")
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    language = Language.load("en-US")
    common = None
    if given.vocabulary is not None:
        tokens = given.vocabulary.read_text(encoding="utf-8").splitlines()
        common = frozenset(token[1:] for token in tokens if token.startswith("Ġ"))
    corpus, respell = Corpus(language, common), Respelling.of_language("en-US")
    rng = random.Random(given.seed)
    with given.out.open("w", encoding="utf-8") as file:
        for _ in range(given.lines):
            said = corpus.line(rng, given.close)
            phones = targets(said, language.pronunciations) or []
            print(said, respell(said), " ".join(map(str, phones)), sep="\t", file=file)


if __name__ == "__main__":
    main()
