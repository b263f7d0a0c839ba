"""A dimension over builds in words: what the chart's limits are, and what stands out."""

from __future__ import annotations

import textwrap

from assistant.cli.terminal import one_line
from assistant.quantities.symbols import symbol
from assistant.report.sheet import words
from assistant.report.trend import Trend
from assistant.shown_table import table

EXPLAINED = (
    "An individuals chart (I-MR, NIST/SEMATECH e-Handbook 6.3.2.2). The control limits are the "
    "mean plus and minus 2.66 times the mean moving range: where nearly all builds fall while "
    "nothing changes. A build outside them, a jump, or eight on one side says that something "
    "changed, not that the part is bad. Whether a part is good, the manual's limits decide alone."
)


def trend_text(found: Trend, across: int = 100) -> str:
    """The builds oldest first, with what stands out, and the limits explained."""
    name = f"{found.quantity} {found.position}".strip()
    sign = symbol(found.unit)
    unit = f" {sign}" if sign else ""
    over = f"{words.capital(name)} over {words.count(len(found.points), 'build')}"
    lines = [f"{over}, in{unit}" if unit else over]
    if found.limits is not None:
        lines.append(f"Limits of the manual: {words.limits(found.limits)}")
    chart = found.chart
    if chart is None:
        lines.append("Fewer than three builds: no control limits yet.")
    else:
        lines.append(
            f"Mean {chart.mean:.4g}{unit}, control limits {chart.lower:.4g} to {chart.upper:.4g}"
            f"{unit}, mean moving range {chart.mean_range:.4g}{unit}"
        )
    rows = [
        (p.at[:10], p.job, p.stated, words.VERDICTS[p.verdict], ", ".join(p.signals))
        for p in found.points
    ]
    heads = ("Date", "Job", "Value", "Verdict", "Stands out")
    cells = [[one_line(cell) for cell in row] for row in rows]
    lines += ["", *table(heads, cells, across)]
    if chart is not None:
        lines += ["", *textwrap.wrap(EXPLAINED, min(across, 100))]
    if found.left_out:
        lines += ["", f"Left out, without a single value there: {', '.join(found.left_out)}"]
    return "\n".join(lines)
