"""A build record as plain text for the terminal."""

from __future__ import annotations

from assistant.report.model import BuildRecord, DispositionLine, ReadingLine
from assistant.report.trend import Trend

_VERDICT = {"in": "in", "out": "OUT", "undecided": "cannot tell", "no_limit": "no limit"}


def shown(record: BuildRecord) -> str:
    """The record in lines: what is open first, then readings, tightening, numbers, holds."""
    lines = [
        f"Build record {record.session}",
        f"Job {record.job}, {record.procedure.title}, revision {record.procedure.revision}",
        f"Governing: {record.governing.title}, revision {record.governing.revision}",
        f"From {record.opened_at[:16]} to {record.last_at[:16]}, "
        + ("finished" if record.finished_at else "NOT FINISHED"),
        "People: " + ", ".join(f"{p.name} ({p.role})" for p in record.people),
    ]
    if record.demo_clock:
        lines.append("DEMONSTRATION: made under a demonstration clock, no real work.")
    lines += _open(record)
    lines += ["", "Readings"]
    lines += [_reading(r) for r in record.readings if r.status in ("counts", "unconfirmed")]
    gone = [r for r in record.readings if r.status == "superseded"]
    if gone:
        lines += ["", "Superseded (kept, do not count)"]
        lines += [f"{_reading(r)}  {r.superseded_why}" for r in gone]
    lines += _tightenings(record)
    lines += ["", "Numbers"]
    lines += [f"  {i.part} {i.what.replace('_', ' ')}: {i.text}" for i in record.identified
              if i.superseded_at is None]  # fmt: skip
    lines += ["", "Hold points"]
    lines += [
        f"  {i.step}: {'accepted' if i.accepted else 'REFUSED'} by {i.person}, {i.at[:16]}"
        for i in record.inspections
        if i.superseded_at is None
    ]
    if record.pictures:
        lines += ["", "Pictures"]
        lines += [
            f"  {p.step or 'job'}: {p.name}, taken {p.taken[:16]}"
            + (", taken back" if p.taken_back_at else "")
            for p in record.pictures
        ]
    return "\n".join(lines)


def _open(record: BuildRecord) -> list[str]:
    lines = [
        f"  {d.step} {d.position}: {d.disposition.replace('_', ' ')}, "
        + _released(d)
        + (f" ({d.reason})" if d.reason else "")
        for d in record.dispositions
        if d.state != "withdrawn"
    ]
    lines += [
        f"  {s.title}: skipped ({s.reason}{', begun and not whole' if s.part_way else ''})"
        for s in record.steps
        if s.outcome == "skipped"
    ]
    return ["", "Open or decided", *lines] if lines else []


def _released(line: DispositionLine) -> str:
    if line.state == "refused":
        return f"REFUSED by {line.refused_by}"
    return f"released by {line.released_by}" if line.released_by else "NOT RELEASED"


def _reading(reading: ReadingLine) -> str:
    name = f"{reading.quantity} {reading.position}".strip()
    verdict = _VERDICT[reading.judgement.verdict]
    note = "" if reading.status == "counts" else "  not confirmed"
    return (
        f"  {name:30} {reading.indication!s:>18}  ({reading.limits!s:30}) {verdict:12}"
        f"{reading.tool or reading.gauge}{note}"
    )


def _tightenings(record: BuildRecord) -> list[str]:
    lines: list[str] = []
    for tightening in record.tightenings:
        lines += ["", f"Tightening {tightening.step}: {tightening.target}, "
                  f"{tightening.thread}, {tightening.pattern}"]  # fmt: skip
        for one in tightening.passes:
            done = ", ".join(t.fastener for t in one.tightened if t.void_since is None)
            lines.append(f"  pass {one.number} at {one.torque}: {done}")
    return lines


def trend_text(found: Trend) -> str:
    """A dimension over builds in lines, oldest first, with what stands out."""
    lines = [f"{found.quantity} {found.position}".strip() + f" over builds, in {found.unit}"]
    if found.limits is not None:
        lines.append(f"Limits of the manual: {found.limits}")
    chart = found.chart
    if chart is None:
        lines.append("Fewer than three builds: no control limits yet.")
    else:
        lines.append(
            f"Mean {chart.mean:.4g}, control limits {chart.lower:.4g} to {chart.upper:.4g}, "
            f"mean moving range {chart.mean_range:.4g}"
        )
    lines += [
        f"  {p.at[:10]} {p.job:12} {p.stated:>14} {p.verdict:10} {', '.join(p.signals)}".rstrip()
        for p in found.points
    ]
    return "\n".join(lines)
