"""More slips, each put into a sound procedure; what the check says is in the golden file."""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping
from typing import Any

from tests.procedure.kit import Change, Data, both, on, sound_data, step_of
from tests.procedure.test_lint import on_gauge


def stages(*made: Mapping[str, object], **fields: object) -> Change:
    """The bolts in stages."""
    plain = dict.fromkeys(("target", "passes", "tolerance"))
    return on("bolts", **{**plain, "stages": list(made), **fields})


def again(step: str, name: str, before: str | None = None, **fields: Any) -> Change:
    """A step once more under another name, ``before`` another or at the end."""

    def change(data: Data) -> None:
        copied = {**copy.deepcopy(step_of(data, step)), "id": name, **fields}
        places = [s["id"] for s in data["steps"]]
        data["steps"].insert(places.index(before) if before else len(places), copied)

    return change


def added_gauge(**fields: object) -> Change:
    return lambda data: data["gauges"].append(fields)


def shims(**fields: object) -> Change:
    step = {
        "id": "shims", "kind": "shims", "title": "Rings", "say": "Fit the rings.",
        "quantity": "float", "unit": "thou", "gap": "gap", "stock": "rings",
        "lower": "1 thou", "upper": "3 thou", "cautions": ["Shims cut. Wear gloves."], **fields,
    }  # fmt: skip
    return lambda data: data["steps"].insert(6, step)


def pair(**fields: Any) -> Change:
    """Shims of two steps that are chosen together; ``fields`` of the second."""
    return both(shims(together_with="rear"), again("shims", "rear", together_with=None, **fields))


RINGS = {"id": "rings", "kind": "shim_set", "name": "Shim rings", "unit": "thou",
         "resolution": "1 thou", "members": ["1 thou", "1 thou", "2 thou"]}  # fmt: skip
T6, T12 = {"torque": "6 lbf*ft"}, {"torque": "12 lbf*ft"}
TURN = {"turn": "60 deg"}
LOOSEN = {"loosen": "180 deg"}
ARM = {"length": "12 in", "extension": "2 in", "angle": "90 deg"}

STAGED: dict[str, Change] = {
    "a target beside stages": stages(T6, T12, target="12 lbf*ft"),
    "an angle beside stages": stages(T6, T12, angle="60 deg"),
    "a most beside stages": stages(T6, T12, up_to="14 lbf*ft"),
    "a least beside stages": stages(T6, T12, minimum="true"),
    "passes beside stages": stages(T6, T12, passes=["0.5", "1"]),
    "no torque in any stage": stages(TURN),
    "torque in degrees": stages({"torque": "6 deg"}),
    "a turn in newton metres": stages(T6, {"turn": "6 N*m"}),
    "loosened by a torque": stages(T6, {"loosen": "6 N*m"}, T12),
    "checked at an angle": stages(T12, {"check": "6 deg"}),
    "a most in degrees": stages(T6, {**T12, "minimum": "true", "up_to": "60 deg"}),
    "a torque of nothing": stages({"torque": "0 lbf*ft"}, T12),
    "a turn backwards": stages(T6, {"turn": "-60 deg"}),
    "a turn of one degree": stages(T6, {**T12, "turn": "1 deg"}),
    "nothing is done": stages(T6, {"pattern": "star"}, T12),
    "loosened and tightened at once": stages(T6, {**T12, **LOOSEN}),
    "a turn and a check at once": stages(T12, {**TURN, "check": "12 lbf*ft"}),
    "a turn that is a least": stages(T12, {**TURN, "minimum": "true"}),
    "a turn with a most": stages(T12, {**TURN, "up_to": "14 lbf*ft"}),
    "a most that is no more": stages(T6, {**T12, "minimum": "true", "up_to": "12 lbf*ft"}),
    "a most with an adapter": stages(T6, {**T12, "up_to": "14 lbf*ft"}, adapter=ARM),
    "a most with a drag": stages(T6, {**T12, "up_to": "14 lbf*ft"}, prevailing="1 lbf*ft"),
    "a turn that nothing seated": stages(TURN, T12),
    "a turn after loosening": stages(T12, LOOSEN, TURN, T12),
    "a torque after a turn": stages(T6, TURN, T12),
    "torques that fall": stages(T12, T6),
    "the same torque twice": stages(T12, T12),
    "left loose": stages(T6, T12, LOOSEN),
    "a check before any torque": stages({"check": "12 lbf*ft"}, T12),
    "a check after a turn": stages(T12, TURN, {"check": "12 lbf*ft"}),
    "a check at another torque": stages(T12, {"check": "11 lbf*ft"}),
    "a pattern of a stage": stages(
        T6, {**T12, "pattern": "two_row"}, fasteners=["a one", "b two", "c six"]
    ),
    "one stage only": stages(T12),
    "a stage over the wrench": stages(T12, {"torque": "26 lbf*ft"}),
    "a stage under the wrench": stages({"torque": "3 lbf*ft"}, T12),
    "a stage between two marks": stages(T6, {"torque": "12.2 lbf*ft"}),
    "two stages on one mark": stages({"torque": "11.9 lbf*ft"}, {"torque": "12.1 lbf*ft"}),
    "stages with a coarse wrench": both(on_gauge(1, resolution="5 lbf*ft"), stages(T6, T12)),
}

TIGHTENED: dict[str, Change] = {
    "a most that is no torque": on("bolts", up_to="60 deg", minimum="true"),
    "a target between two marks": on("bolts", target="12.2 lbf*ft", tolerance=None),
    "a wrench in degrees": on_gauge(
        1, unit="deg", resolution="1 deg", lower="5 deg", upper="25 deg"
    ),
    "an angle of nothing": on("bolts", angle="0 deg"),
    "an angle of half a degree": on("bolts", angle="0.5 deg"),
    "an angle in newton metres": on("bolts", angle="6 N*m"),
    "star of two": on("bolts", fasteners=["bolt one", "bolt two"], pattern="star"),
    "a ring of one": on("bolts", fasteners=["bolt one"], pattern="ring"),
    "two rows of six": on("bolts", fasteners=["a one", "b two", "c six", "d nine", "e ten"],
                          pattern="two_row"),
    "a turn alone, later": again("bolts", "more", "cure", angle="60 deg"),
    "a turn alone, in stages": both(
        stages(T6, T12), again("bolts", "more", "cure", stages=[{**T12, **TURN}])
    ),
    "a turn after a turn": both(
        on("bolts", angle="60 deg"), again("bolts", "more", "cure", angle="30 deg")
    ),
    "a turn alone, after parts were fitted": again("bolts", "more", angle="60 deg"),
}  # fmt: skip

OTHERS: dict[str, Change] = {
    # adjusting
    "what to adjust is missing: until": on("gap", until="in"),
    "what to adjust is missing: tries": on("gap", tries="3"),
    "what to adjust is missing: place": on("gap", measure_again="place"),
    "nothing to adjust to": on("gap", adjust="Turn the nut.", lower=None, upper=None),
    "nothing to adjust to on high": on("gap", on_high="Turn the nut.", lower=None, upper=None),
    "no limit above": on("gap", on_high="Turn it out.", on_low="Turn it in.", upper=None),
    "no limit below": on("gap", on_high="Turn it out.", on_low="Turn it in.", lower=None),
    "only high": on("gap", on_high="Turn the nut out."),
    "only low": on("gap", on_low="Turn the nut in."),
    "back to no step": on("gap", adjust="Shim it.", on_high={"say": "Again.", "back_to": "plce"}),
    "back to itself": on("gap", adjust="Shim it.", on_high={"say": "Again.", "back_to": "gap"}),
    "back to a later one": on("gap", adjust="Shim it.", on_low={"say": "Go.", "back_to": "tidy"}),
    "made by no step": on("gap", made_by="plaec"),
    "made by a later one": on("gap", made_by="tidy"),
    # fits
    "limits beside a fit": on("gap", unit="mm", fit="20 H7", lower="20 mm", upper="20.02 mm",
                              plausible_low="19 mm", plausible_high="21 mm"),
    "a pair read at once": on("gap", unit="mm", fit="20 H7/g6", lower="0.007 mm",
                              upper="0.041 mm", plausible_low="0 mm", plausible_high="1 mm"),
    # order and conditions
    "meanwhile after what must wait": both(
        again("tidy", "oiled", "hold", after=["sweep"]), again("tidy", "sweep", "oiled"),
        on("cure", meanwhile=["oiled"]),
    ),
    "a variant that is none": on("place", when={"variant": ["standart"]}),
    "parts not covered": both(
        lambda d: d["applicability"].update(parts=["new"]), on("place", when={"parts": "reused"})
    ),
    "an option that is none": on("place", when={"choice": {"seal": "lipp"}}),
    "a choice of a gap": on("place", when={"choice": {"lock": "lip"}}),
    "a reading of a choice": on("tidy", when={"reading": {"seal": "in"}}),
    "out of no limit": both(
        on("gap", lower=None, upper=None), on("tidy", when={"reading": {"gap": "out"}})
    ),
    "a condition on a later step": on("place", when={"reading": {"gap": "in"}}),
    "a condition on no step": on("place", when={"choice": {"sael": "lip"}}),
    "variants that exclude each other": both(
        on("seal", when={"variant": ["standard"]}),
        on("place", when={"variant": ["long_shaft"], "choice": {"seal": "lip"}}),
    ),
    "new and reused": both(
        on("seal", when={"parts": "new"}),
        on("place", when={"parts": "reused", "choice": {"seal": "lip"}}),
    ),
    "both options at once": both(
        on("gap", when={"choice": {"seal": "felt"}}),
        on("tidy", when={"choice": {"seal": "lip"}, "reading": {"gap": "in"}}),
    ),
    # documents, names and words
    "no title of the manual": lambda d: d["governing"].update(title="TODO"),
    "no name of a gauge": lambda d: d["gauges"][1].update(name="Wrench TBD"),
    "no name of a part": lambda d: d["parts"][0].update(name="FIXME"),
    "no name of a material": lambda d: d["consumables"][0].update(name="XXX"),
    "a note in a title": on("tidy", title="TODO"),
    "a note in a caution": on("tidy", cautions=["TBC"]),
    "a note in a quantity": on("gap", quantity="TODO"),
    "a note in an orientation": on("tidy", orientation="TODO"),
    "a note in what is expected": on("tidy", expect="FIXME"),
    "a note in the criteria": on("hold", criteria="TBD"),
    "a long caution step": on("lock", say="word " * 46),
    "a caution of just so many words": on("tidy", cautions=["word " * 46, "word " * 45]),
    "a variant in no dictionary word": lambda d: d["applicability"].update(variants=["kettlebeck"]),
    "variants alike": lambda d: d["applicability"].update(variants=["fifteen", "fifty"]),
    "a command, and one like a command": on("gap", positions=["go on", "corrections"]),
    # figures in sentences
    "a torque in an action": on("tidy", say="Retighten to 45 N*m."),
    "a turn in an action": on("tidy", say="Turn each bolt sixty degrees."),
    "a turn further": on("tidy", say="Tighten the cap. Then a further 90 degrees."),
    "another torque": on("bolts", say="Tighten the bolts to fifty newton metres."),
    "another torque in a caution": on("bolts", cautions=["Mind the edge.", "Not over 45 N*m."]),
    "a torque of no stage": stages(T6, T12, say="Tighten to 9 lbf*ft."),
    "another angle": on("bolts", angle="60 deg", say="Tighten, then turn by ninety degrees."),
    "an angle of none": on("bolts", say="Tighten, then turn by ninety degrees."),
    "only a turn is told": on("bolts", angle="60 deg", say="Turn them further.", title="Bolts"),
    "a torque that no step gives": on("hold", criteria="All marked at 14 lbf*ft."),
    "a turn that no step gives": on("hold", criteria="Bolts turned further by 12 degrees."),
    "a turn of the angle of a torque": on("hold", criteria="Tightened by 12 degrees."),
    # kinds
    "places of both sorts": on("gap", grid={"main": ["one", "two"], "way": ["up", "across"]}),
    "four names": on("gap", positions=None, grid={k: ["one", "two"] for k in ("a", "b", "c", "d")}),
    "a point in a place": on("gap", positions=["top.left", "bottom"]),
    "a point in a grid": on("gap", positions=None, grid={"main": ["one.half", "two"]}),
    "a place twice in a grid": on("gap", positions=None, grid={"main": ["one", "one"]}),
    "a place that is none": on("spread", inputs={"gap": "gap.botom"}),
    "nothing to go along": on("spread", each="main"),
    "no places to go along": both(on("gap", positions=None), on("spread", each="position")),
    "places that differ": both(
        again("gap", "other", "spread", positions=["left", "right"]),
        on("spread", each="position", combine=None, formula="gap - other",
           inputs={"gap": "gap", "other": "other"}),
    ),
    "a mean that nobody asked for": on("spread", combine=None),
    "a wait of nothing": on("cure", duration="0 min"),
    "a wait in newtons": on("cure", duration="3 N*m"),
    "a gauge that reads weights": both(
        lambda d: d["gauges"][0].update(lower="0 kg"), on("gap", unit="thou")
    ),
    "an uncertainty in seconds": on_gauge(0, uncertainty="1 s"),
    "a range upside down": on_gauge(0, lower="20 thou", upper="10 thou"),
    # shims
    "shims that are weights": both(
        added_gauge(**{**RINGS, "unit": "kg", "resolution": "1 kg", "members": ["1 kg"]}), shims()
    ),
    "a gap that is a torque": both(
        added_gauge(**RINGS), shims(),
        on("gap", unit="N*m", gauge="wrench", lower="2 N*m", upper="6 N*m", plausible_low="0 N*m",
           plausible_high="30 N*m"),
    ),
    "shims that open a gap": both(added_gauge(**RINGS), shims(effect="open", upper="3.5 thou")),
}  # fmt: skip


RUN: dict[str, Any] = {
    "id": "run", "kind": "log", "title": "Warm up", "say": "Run it.", "every": "10 min",
    "for": "60 min", "settled": "within 1 delta_degC over 20 min", "at_least": "30 min",
    "stop": "Close the valve.",
    "readings": [{"quantity": "front bearing", "unit": "degC", "gauge": "heat",
                  "upper": "70 degC", "plausible_low": "0 degC", "plausible_high": "99 degC"}],
}  # fmt: skip
HEAT = {"id": "heat", "kind": "thermometer", "name": "Thermometer", "unit": "degC",
        "resolution": "0.5 delta_degC", "lower": "0 degC", "upper": "100 degC"}  # fmt: skip


def log(**fields: object) -> Change:
    """A warming up that is logged, sound but for ``fields``."""
    step = {k: v for k, v in {**RUN, **fields}.items() if v is not None}
    return both(added_gauge(**HEAT), lambda data: data["steps"].insert(9, step))


READING: dict[str, Any] = RUN["readings"][0]

LOGGED: dict[str, Change] = {
    "no word how to stop": log(stop=None),
    "a log every metre": log(every="10 mm"),
    "a log for no time": log(**{"for": "0 min"}),
    "late by a length": log(late="1 mm"),
    "late by nothing": log(late="0 s"),
    "settled over a length": log(settled="within 1 delta_degC over 20 mm"),
    "at least a length": log(at_least="1 mm"),
    "at most a length": log(at_most="1 mm"),
    "no whole number of intervals": log(**{"for": "65 min"}, at_least="35 min", at_most="95 min"),
    "settled over half an interval": log(settled="within 1 delta_degC over 25 min"),
    "too many rows": log(every="1 min", **{"for": "501 min"}),
    "sound: just so many rows": log(every="1 min", **{"for": "500 min"}),
    "a reading every half minute": log(every="30 s"),
    "sound: a reading every minute": log(every="1 min"),
    "never late": log(late="11 min"),
    "sound: late at the next": log(late="10 min"),
    "at least without settling": log(settled=None),
    "at most without settling": log(settled=None, at_least=None, at_most="90 min"),
    "settled within nothing": log(settled="within 0 delta_degC over 20 min"),
    "nothing that can settle": log(settled="within 1 mm over 20 min"),
    "cold and settled": log(at_least=None),
    "at least longer than planned": log(at_least="70 min"),
    "at most shorter than planned": log(at_most="50 min"),
    "at least shorter than settled": log(at_least="10 min"),
    "a gauge too coarse to tell": log(settled="within 0.1 delta_degC over 20 min"),
    "a value twice": log(readings=[READING, READING]),
    "a limit of a length": log(readings=[{**READING, "upper": "70 mm"}]),
    "limits upside down in a log": log(readings=[{**READING, "lower": "80 degC"}]),
    "a gauge of lengths": log(readings=[{**READING, "gauge": "dial"}]),
    "no gauge of that name": log(readings=[{**READING, "gauge": "haet"}]),
    "guarded in a log": log(readings=[{**READING, "rule": "guarded"}]),
    "no band in a log": log(readings=[{**READING, "plausible_low": None}]),
}

COMPARED: dict[str, Change] = {
    "compared with no step": on("tidy", when={"value": {"gapp": "above 3 thou"}}),
    "compared with a choice": on("tidy", when={"value": {"seal": "above 3 thou"}}),
    "compared with a later value": on("place", when={"value": {"spread": "above 3 thou"}}),
    "compared with itself": on("spread", when={"value": {"spread": "above 3 thou"}}),
    "compared with several values": on("tidy", when={"value": {"gap": "above 3 thou"}}),
    "compared with a weight": on("tidy", when={"value": {"spread": "above 3 kg"}}),
    "around no step": again("gap", "more", "bolts", around="gapp.top"),
    "around a later step": on("gap", around="spread"),
    "around a caution": again("gap", "more", "bolts", around="lock"),
    "around no place": again("gap", "more", "bolts", around="gap.left"),
    "around several places": again("gap", "more", "bolts", around="gap"),
    "around a torque": both(
        again("gap", "pull", "bolts", unit="N*m", gauge="wrench", lower="2 N*m", upper="6 N*m",
              plausible_low="0 N*m", plausible_high="30 N*m", positions=["left"]),
        again("gap", "more", "bolts", around="pull.left"),
    ),
    "around without limits": both(
        again("gap", "more", "bolts", around="gap.top"), on("gap", lower="2 thou"),
        lambda d: [step_of(d, "more").pop(k) for k in ("lower", "upper")],
    ),
    "shims in place of no step": both(added_gauge(**RINGS), shims(present="gapp")),
    "shims in place of a caution": both(added_gauge(**RINGS), shims(present="lock")),
    "shims in place of later ones": both(added_gauge(**RINGS), shims(present="shims")),
    "shims in place of a torque": both(
        added_gauge(**RINGS), shims(present="pull"),
        again("gap", "pull", "shims", unit="N*m", gauge="wrench", lower="2 N*m", upper="6 N*m",
              plausible_low="0 N*m", plausible_high="30 N*m"),
    ),
    "sound: shims of two steps chosen together": both(added_gauge(**RINGS), pair()),
    "shims together with no step": both(added_gauge(**RINGS), shims(together_with="rear")),
    "shims together with earlier ones": both(
        added_gauge(**RINGS), shims(), again("shims", "rear", together_with="shims"),
    ),
    "shims together with two": both(
        added_gauge(**RINGS), pair(), again("shims", "mid", "rear"),
    ),
    "shims together out of two boxes": both(
        added_gauge(**RINGS), added_gauge(**{**RINGS, "id": "others"}), pair(stock="others"),
    ),
    "shims together with a gap of later": both(
        added_gauge(**RINGS), pair(gap="late"), again("gap", "late", "rear"),
    ),
    "shims together under another condition": both(
        added_gauge(**RINGS), pair(when={"reading": {"gap": "in"}}),
    ),
    "shims together that only do for one": both(
        added_gauge(**{**RINGS, "members": ["1 thou"]}), pair(),
        lambda d: [s.update(lower="0.9 thou", upper="1.1 thou") for s in d["steps"]
                   if s["id"] in ("shims", "rear")],
        on("gap", lower="1.9 thou", upper="2.1 thou", positions=None),
    ),
    "sound: guarded to one side": both(
        on("gap", rule="guarded", lower=None), on_gauge(0, uncertainty="3 thou")
    ),
    "a coarse gauge to one side": both(on("gap", lower=None), on_gauge(0, resolution="2 thou")),
    "sound: a limit of zero": both(
        on("gap", upper=None, lower="0 thou"), on_gauge(0, resolution="2 thou")
    ),
}  # fmt: skip


def cases() -> Iterator[tuple[str, Data]]:
    """Each spoiled procedure under its name."""
    for table in (STAGED, TIGHTENED, OTHERS, LOGGED, COMPARED):
        for name, change in table.items():
            data = sound_data()
            change(data)
            yield name, data


def printed() -> Iterator[Data]:
    """Sound procedures that have something of everything that is printed of a step."""
    yield sound_data()
    for change in (
        both(added_gauge(**RINGS), shims(effect="open", rule="guarded"),
             on("gap", positions=None, rule="guarded"), on("bolts", angle="60 deg"),
             on("tidy", parts=["shaft"], materials=["oil"], orientation="Nose up.",
                expect="It is clean."),
             on("cure", meanwhile=None), on("serial", form=None)),
        both(log(), on("gap", upper=None, adjust="Turn the nut.", tries="3"),
             on("bolts", prevailing="1 lbf*ft", adapter=ARM, left_hand="true",
                bolt={"thread": "5/16-18", "grade": "grade 5"})),
        both(log(settled=None, at_least=None, stop=None, at_start="false"),
             on("gap", lower=None, on_high={"say": "Shim it.", "back_to": "place"}),
             on("bolts", tolerance=None, minimum="true", passes=None)),
        both(stages(T6, {**T12, "minimum": "true"}, {**TURN, "pattern": "ring"}, LOOSEN,
                    {**T12, **TURN, "up_to": "14 lbf*ft"}), again("gap", "more", "bolts",
                                                                 around="gap.top")),
        both(stages(T6, T12, {"check": "12 lbf*ft"}), on("bolts", up_to=None)),
        on("bolts", up_to="14 lbf*ft", minimum="true"),
    ):  # fmt: skip
        data = sound_data()
        change(data)
        yield data
