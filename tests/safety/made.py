"""Procedures made up by chance, of every kind of step: an invented rig of the Kettlebeck KB-2."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from typing import Any

from assistant.procedure.models import Procedure
from tests.dialogue.kit import procedure
from tests.safety.value_rules import HEAT, RISE

GAUGES: list[dict[str, Any]] = [
    {"id": "feelers", "kind": "feeler", "name": "feeler set", "unit": "thou",
     "resolution": "0.5 thou", "uncertainty": "0.1 thou",
     "members": ["1 thou", "1.5 thou", "2 thou", "2.5 thou", "3 thou", "4 thou", "5 thou"]},
    {"id": "dial", "kind": "dial_indicator", "name": "dial indicator", "unit": "thou",
     "resolution": "0.1 thou", "lower": "0 thou", "upper": "200 thou", "uncertainty": "0.2 thou"},
    {"id": "mic", "kind": "micrometer", "name": "micrometer", "unit": "mm", "resolution": "0.01 mm",
     "lower": "0 mm", "upper": "25 mm", "uncertainty": "0.01 mm"},
    {"id": "plugs", "kind": "plug_gauge", "name": "plug gauges", "unit": "mm",
     "resolution": "0.01 mm", "uncertainty": "0.001 mm",
     "members": ["11.98 mm", "12 mm", "12.03 mm", "12.06 mm", "12.1 mm"]},
    {"id": "rings", "kind": "ring_gauge", "name": "ring gauges", "unit": "mm",
     "resolution": "0.01 mm", "uncertainty": "0.001 mm",
     "members": ["11.9 mm", "11.95 mm", "11.98 mm", "12 mm", "12.02 mm"]},
    {"id": "wrench", "kind": "torque_wrench", "name": "small torque wrench", "unit": "N*m",
     "resolution": "0.5 N*m", "lower": "5 N*m", "upper": "60 N*m"},
    {"id": "angles", "kind": "angle_gauge", "name": "angle gauge", "unit": "deg",
     "resolution": "1 deg", "lower": "0 deg", "upper": "360 deg"},
    {"id": "thermo", "kind": "thermometer", "name": "thermometer", "unit": "degC",
     "resolution": "1 degC", "lower": "0 degC", "upper": "150 degC", "uncertainty": "1 degC"},
    {"id": "shims", "kind": "shim_set", "name": "shim rings", "unit": "mm", "resolution": "0.05 mm",
     "members": ["0.05 mm", "0.1 mm", "0.1 mm", "0.2 mm", "0.2 mm", "0.5 mm", "1 mm"]},
]  # fmt: skip

STRIP: dict[str, Any] = {
    "id": "strip", "kind": "plastic_gauge", "name": "plastic gauge strip", "unit": "mm",
    "resolution": "0.001 mm",
    "members": ["0.025 mm", "0.038 mm", "0.051 mm", "0.076 mm", "0.102 mm", "0.127 mm"],
}  # fmt: skip

_NUMBERS = ("one", "two", "three", "four", "five", "six")
_FASTENERS = ("bolt", "nut", "stud", "cap screw", "cover bolt", "hub bolt", "lock nut")
_PLACES = ["top", "right", "bottom", "left"]
_Maker = Callable[[random.Random, str], list[dict[str, Any]]]


def _caution(rng: random.Random, name: str) -> list[dict[str, Any]]:
    return [{"id": name, "kind": "caution", "say": "Lock the penstock valve and tag it."}]


def _action(rng: random.Random, name: str) -> list[dict[str, Any]]:
    step: dict[str, Any] = {"id": name, "kind": "action", "say": "Oil the journal."}
    if rng.random() < 0.4:
        step["cautions"] = ["Mind your fingers.", "The shaft is heavy."][: rng.randrange(1, 3)]
    return [step]


def _identification(rng: random.Random, name: str) -> list[dict[str, Any]]:
    return [{"id": name, "kind": "identification", "part": "shaft", "what": "serial"}]


def _choice(rng: random.Random, name: str) -> list[dict[str, Any]]:
    options = [{"id": "lip", "say": "lip seal"}, {"id": "felt", "say": "felt ring"}]
    then = {"id": f"{name}_felt", "kind": "action", "say": "Soak the felt ring in oil.",
            "when": {"choice": {name: "felt"}}}  # fmt: skip
    return [{"id": name, "kind": "choice", "options": options}, then]


def _float(rng: random.Random, name: str) -> list[dict[str, Any]]:
    gauge, low, high = rng.choice(
        (
            ("dial", "2 thou", "4 thou"),
            ("dial", "0.05 mm", "0.1 mm"),
            ("feelers", "2 thou", "4 thou"),
        )
    )
    step: dict[str, Any] = {
        "id": name, "kind": "measurement", "quantity": "end float", "unit": low.split()[1],
        "gauge": gauge, "lower": low, "upper": high, "plausible_high": "20 thou",
        "plausible_low": "0 thou", "rule": rng.choice(("simple", "simple", "guarded")),
    }  # fmt: skip
    if rng.random() < 0.4:
        step["positions"] = _PLACES[: rng.randrange(2, 5)]
    tag = {"id": f"{name}_tag", "kind": "action", "say": "Tag the gearbox for rework.",
           "when": {"reading": {name: "out"}}}  # fmt: skip
    return [step, tag] if rng.random() < 0.3 else [step]


def _backlash(rng: random.Random, name: str) -> list[dict[str, Any]]:
    """Measured at a few places, and adjusted until it is in; at times from an earlier step on."""
    step: dict[str, Any] = {
        "id": name, "kind": "measurement", "quantity": "backlash", "unit": "thou", "gauge": "dial",
        "lower": "3 thou", "upper": "6 thou", "plausible_low": "0 thou",
        "plausible_high": "20 thou", "positions": _PLACES[: rng.randrange(2, 4)], "until": "in",
        "adjust": "Turn the ring a little.", "tries": rng.randrange(1, 3),
        "measure_again": rng.choice(("all", "all", "all", "place")),
    }  # fmt: skip
    if rng.random() < 0.7:
        return [step]
    step["on_high"] = {"say": "Take the ring off.", "back_to": f"{name}_ring"}
    return [{"id": f"{name}_ring", "kind": "action", "say": "Screw the ring on."}, step]


def _fit(rng: random.Random, name: str) -> list[dict[str, Any]]:
    gauge, low, high = rng.choice((("plugs", "12 mm", "12.06 mm"), ("rings", "11.95 mm", "12 mm")))
    return [{"id": name, "kind": "measurement", "quantity": "pin fit", "unit": "mm",
             "gauge": gauge, "lower": low, "upper": high, "plausible_low": "11 mm",
             "plausible_high": "13 mm", "rule": rng.choice(("simple", "guarded"))}]  # fmt: skip


def _strip(rng: random.Random, name: str) -> list[dict[str, Any]]:
    """A strip of plastic gauge, compared with its card."""
    return [{"id": name, "kind": "measurement", "quantity": "clearance", "unit": "mm",
             "gauge": "strip", "lower": rng.choice(("0.025 mm", "0.03 mm")), "upper": "0.076 mm",
             "plausible_low": "0.01 mm", "plausible_high": "0.15 mm"}]  # fmt: skip


def _derived(rng: random.Random, name: str) -> list[dict[str, Any]]:
    sizes = [
        {"id": f"{name}_{end}", "kind": "measurement", "quantity": f"{end} size", "unit": "mm",
         "gauge": "mic", "lower": low, "upper": high, "plausible_low": "1 mm",
         "plausible_high": "20 mm"}
        for end, low, high in (("bore", "12.1 mm", "12.4 mm"), ("pin", "11.8 mm", "12 mm"))
    ]  # fmt: skip
    value = {"id": name, "kind": "derived", "quantity": "clearance", "unit": "mm",
             "formula": "bore - pin", "inputs": {"bore": f"{name}_bore", "pin": f"{name}_pin"},
             "lower": "0.2 mm", "upper": rng.choice(("0.5 mm", "0.55 mm"))}  # fmt: skip
    return [*sizes, value]


def _places(rng: random.Random, name: str) -> list[dict[str, Any]]:
    """Bores and pins at the same places, or two ways at each: every place has its own value."""
    size = {"kind": "measurement", "unit": "mm", "gauge": "mic", "plausible_low": "1 mm",
            "plausible_high": "20 mm", "lower": "11.8 mm", "upper": "12.2 mm"}  # fmt: skip
    value = {"id": name, "kind": "derived", "unit": "mm", "quantity": "difference"}
    if rng.random() < 0.5:
        grid = {"cap": "one to two", "way": ["upright", "across"]}
        sizes = {**size, "id": f"{name}_caps", "quantity": "cap bore", "grid": grid}
        oval = {
            "formula": "up - across",
            "each": "position",
            "upper": "0.15 mm",
            "lower": "-0.15 mm",
            "inputs": {"up": f"{name}_caps.upright", "across": f"{name}_caps.across"},
        }
        return [sizes, {**value, **oval}]  # fmt: skip
    places = {"positions": f"one to {rng.choice(('two', 'three'))}"}
    bores = {**size, **places, "id": f"{name}_bore", "quantity": "bore"}
    pins = {**size, **places, "id": f"{name}_pin", "quantity": "pin"}
    fit = {"formula": "bore - pin", "each": "position", "lower": "-0.2 mm", "upper": "0.2 mm",
           "inputs": {"bore": f"{name}_bore", "pin": f"{name}_pin"}}  # fmt: skip
    return [bores, pins, {**value, **fit}]


def _shims(rng: random.Random, name: str) -> list[dict[str, Any]]:
    gap = {"id": f"{name}_gap", "kind": "measurement", "quantity": "gap", "unit": "mm",
           "gauge": "mic", "lower": "0.4 mm", "upper": "1.2 mm", "plausible_low": "0 mm",
           "plausible_high": "3 mm"}  # fmt: skip
    choice = {"id": name, "kind": "shims", "quantity": "bearing clearance", "unit": "mm",
              "gap": f"{name}_gap", "stock": "shims", "lower": "0.1 mm", "upper": "0.2 mm",
              "cautions": ["Shims cut like razor blades."]}  # fmt: skip
    return [gap, choice]


def _tightening(rng: random.Random, name: str) -> list[dict[str, Any]]:
    count = rng.randrange(2, 7)
    sort = _FASTENERS[int(name.split("_")[1])]  # no two steps have the same
    pattern = rng.choice([p for p, fewest in (("given", 1), ("ring", 3), ("cross", 4), ("star", 5))
                          if count >= fewest])  # fmt: skip
    target = rng.choice((14, 20, 24, 30))
    step: dict[str, Any] = {
        "id": name, "kind": "tightening", "tool": "wrench", "target": f"{target} N*m",
        "tolerance": "2 N*m", "pattern": pattern,
        "fasteners": [f"{sort} {n}" for n in _NUMBERS[:count]],
        "passes": rng.choice((["1"], ["0.5", "1"], ["0.5", "0.75", "1"])), "thread": "lubricated",
        "lubricant": "oil", "cautions": ["Pull the wrench towards you."],
    }  # fmt: skip
    step |= {"left_hand": rng.random() < 0.15, "whole_pass": rng.random() < 0.3}
    if rng.random() < 0.75:
        del step["target"], step["passes"]
        step["stages"] = _stages(rng, target, count)
    elif rng.random() < 0.35:
        step["angle"] = rng.choice(("60 deg", "90 deg"))
    elif rng.random() < 0.3:
        step["prevailing"] = "2 N*m"
    return [step]


def _stages(rng: random.Random, target: int, count: int) -> list[dict[str, Any]]:
    """Torques, and behind them turns, a loosening with its torque and turn, or a check."""
    torques: list[dict[str, Any]] = [{"torque": "10 N*m"}, {"torque": f"{target} N*m"}]
    turns: list[dict[str, Any]] = [{"turn": rng.choice(("60 deg", "90 deg"))}
                                   for _ in range(rng.randrange(1, 3))]  # fmt: skip
    check: dict[str, Any] = {"check": f"{target} N*m"}
    if count >= 3:
        check["pattern"] = "ring"
    again = [{"loosen": "180 deg"}, {"torque": "10 N*m"}]
    shapes = (
        [torques[1], *again, *turns],
        [*torques, check],
        [{"torque": f"{target} N*m", "turn": "60 deg"}, *turns[:1]],
        [{"torque": f"{target} N*m", "up_to": f"{target + 4} N*m"}],
    )
    return rng.choices(shapes, (6, 4, 4, 1))[0]


def _torque_and_wait(rng: random.Random, name: str) -> list[dict[str, Any]]:
    first = f"{name}_bolts"
    meanwhile = {"id": f"{name}_tidy", "kind": "action", "say": "Count the tools."}
    wait = {"id": name, "kind": "wait", "duration": rng.choice(("20 min", "12 h")),
            "meanwhile": [meanwhile["id"]], "after": [first],
            "at_once": rng.choice((False, True))}  # fmt: skip
    return [*_tightening(rng, first), wait, meanwhile]


def _log(rng: random.Random, name: str) -> list[dict[str, Any]]:
    reading = {"unit": "degC", "gauge": "thermo", "lower": "30 degC", "upper": "70 degC",
               "plausible_low": "0 degC", "plausible_high": "120 degC"}  # fmt: skip
    ends = ("front bearing", "rear bearing")[: rng.randrange(1, 3)]
    step: dict[str, Any] = {
        "id": name, "kind": "log", "every": "10 min", "for": "20 min", "stop": "Close the valve.",
        "readings": [{**reading, "quantity": end} for end in ends],
    }  # fmt: skip
    if rng.random() < 0.4:
        step |= {"settled": "within 20 degC over 10 min", "at_least": "10 min",
                 "at_most": "40 min"}  # fmt: skip
    if rng.random() < 0.6:
        step["picture"] = "The thermometer on the bearing."
    return [step]


def _heat(rng: random.Random, name: str) -> list[dict[str, Any]]:
    """A ring is warmed to the temperature that was computed from its bore and the room's."""
    room = {"id": f"{name}_room", "kind": "measurement", "quantity": "room", "unit": "degC",
            "gauge": "thermo", "lower": "10 degC", "upper": "30 degC", "plausible_low": "0 degC",
            "plausible_high": "120 degC"}  # fmt: skip
    bore = {"id": f"{name}_bore", "kind": "measurement", "quantity": "bore", "unit": "mm",
            "gauge": "mic", "lower": "19 mm", "upper": "22 mm", "plausible_low": "10 mm",
            "plausible_high": "25 mm"}  # fmt: skip
    heat = {"id": name, "kind": "derived", "quantity": "ring temperature", "unit": "degC",
            "formula": HEAT, "inputs": {"room": room["id"], "bore": bore["id"]},
            "upper": "150 degC"}  # fmt: skip
    ring = {"id": f"{name}_ring", "kind": "measurement", "quantity": "ring temperature",
            "unit": "degC", "gauge": "thermo", "around": name, "lower": "-10 degC",
            "upper": "60 degC", "plausible_low": "0 degC", "plausible_high": "150 degC",
            "cautions": ["The ring burns."]}  # fmt: skip
    return [room, bore, heat, ring]


def _reshim(rng: random.Random, name: str) -> list[dict[str, Any]]:
    """Shims are in when the gap is measured, and come out."""
    old = {"id": f"{name}_old", "kind": "measurement", "quantity": "old shims", "unit": "mm",
           "gauge": "mic", "lower": "0.2 mm", "upper": "0.6 mm", "plausible_low": "0 mm",
           "plausible_high": "3 mm"}  # fmt: skip
    gap, choice = _shims(rng, name)
    return [old, gap, {**choice, "present": old["id"]}]


def _pair(rng: random.Random, name: str) -> list[dict[str, Any]]:
    """Two gaps that are shimmed out of one box at once."""
    (left, one), (right, other) = _shims(rng, f"{name}_left"), _shims(rng, f"{name}_right")
    return [left, right, {**one, "together_with": other["id"]}, other]


def _rise(rng: random.Random, name: str) -> list[dict[str, Any]]:
    """A log, and how much warmer its last row is than its first."""
    log = _log(rng, f"{name}_log")[0]
    source = f"{log['id']}.{log['readings'][0]['quantity']}.rise"
    value = {"id": name, "kind": "derived", "quantity": "rise", "unit": "delta_degC",
             "formula": RISE, "inputs": {"change": source}, "upper": "30 delta_degC"}  # fmt: skip
    return [log, value]


def _inspection(rng: random.Random, name: str) -> list[dict[str, Any]]:
    return [{"id": name, "kind": "inspection", "criteria": "Bolts marked, clearance in limits."}]


_MAKERS: dict[str, tuple[int, _Maker]] = {
    "caution": (1, _caution),
    "oil": (2, _action),
    "serial": (1, _identification),
    "seal": (1, _choice),
    "float": (3, _float),
    "fit": (1, _fit),
    "clearance": (2, _derived),
    "places": (2, _places),
    "backlash": (5, _backlash),
    "stack": (2, _shims),
    "cover": (4, _tightening),
    "cure": (2, _torque_and_wait),
    "hold": (2, _inspection),
    "heat": (1, _heat),
    "reshim": (1, _reshim),
    "rise": (1, _rise),
    "pair": (1, _pair),
    "strip": (0, _strip),  # where it is asked for; the standby engine has strips too
}


def make(rng: random.Random, only: Sequence[str] = ()) -> Procedure:
    """A procedure of three to seven pieces of work, each with the steps that it needs.

    ``only``: of these pieces, each once.
    """
    names = list(_MAKERS)
    chosen = list(only) or rng.choices(names, [_MAKERS[n][0] for n in names], k=rng.randrange(3, 8))
    steps = [
        step
        for place, name in enumerate(chosen)
        for step in _MAKERS[name][1](rng, f"{name}_{place}")
    ]
    if len(steps) % 6 == 0:
        # last, as a run-in is; by chance of its own, so that the other walks stay as they were
        steps += _log(random.Random(len(chosen)), "run_in")
    caution = {"id": "lock_out", "kind": "caution", "say": "Isolate and lock the generator."}
    marked = any(s["kind"] == "identification" for s in steps)
    shaft = {"id": "shaft", "name": "input shaft", "marked": marked}
    strips = [STRIP] if any(s.get("gauge") == "strip" for s in steps) else []
    return procedure(caution, *steps, gauges=[*GAUGES, *strips], parts=[shaft])
