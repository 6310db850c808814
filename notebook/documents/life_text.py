"""Writes how long a part lasts: in words, as a curve on the terminal, as SVG, as JSON.

In: the lives of a component with their statistics. Out: text. Never works out a statistic.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from html import escape
from typing import Any

from notebook.errors import one_line
from notebook.tables.life import Curve, Life, Lives

_WIDTH, _HEIGHT = 60, 12
_UNITS = {"h": "hours", "mi": "miles", "km": "km"}


def life_text(lives: Lives) -> str:
    """Write what the lives of a component say, with the curve and the jobs behind it."""
    said, unit = lives.statistics, _UNITS.get(lives.unit, lives.unit)
    out = [
        f"{lives.component}: {len(lives.lives)} fitted, {said.failures} failed, {said.censored} still good or changed without a fault ({unit})"
    ]
    if said.weibull is not None:
        out.append(
            f"  half last to {_band(said.weibull.median)} {unit}; nine in ten to {_band(said.weibull.b10)} {unit}  (Weibull, shape {said.weibull.shape:.2f}; 95 % in brackets)"
        )
    if said.curve is not None:
        median = next((t for t, g in zip(said.curve.times, said.curve.good, strict=True) if g <= 0.5), None)
        out.append(
            f"  {said.curve.method}: half gone by {_round(median)} {unit}"
            if median is not None
            else f"  {said.curve.method}: more than half outlast all that was seen"
        )
        out.extend(["", *plot_lines(said.curve, lives.lives), ""])
    if said.too_few:
        out.append(f"  {said.too_few}")
    out.append(
        "  "
        + "; ".join(
            _life_words(life, unit) for life in sorted(lives.lives, key=lambda x: (x[0], x[1] is None, x[1] or 0.0))
        )
    )
    out.append("From jobs")
    out.extend(
        f"  {one_line(j.number)}  {one_line(j.machine.kind)}{f'  {one_line(j.machine.plate)}' if j.machine.plate else ''}  {j.opened:%Y-%m-%d}"
        for j in lives.jobs
    )
    return "\n".join(out)


def _life_words(life: Life, unit: str) -> str:
    low, high = life
    if high is None:
        return f"over {_round(low)} {unit}"
    return (
        f"{_round(low)} {unit}"
        if high == low
        else f"under {_round(high)} {unit}"
        if low <= 0
        else f"{_round(low)} to {_round(high)} {unit}"
    )


def plot_lines(curve: Curve, lives: Sequence[Life]) -> list[str]:
    """Draw the curve in letters: # the share still good, : its band; time along the foot."""
    end = max([*curve.times, *(low for low, _ in lives)]) * 1.02 or 1.0
    rows = [[" "] * _WIDTH for _ in range(_HEIGHT + 1)]
    for column in range(_WIDTH):
        time = end * column / (_WIDTH - 1)
        low, good, high = (_value(curve.times, values, time) for values in (curve.low, curve.good, curve.high))
        for row in range(_row(high), _row(low) + 1):
            rows[row][column] = ":"
        rows[_row(good)][column] = "#"
    marks = {0: "1.0", _HEIGHT // 2: "0.5", _HEIGHT: "0.0"}
    drawn = [f"  {marks.get(n, '   ')} |{''.join(row).rstrip()}" for n, row in enumerate(rows)]
    foot = f"      +{'-' * _WIDTH}"
    ends = f"      0{_round(end):>{_WIDTH}}"
    return [*drawn, foot, ends]


def _row(share: float) -> int:
    return round((1 - share) * _HEIGHT)


def _value(times: Sequence[float], values: Sequence[float], time: float) -> float:
    """Read a step function that begins at 1."""
    value = 1.0
    for at, after in zip(times, values, strict=True):
        if at > time:
            break
        value = after
    return value


def life_svg(lives: Lives) -> str:
    """Draw the curve with its band and a tick for each life that was still good; black on white, lines told apart by dash."""
    curve = lives.statistics.curve
    width, height, left, foot = 640, 360, 60, 50
    unit = _UNITS.get(lives.unit, lives.unit)
    title = f"{lives.component}: share still good"
    body = []
    if curve is None:
        body.append(
            f'<text x="{width / 2}" y="{height / 2}" text-anchor="middle">{escape(lives.statistics.too_few or "nothing known")}</text>'
        )
    else:
        end = max([*curve.times, *(low for low, _ in lives.lives)]) * 1.02 or 1.0

        def x(time: float) -> float:
            return left + (width - left - 20) * time / end

        def y(share: float) -> float:
            return 40 + (height - 40 - foot) * (1 - share)

        def steps(values: Sequence[float]) -> str:
            points, share = [f"{x(0):.1f},{y(1):.1f}"], 1.0
            for time, after in zip(curve.times, values, strict=True):
                points.extend([f"{x(time):.1f},{y(share):.1f}", f"{x(time):.1f},{y(after):.1f}"])
                share = after
            return " ".join([*points, f"{x(end):.1f},{y(share):.1f}"])

        body.extend(
            f'<polyline points="{steps(values)}" fill="none" stroke="black" stroke-width="1" stroke-dasharray="4 4"/>'
            for values in (curve.low, curve.high)
        )
        body.append(f'<polyline points="{steps(curve.good)}" fill="none" stroke="black" stroke-width="2.5"/>')
        for low, high in lives.lives:
            if high is None:
                at = y(_value(curve.times, curve.good, low))
                body.append(
                    f'<line x1="{x(low):.1f}" x2="{x(low):.1f}" y1="{at - 6:.1f}" y2="{at + 6:.1f}" stroke="black"/>'
                )
        for share in (0, 0.25, 0.5, 0.75, 1):
            body.append(f'<text x="{left - 8}" y="{y(share) + 4:.1f}" text-anchor="end">{share:g}</text>')
        if (fit := lives.statistics.weibull) is not None:
            times = [end * n / 120 for n in range(121)]
            curved = " ".join(f"{x(t):.1f},{y(math.exp(-((t / fit.scale) ** fit.shape))):.1f}" for t in times)
            body.append(f'<polyline points="{curved}" fill="none" stroke="black" stroke-width="0.8"/>')
        for time in _ticks(end):
            body.append(
                f'<path d="M{x(time):.1f},{height - foot} v5" stroke="black"/><text x="{x(time):.1f}" y="{height - foot + 18}" text-anchor="middle">{_round(time)}</text>'
            )
        body.append(f'<path d="M{left},40 V{height - foot} H{width - 20}" fill="none" stroke="black"/>')
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" viewBox="0 0 {width} {height}" font-family="sans-serif" font-size="13" role="img" aria-label="{escape(title)}">'
        f'<rect width="100%" height="100%" fill="white"/><text x="{left}" y="24" font-size="16">{escape(title)}</text>'
        f'{"".join(body)}<text x="{width / 2}" y="{height - 10}" text-anchor="middle">{escape(unit)}; {_LEGEND}</text></svg>\n'
    )


_LEGEND = "thick: counted, dashed: 95 % band, thin: Weibull where fitted, | still good when last seen"


def _ticks(end: float) -> list[float]:
    """Give round times for the foot of the plot, four to ten of them."""
    power = 10.0 ** math.floor(math.log10(end))
    step = next(s * power for s in (0.1, 0.2, 0.25, 0.5, 1, 2) if end / (s * power) <= 8)
    return [round(step * n, 12) for n in range(int(end / step) + 1)]


def life_png(lives: Lives) -> bytes:
    """Draw the same as PNG."""
    import typst

    page = '#set page(width: auto, height: auto, margin: 0pt)\n#image(bytes(sys.inputs.svg), format: "svg")'
    made = typst.compile(page.encode(), format="png", ppi=144.0, sys_inputs={"svg": life_svg(lives)})
    if not isinstance(made, bytes):
        raise TypeError("one page was drawn, several came")
    return made


def life_json(lives: Lives) -> dict[str, Any]:
    """Give the same as JSON values."""
    said = lives.statistics
    curve = said.curve
    return {
        "component": lives.component, "unit": lives.unit, "fitted": len(lives.lives), "failed": said.failures, "censored": said.censored,
        "lives": [{"low": low, "high": high} for low, high in lives.lives], "too_few": said.too_few,
        "curve": None if curve is None else {"method": curve.method, "times": curve.times, "good": curve.good, "low": curve.low, "high": curve.high},
        "weibull": None if said.weibull is None else {"shape": said.weibull.shape, "scale": said.weibull.scale, "median": said.weibull.median, "b10": said.weibull.b10},
        "jobs": [j.number for j in lives.jobs],
    }  # fmt: skip


def _band(values: tuple[float, float, float]) -> str:
    middle, low, high = values
    return f"{_round(middle)} ({_round(low)} to {_round(high) if high < 1e9 else 'any'})"


def _round(value: float) -> str:
    """Write a life to three figures that count."""
    if value <= 0:
        return "0"
    digits = max(0, 2 - int(f"{value:e}".split("e")[1]))
    text = f"{round(value, digits if digits else 3 - len(str(int(value)))):,.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
