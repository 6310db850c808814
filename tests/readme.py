"""Real output for README.md and DEVELOPERS.md, written there by `make docs`.

In: the package itself. Out: text printed for cog. The demonstration's log comes from a run of the demonstration.
"""

from __future__ import annotations

import atexit
import json
import os
import shutil
import subprocess
import sys
import tempfile
from functools import cache
from pathlib import Path

from tests.demo_shop import fresh_demo_shop

ROOT = Path(__file__).parents[1]


def _teardown(*arguments: str, say: str | None = None) -> str:
    environment = {**os.environ, "COLUMNS": "100", "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        [sys.executable, "-m", "notebook", *arguments],
        cwd=ROOT,
        env=environment,
        input=say,
        capture_output=True,
        text=True,
        check=False,
    )
    return done.stdout


def _show(text: str) -> None:
    print(f"```\n{text.rstrip()}\n```")  # noqa: T201


def demo_log() -> None:
    """Print the log of the demonstration job, shortened."""
    lines = _teardown("log", "2041", "--shop", str(fresh_demo_shop())).splitlines()
    _show("\n".join([*lines[:46], "..."]))


def demo_gaps() -> None:
    """Print what has not been said about the demonstration job, shortened."""
    lines = _teardown("gaps", "2041", "--shop", str(fresh_demo_shop())).splitlines()
    _show("\n".join(["$ teardown gaps 2041", *lines[:16], "..."]))


def demo_question() -> None:
    """Print the question of the demonstration and its answer."""
    question = "which jobs had broken springs"
    _show(f"$ teardown find {question}\n" + _teardown("find", question, "--shop", str(fresh_demo_shop())))


def asked(*questions: str) -> None:
    """Print how questions over the eight earlier jobs were understood, and their answers."""
    import tempfile

    from tests.conftest import run_teardown
    from tests.history.question_scores import fill_demonstration

    with tempfile.TemporaryDirectory() as folder:
        fill_demonstration(Path(folder))
        lines = []
        for question in questions:
            answer = run_teardown("find", question, shop=Path(folder)).out.splitlines()
            lines += [
                f"$ teardown find {question}",
                *answer[: 1 + next(n for n, x in enumerate(answer) if x[:2] == "  ")],
            ]
        _show("\n".join(lines))


def demo_clocks() -> None:
    """Print what is known of the camera of the demonstration."""
    _show("$ teardown log 2041 --clocks\n" + _teardown("log", "2041", "--clocks", "--shop", str(fresh_demo_shop())))


def explained(*remarks: str) -> None:
    """Print remarks as read, with what decided each entry."""
    _show(_teardown("read", "-", "--explain", say="\n".join(remarks) + "\n"))


def commands() -> None:
    """Print the table of commands."""
    from notebook.commands.main import COMMANDS

    rows = [
        "| command | what it does |",
        "| --- | --- |",
        *(f"| `{name}` | {text} |" for name, text in COMMANDS.items()),
    ]
    print("\n".join(rows))  # noqa: T201


def scores() -> None:
    """Print how well remarks are read, on every truth set."""
    from tests.score_reading import read_set, score, table, truth_sets

    print(table(score(name, read_set(path)) for name, path in truth_sets()))  # noqa: T201


def milestones() -> None:
    """Print how well remarks were read at each milestone."""
    from tests.milestones import kept, milestones_table

    print(milestones_table(kept()))  # noqa: T201


def quantities() -> None:
    """Print our quantities beside quantulum3's, whose findings depend on the order of Python's sets."""
    code = "from tests.compare_quantities import compare; t, m = compare(); print(t, '', *(f'- {x}' for x in m), sep='\\n')"
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONHASHSEED": "0"}
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, env=environment, capture_output=True, text=True, check=True
    )
    print(done.stdout.rstrip("\n"))  # noqa: T201


def negations() -> None:
    """Print what we take for absent beside negspaCy."""
    from tests.compare_negation import compare

    print("\n".join([compare()[0], "", *(f"- {line}" for line in compare()[1])]))  # noqa: T201


def tables_check() -> None:
    """Print how our tables stand beside open ones."""
    from tests.checking_tables import check_table

    print(check_table()[0])  # noqa: T201


def looked_up(*questions: str) -> None:
    """Print questions to the tables and their answers."""
    from notebook.tables.look_up import look_up

    print("```")  # noqa: T201
    for question in questions:
        answer = look_up(question)
        print(f"$ teardown look-up {question}", answer.title, *(f"  {line}" for line in answer.lines), sep="\n")  # noqa: T201
    print("```")  # noqa: T201


def doubted(*remarks: str) -> None:
    """Print remarks and what the tables have to say against them."""
    from notebook.reading.reader import read_job

    print("```")  # noqa: T201
    for remark in remarks:
        (reading,) = read_job([remark])
        print(remark, *(f"  ? {e.doubt}" for e in reading.entries if e.doubt and "before" not in e.doubt), sep="\n")  # noqa: T201
    print("```")  # noqa: T201


def life_of_linings() -> None:
    """Print the life of a part over invented jobs of one winch."""
    from tests.history.test_life_told import told

    print("```", "$ teardown life brake lining", told(), "```", sep="\n")  # noqa: T201


def calibration() -> None:
    """Print how true the confidence of an entry is."""
    from tests.measuring_confidence import calibration_table

    print(calibration_table())  # noqa: T201


@cache
def _rebuilt_shop() -> Path:
    """Give a copy of the demonstration's shop, put right, for walking its way back; it goes when the program ends."""
    from tests.making_documents import corrected_shop

    folder = tempfile.TemporaryDirectory(ignore_cleanup_errors=True)
    atexit.register(folder.cleanup)
    return corrected_shop(Path(folder.name)).folder


def demo_decided(*said: str) -> None:
    """Print the demonstration's job decided in words, what is to be ordered then, where it was left, and its places, shortened."""
    import tempfile

    from tests.making_documents import corrected_shop

    with tempfile.TemporaryDirectory() as folder:
        shop = ("--shop", str(corrected_shop(Path(folder)).folder))
        words = Path(folder) / "owner.jsonl"
        rows = [{"at": f"2026-03-05T08:{n:02}:00+00:00", "seconds": 3, "text": text} for n, text in enumerate(said)]
        words.write_text("\n".join(json.dumps(row) for row in rows) + "\n")
        _teardown("add", "2041", str(words), "--person", "Idris", *shop)
        lines = [f'"{text}"' for text in said]
        lines += [
            "",
            "$ teardown decide 2041",
            *_teardown("decide", "2041", *shop).split("\nEvery decision")[0].splitlines()[1:],
        ]
        lines += ["", "$ teardown order 2041", *_teardown("order", "2041", "--to", folder, *shop).splitlines()[:-5]]
        lines += ["", "$ teardown log 2041 --left", *_teardown("log", "2041", "--left", *shop).splitlines()]
        lines += ["", "$ teardown places", *_teardown("places", *shop).splitlines()[:6], "..."]
        _show("\n".join(lines))


def demo_rebuilt(*said: str) -> None:
    """Print a stretch of the rebuild of the demonstration's job: what was said, and what the bench answered; then how far it is."""
    from notebook.documents.bench_lines import message_line
    from tests.walking import Walk

    with tempfile.TemporaryDirectory() as folder:
        shop = Path(shutil.copytree(_rebuilt_shop(), Path(folder) / "shop"))
        walk = Walk(shop, "2041")
        lines = ["$ teardown bench 2041 --rebuild --plain"]
        for words in said:
            lines.append(f'"{words}"')
            lines += [line for message in walk.say(words) if (line := message_line(message))]
        walk.archive.close()
        _show(
            "\n".join(
                [
                    *lines,
                    "$ teardown rebuild 2041 --how-far",
                    _teardown("rebuild", "2041", "--how-far", "--shop", str(shop)),
                ]
            )
        )


def demo_machine() -> None:
    """Print how the demonstration's job turned out, and the history of its machine with a third job."""
    with tempfile.TemporaryDirectory() as folder:
        shop = str(shutil.copytree(_rebuilt_shop(), Path(folder) / "shop"))
        back = Path(folder) / "back.txt"
        back.write_text(
            "Brake lining is glazed after 300 hours.\nNew brake lining fitted.\nOutboard bearing is good, it'll go again.\n"
        )
        outcome = (
            "outcome",
            "2041",
            "came back at 2160 hours, brake lining glazed",
            "--person",
            "Maren",
            "--on",
            "2026-09-14",
        )
        told = _teardown(*outcome, "--shop", shop)
        _teardown(
            "new",
            "2102",
            "--machine",
            "skidding winch",
            "--plate",
            "ST-118",
            "--reading",
            "2160 h",
            "--opened",
            "2026-09-14",
            "--shop",
            shop,
        )
        _teardown("add", "2102", str(back), "--person", "Idris", "--shop", shop)
        past = _teardown("log", "--machine", "ST-118", "--shop", shop)
        _show(f'$ teardown outcome 2041 "{outcome[2]}" --person Maren\n{told}$ teardown log --machine ST-118\n{past}')
