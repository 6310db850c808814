"""Doubts about what was said: a thread there is not, a spanner or key that does not fit.

In: the thread, form and driver as said. Out: one short line with the nearest that is right, or None.
Never changes what was said, and stays silent where it does not know: a doubt must be rare and right.

Real and never doubted: ISO and old DIN widths, Japanese small heads, flange bolts, structural bolts,
early large and later small Whitworth hexagons, metric threads with Whitworth heads, a mechanic's nearest
size within a fifth, and fixings that have hexagons of their own (unions, plugs, wheel nuts, sensors).
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from notebook.tables.keys import CAP, LOW, Key, forms_of, keys_of, read_key, threads_of_key
from notebook.tables.spanners import Hexagon, Opening, all_hexagons, hexagons_of, read_opening
from notebook.tables.thread_names import ThreadName, metric_size, read_thread_name, short
from notebook.tables.thread_table import PIPE, Thread, metric_rows, size_in_inches
from notebook.tables.threads import (
    nearest_to,
    other_of_same_size,
    sounds_like,
    standing_of,
    threads_named,
    without_pitch,
)

_STANDARDS = {
    "BSW": "BS 84", "BSF": "BS 84", "BA": "BS 93", "UNC": "ASME B1.1", "UNF": "ASME B1.1", "UNEF": "ASME B1.1",
    "UNS": "ASME B1.1", "UN": "ASME B1.1", "G": "ISO 228-1", "R": "ISO 7-1", "NPT": "ASME B1.20.1", "BSC": "BS 811",
}  # fmt: skip
_SHOWN = {"G": "BSP", "R": "BSPT", "BSC": "cycle"}
_PLAIN_FORM = re.compile(
    r"(?:hex(?:agon)?(?: head(?:ed)?)? )?(?:bolt|nut|screw|setscrew|stud nut)s?|plain nuts?|full nuts?"
)
"""Only these have the hexagon of their thread for certain; "flange bolt", "union nut", "wheel nut" have others."""
_METRIC_BEYOND = Decimal("1.11")
"""A metric spanner this much over or under every known metric head is doubted: 19 mm on M10, 17 mm on M8."""
_OTHER_BEYOND = Decimal("1.25")
_PLAIN_HEADS_TO_MM = 16
"""Larger nuts sit on axles and spindles and have hexagons of their own (common practice, no source)."""
_PLAIN_FINE_TO_MM = 10
"""So have larger nuts and bolts of fine thread: plugs, sensors, unions, hubs (common practice, no source)."""
_FINE_ONLY_BELOW_MM = 20
"""A bare M15 or M17 is nearly always the size of a head (common practice, no source); larger ones are unions."""
_MAIN_SYSTEMS = ("metric ISO", "metric DIN (old)", "metric JIS small")


@lru_cache(maxsize=512)
def doubt_thread(thread_text: str) -> str | None:
    """Say why a thread as named does not exist, with the nearest that does; None where there is no reason.

    Examples: "3/7 BSF" no 3/7 BSF in BS 84; 3/8 BSF is 20 tpi. "M13" no M13; M12 or M14, or an M8 with
    a 13 mm head. "5/16-18 UNF" 5/16 UNF is 24 tpi; 18 tpi is 5/16 UNC. "M19" is not a standard ISO size.
    """
    said = read_thread_name(thread_text)
    if said is None:
        return None
    standing = standing_of(thread_text)
    if said.family == "M":
        return _doubt_metric(said, standing)
    if standing != "none":
        return None
    if said.family == "BA":
        return f"no {said.number} BA in BS 93; the smallest is 25 BA"
    if said.family is None:
        return _doubt_bare_inch(said)
    return _doubt_inch(said)


def doubt_driver(thread: str | None, form: str | None, driver: str | None) -> str | None:
    """Say why a spanner or key does not belong to a thread and form; None where it may, or nothing is known.

    Examples: M8, nut, "17 mm spanner": M8 nut takes 13 mm; 17 mm is M10. M6, cap screw, "6 mm hex key":
    M6 cap screw takes a 5 mm key; 6 mm is M8.
    """
    if not driver:
        return None
    key = read_key(driver)
    if key is not None:
        return _doubt_key(thread, form, *key) if thread and form else None
    opening = read_opening(driver)
    if opening is None:
        return None
    if not opening.is_possible:
        return _doubt_fraction(opening)
    return _doubt_spanner(thread, form, opening) if thread and form else None


def _doubt_metric(said: ThreadName, standing: str) -> str | None:
    size = metric_size(said)
    listed = [t for t in metric_rows(said.diameter_mm or Decimal(0)) if not t.is_special]
    listed.sort(key=lambda t: -t.pitch_mm)
    if said.pitch_mm is not None and standing in {"none", "special"}:
        name = f"{size}x{short(said.pitch_mm)}"
        start = f"{name} is not a standard ISO size" if standing == "special" else f"no {name} in ISO 261"
        if listed:
            return f"{start}; {size} is {_either(short(t.pitch_mm) for t in listed)} mm"
        return f"{start}; {_either(t.name for t in _neighbours(said))}"
    if standing == "none":
        return f"no {size}; {_or_a_head(said)}"
    if standing == "special":
        return f"{size} is not a standard ISO size; {_or_a_head(said)}"
    if standing == "fine only" and (said.diameter_mm or 0) < _FINE_ONLY_BELOW_MM:
        pitches = _either(short(t.pitch_mm) for t in listed)
        return f"{size} comes only as fine thread ({pitches} mm); {_or_a_head(said)}"
    return None


def _neighbours(said: ThreadName) -> list[Thread]:
    """Give the next standard threads below and above, of the pitch said or coarse."""
    size = said.diameter_mm or Decimal(0)
    near = [t for t in nearest_to(said) if t.major_mm != size]
    if said.pitch_mm is None:
        near = [t for t in near if t.series == "coarse"]
    below = next((t for t in near if t.major_mm < size), None)
    above = next((t for t in near if t.major_mm > size), None)
    return [t for t in (below, above) if t is not None]


def _or_a_head(said: ThreadName) -> str:
    """Name the neighbours, and the thread whose head has the size that was said: "M13" for a 13 mm head."""
    width = said.diameter_mm or Decimal(0)
    near = [t.name for t in _neighbours(said)]
    of_head = _thread_of_width(width, "metric")
    if of_head is None:
        return _either(near)
    return f"{_either(near)}, or an {of_head} with a {short(width)} mm head"


def _doubt_inch(said: ThreadName) -> str | None:
    family = said.family or ""
    shown = _SHOWN.get(family, family)
    rows = threads_named(without_pitch(said))
    name = f"{rows[0].size if rows else _size_text(said)} {shown}"
    if rows and said.tpi is not None:
        own = f"{name} is {_either(short(t.tpi or Decimal(0)) for t in rows)} tpi"
        other = other_of_same_size(said)
        tpi = short(said.tpi)
        return f"{own}; {tpi} tpi is {_shown(other)}" if other else f"{own}, not {tpi}"
    return f"no {name} in {_STANDARDS.get(family, 'the tables')}; {_nearest_text(said)}"


def _doubt_bare_inch(said: ThreadName) -> str | None:
    size = _size_text(said)
    if said.tpi is None:
        near = nearest_to(said)[:1]
        return f"no {size} in thread; the nearest size is {near[0].size} in" if near else None
    start = f"no {size} in thread of {short(said.tpi)} tpi"
    same_size = [t for t in threads_named(without_pitch(said)) if t.family not in PIPE]
    if same_size:
        return f"{start}; {size} in is {_either(_pitches_of(same_size))}"
    near = nearest_to(said)[:1]
    return f"{start}; {_shown(near[0])} is {short(said.tpi)} tpi" if near else start


def _pitches_of(threads: list[Thread]) -> list[str]:
    """Give the threads an inch of some threads with their families: "12 (BSW)", "20 (UNF, cycle)"."""
    families: dict[str, list[str]] = {}
    for thread in sorted(threads, key=lambda t: t.tpi or 0):
        families.setdefault(short(thread.tpi or Decimal(0)), []).append(_SHOWN.get(thread.family, thread.family))
    return [f"{tpi} ({', '.join(names)})" for tpi, names in families.items()]


def _nearest_text(said: ThreadName) -> str:
    """Name the nearest with threads an inch: the one that sounds alike, or the next below and above."""
    near = nearest_to(said)
    size = said.size_in or Fraction(0)
    first = near[0]
    if first.family not in PIPE and said.fraction is not None and said.fraction[2] & (said.fraction[2] - 1):
        return f"{_shown(first)} is {short(first.tpi or Decimal(0))} tpi"
    is_between = len(near) > 1 and (size_in_inches(near[0].size) < size) != (size_in_inches(near[1].size) < size)
    two = near[:2] if is_between else near[:1]
    return ", ".join(f"{_shown(t)} is {short(t.tpi or Decimal(0))} tpi" for t in sorted(two, key=lambda t: t.major_mm))


def _doubt_fraction(opening: Opening) -> str:
    """Doubt a spanner of sevenths or tenths."""
    name = ThreadName(family=None, fraction=_figures(opening.said))
    alike = [_size_text(ThreadName(family=None, size_in=size)) for size in sounds_like(name)]
    nearest = f"the nearest is {alike[0]}" if alike else "sizes go by halves down to 64ths"
    return f"no {opening.said.removesuffix(' in')} spanner; {nearest}"


def _doubt_spanner(thread: str, form: str, opening: Opening) -> str | None:
    noun = _noun(form)
    said = read_thread_name(thread)
    known = hexagons_of(thread)
    if said is None or not known or not _PLAIN_FORM.fullmatch(noun) or not _has_plain_head(said):
        return None
    is_metric = said.family == "M"
    if is_metric and opening.kind in {"BS", "BA"}:
        return None  # some British engines had metric threads under Whitworth heads
    beyond = _METRIC_BEYOND if is_metric and opening.kind == "metric" else _OTHER_BEYOND
    low, high = min(h.af_mm for h in known), max(h.af_mm for h in known)
    if any(low <= width * beyond and width <= high * beyond for width in opening.widths_mm):
        return None
    start = f"{_named(said, thread)} {noun} takes {_usual_widths(known, noun)}"
    system = "metric" if opening.kind == "metric" else "inch"
    other = _thread_of_width(opening.widths_mm[0], system, family=said.family)
    return (
        f"{start}; {opening.said} is {other}" if other not in {None, opening.said} else f"{start}, not {opening.said}"
    )


def _has_plain_head(said: ThreadName) -> bool:
    """Say whether nuts and bolts of this thread nearly always have the hexagon of the tables."""
    threads = threads_named(said)
    largest = max((t.major_mm for t in threads), default=said.diameter_mm or Decimal(0))
    is_fine = said.family == "M" and bool(threads) and all(t.series != "coarse" for t in threads)
    return largest <= (_PLAIN_FINE_TO_MM if is_fine else _PLAIN_HEADS_TO_MM)


def _doubt_key(thread: str, form: str, said_size: str, size_mm: Decimal) -> str | None:
    found = [k for k in keys_of(thread, form) if k.confidence != "low"] if forms_of(form) else []
    said = read_thread_name(thread)
    if not found or said is None:
        return None
    nearest = min(found, key=lambda k: abs(k.size_mm - size_mm))
    if abs(nearest.size_mm - size_mm) <= Decimal("0.05"):
        return None
    is_same_system = nearest.size.endswith(" mm") == said_size.endswith(" mm")
    ratio = max(nearest.size_mm, size_mm) / min(nearest.size_mm, size_mm)
    if not is_same_system and ratio <= _OTHER_BEYOND:
        return None
    usual = [k for k in found if k.form != LOW] or found
    sizes = _either(size.removesuffix(" mm").removesuffix(" in") for size in dict.fromkeys(k.size for k in usual))
    unit = usual[0].size.rsplit(" ", 1)[1]
    article = "an" if sizes.startswith("8") else "a"
    start = f"{_named(said, thread)} {_noun(form)} takes {article} {sizes} {unit} key"
    other = _thread_of_key(size_mm, usual)
    return f"{start}; {said_size} is {other}" if other else f"{start}, not {said_size}"


def _thread_of_key(size_mm: Decimal, like: list[Key]) -> str | None:
    """Give the smallest thread that takes this key in the same form and system."""
    form = like[0].form if like[0].form != LOW else CAP
    for key in threads_of_key(size_mm):
        if key.form == form and key.thread.startswith("M") == like[0].thread.startswith("M"):
            return key.thread if key.thread.startswith("M") else f"a {key.thread} in screw"
    return None


def _thread_of_width(width_mm: Decimal, system: str, *, family: str | None = None) -> str | None:
    """Give the thread whose plain head has this width: ISO before old DIN before Japanese for metric widths."""
    if system == "metric":
        order: Iterable[Hexagon] = sorted(
            (h for h in all_hexagons() if h.system in _MAIN_SYSTEMS), key=lambda h: _MAIN_SYSTEMS.index(h.system)
        )
    else:
        order = (h for h in all_hexagons() if h.system in {"BS small", "BA", "Unified"} and "heavy" not in h.part)
    for hexagon in order:
        if abs(hexagon.af_mm - width_mm) <= Decimal("0.05"):
            mine = [name for name in hexagon.threads if family and name.endswith(f" {family}")]
            return (mine or list(hexagon.threads))[0]
    return None


def _usual_widths(known: tuple[Hexagon, ...], noun: str) -> str:
    """Say the widths to expect: ISO and old DIN, the later Whitworth and its early marking, inch by bolt or nut."""
    metric = [h for h in known if h.system in {"metric ISO", "metric DIN (old)"}]
    if metric:
        return f"{_either(h.marked for h in metric)} mm"
    plain = [h for h in known if "heavy" not in h.part and ("nut" in h.part) == ("nut" in noun)] or list(known)
    return _either(dict.fromkeys(h.marked.replace(" = ", ", which is ") for h in plain if h.system != "BS large"))


def _named(said: ThreadName, thread: str) -> str:
    return metric_size(said) if said.family == "M" else thread.strip()


def _noun(form: str) -> str:
    return " ".join(form.lower().split()).removesuffix("s")


def _figures(said: str) -> tuple[int, int, int] | None:
    found = re.match(r"(?:(\d+) )?(\d+)/(\d+)", said)
    return (int(found[1] or 0), int(found[2]), int(found[3])) if found else None


def _size_text(said: ThreadName) -> str:
    if said.fraction is not None:
        whole, upper, lower = said.fraction
        return f"{whole} {upper}/{lower}" if whole else f"{upper}/{lower}"
    whole, rest = divmod(said.size_in or Fraction(0), 1)
    return f"{whole} {rest}" if whole and rest else str(rest or whole)


def _shown(thread: Thread) -> str:
    return thread.name if thread.family in {"G", "R"} else f"{thread.size} {_SHOWN.get(thread.family, thread.family)}"


def _either(words: Iterable[str]) -> str:
    """Join with commas and a last "or"."""
    listed = list(words)
    return " or ".join([", ".join(listed[:-1]), listed[-1]]) if len(listed) > 1 else "".join(listed)
