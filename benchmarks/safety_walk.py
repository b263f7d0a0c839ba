"""Sessions of interrupted builders, judged by the safety rules; prints what they met.

    python -m benchmarks.safety_walk [--sessions 1500] [--first 0] [--show 2]

Each session is a job of its own, shipped or made up, done by the stand-in builder and interrupted
in every seventh turn (``tests/safety``). The same number gives the same session. The exit status
is 1 when a rule was broken or something that matters was never reached.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter

from assistant.shown_text import id_in_words
from benchmarks.timing import Timed
from tests.safety.reach import short_of
from tests.safety.walk import Outcome, walk


def main() -> int:
    """Walk, print the table, and tell whether all is well."""
    options = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    options.add_argument("--sessions", type=int, default=1500)
    options.add_argument("--first", type=int, default=0, help="the number of the first session")
    options.add_argument("--show", type=int, default=2, help="breaches of a rule to show in full")
    given = options.parse_args()
    timed = Timed()
    reached: Counter[str] = Counter()
    broken: dict[str, list[Outcome]] = {}
    for seed in range(given.first, given.first + given.sessions):
        outcome = walk(seed)
        reached.update(outcome.reached)
        for rule in dict.fromkeys(rule for rule, _, _ in outcome.breaches):
            broken.setdefault(rule, []).append(outcome)
        if sys.stderr.isatty():
            print(f"\r{seed - given.first + 1} sessions", end="", file=sys.stderr)
    _tell(broken, given.show)
    print(
        f"\n{given.sessions} sessions from {given.first}; {timed} on the clock / of the processor"
    )
    for name, count in sorted(reached.items()):
        print(f"{name:44} {count:8}")
    missing = short_of(reached, given.sessions)
    for line in missing:
        print(f"too seldom: {line}")
    breaches = sum(len(outcomes) for outcomes in broken.values())
    print(f"\nsessions that broke a rule: {breaches}")
    for rule, outcomes in broken.items():
        print(f"  {id_in_words(rule)}: {len(outcomes)}, {[o.seed for o in outcomes][:10]}")
    return 1 if broken or missing else 0


def _tell(broken: dict[str, list[Outcome]], most: int) -> None:
    for rule, outcomes in broken.items():
        for outcome in outcomes[:most]:
            _, sentence, story = next(b for b in outcome.breaches if b[0] == rule)
            print(f"\n*** session {outcome.seed} of {outcome.procedure}: {id_in_words(rule)}")
            print(f"{story}\n*** {sentence}")


if __name__ == "__main__":
    sys.exit(main())
