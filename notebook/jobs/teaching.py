"""Teaches the shop's vocabulary a word that was misheard or is said otherwise here.

In: the shop, the name of a part, another way of saying it. Out: `vocabulary.toml` with it, notes and order kept, and
the shop with its new words. Offers what a mend shows; never teaches by itself.
"""

from __future__ import annotations

import difflib
import json
import os
import re
from dataclasses import replace

from notebook.errors import WRONG_USE, NotebookError, one_line
from notebook.reading.matching import standard_matcher
from notebook.reading.tidy import tidy_remark
from notebook.shop import Shop, open_shop

LONGEST_NAME = 60


def offer_teaching(heard: str, mended: str) -> tuple[str, str] | None:
    """Give the part in the mended words and what was heard in its place; None where the mend is about no part."""
    theirs, own = heard.split(), mended.split()
    compared = difflib.SequenceMatcher(None, [w.lower() for w in theirs], [w.lower() for w in own], autojunk=False)
    for kind, a, b, c, d in compared.get_opcodes():
        if kind != "replace" or b - a > 3 or d - c > 3:
            continue
        misheard = _bare(" ".join(theirs[a:b]))
        name = _part_in(_bare(" ".join(own[c:d])))
        if name and misheard and not any(ch.isdigit() for ch in misheard + name) and misheard != name:
            return name, misheard
    return None


def _part_in(words: str) -> str | None:
    """Give the words where they name a part of the vocabulary or end one."""
    pieces = tidy_remark(words).pieces
    found = standard_matcher().find(pieces)
    if any(m.label == "component" for matches in found.values() for m in matches):
        return words
    return None


def _bare(words: str) -> str:
    return re.sub(r"[^\w\s'-]", "", words).strip().lower()


def teach_word(shop: Shop, name: str, other: str) -> Shop:
    """Write a word into the vocabulary; raises NotebookError where it is no word or the file cannot be written."""
    name, other = (one_line(words).strip().lower() for words in (name, other))
    if not name or len(name) > LONGEST_NAME or len(other) > LONGEST_NAME or name == other:
        raise NotebookError("That is no word to teach.", "Write NAME = OTHER WAY OF SAYING IT.", WRONG_USE)
    known = dict(shop.words.components)
    others = [*known.get(name, ()), *([other] if other and other not in known.get(name, ()) else [])]
    line = f"{json.dumps(name, ensure_ascii=False)} = {json.dumps(others, ensure_ascii=False)}"
    path = shop.folder / "vocabulary.toml"
    try:
        text = path.read_text("utf-8")
        beside = path.with_name(f".vocabulary.{os.getpid()}.part")
        beside.write_text(_with_line(text, name, line), "utf-8")
        beside.replace(path)
    except OSError as error:
        raise NotebookError(
            f"The vocabulary cannot be written ({error.strerror}); nothing was changed.",
            "Free some room or check the rights.",
        ) from error
    return replace(shop, words=open_shop(shop.folder).words)


def _with_line(text: str, name: str, line: str) -> str:
    lines = text.splitlines()
    heads = [n for n, row in enumerate(lines) if row.strip() == "[components]"]
    if not heads:
        return "\n".join([*lines, "", "[components]", line, ""])
    for n in range(heads[0] + 1, len(lines)):
        if lines[n].lstrip().startswith("["):
            break
        key = lines[n].split("=", 1)[0].strip().strip("\"'")
        if "=" in lines[n] and key == name:
            lines[n] = line
            return "\n".join([*lines, ""])
    lines.insert(heads[0] + 1, line)
    return "\n".join([*lines, ""])
