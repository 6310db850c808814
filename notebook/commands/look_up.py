"""`teardown look-up`: a thread, a spanner, a key, a measured bolt, units or a torque, from the tables."""

from __future__ import annotations

import json

import click

from notebook.errors import NOTHING_FOUND, one_line
from notebook.tables.look_up import look_up


@click.command("look-up", short_help="Look up a thread, a spanner, a key, a measured bolt, units or a torque.")
@click.argument("words", nargs=-1, required=True)
@click.option("--json", "as_json", is_flag=True, help="The answer as JSON.")
def command(words: tuple[str, ...], as_json: bool) -> int:
    """Look WORDS up in the shop's tables.

    \b
    teardown look-up 3/8 BSF
    teardown look-up 13 mm spanner
    teardown look-up 5 mm key
    teardown look-up 9.4 mm over the threads, 20 to the inch
    teardown look-up 40 lbf ft to Nm
    teardown look-up torque M10 8.8 oiled
    teardown look-up M8 10 mm deep in aluminium
    teardown look-up tapping drill M8
    teardown look-up M8 cap screw key
    """
    from notebook.reading.wholes import is_safety_critical

    asked = " ".join(words)
    answer = look_up(asked, is_safety_critical)
    if not answer.is_found:
        said = _in_figures(asked)
        answer = look_up(said, is_safety_critical) if said != asked else answer
    if as_json:
        click.echo(
            json.dumps(
                {
                    "asked": asked,
                    "kind": answer.kind,
                    "answer": answer.title,
                    "lines": list(answer.lines),
                    **answer.values,
                },
                ensure_ascii=False,
            )
        )
    else:
        click.echo(one_line(answer.title))
        for line in answer.lines:
            click.echo(f"  {one_line(line)}")
    return 0 if answer.is_found else NOTHING_FOUND


def _in_figures(asked: str) -> str:
    """Write numbers said in words as figures: "half inch BSP" as "1/2 in BSP"."""
    from notebook.reading.tidy import tidy_remark

    return tidy_remark(asked).text
