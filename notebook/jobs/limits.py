"""Reads the data sheets of the shop's `limits` folder.

In: the shop. Out: the limits that hold for a machine, and what is wrong with the sheets, line by line.
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.errors import Problem
from notebook.nouns import Machine
from notebook.reading.names import table_name
from notebook.shop import Shop
from notebook.tables.limits import Limit, find_repeats, limits_of_machine, read_limits


def load_limits(shop: Shop) -> tuple[list[Limit], list[Problem]]:
    """Read every data sheet; a sheet that cannot be opened becomes a problem."""
    limits: list[Limit] = []
    problems: list[Problem] = []
    for path in sorted((shop.folder / "limits").glob("*.toml")):
        try:
            text = path.read_text("utf-8")
        except (OSError, UnicodeDecodeError) as error:
            problems.append(
                Problem(about=path.name, message=f"cannot be read: {error}.", remedy="The other sheets are used.")
            )
            continue
        found, wrong = read_limits(text, path.name)
        limits.extend(found)
        problems.extend([*wrong, *_unknown_parts(found, shop)])
    return limits, [*problems, *find_repeats(limits)]


def limits_for(shop: Shop, machine: Machine) -> Sequence[Limit]:
    """Give the limits that hold for a machine; what is wrong with the sheets is for `load_limits` to say."""
    return limits_of_machine(load_limits(shop)[0], machine.kind, machine.plate)


def _unknown_parts(limits: Sequence[Limit], shop: Shop) -> list[Problem]:
    """Say which parts no vocabulary knows: they are used as they stand, but may be a slip of the pen."""
    own = {name.lower() for name in shop.words.names}
    return [
        Problem(
            about=f"{x.file}, line {x.line}",
            message=f"{x.part!r} is in no vocabulary.",
            remedy="It is used as written; mend it if it is a slip.",
        )
        for x in limits
        if table_name(x.part) is None and x.part not in own
    ]
