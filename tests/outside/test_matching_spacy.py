"""The vocabulary's phrases are found where spaCy's phrase matcher finds them, on every remark of the truth sets.

Source: spaCy's `PhraseMatcher` on a blank English vocabulary.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from notebook.reading.matching import labelled_phrases, standard_matcher
from notebook.reading.tidy import tidy_remark
from tests.score_reading import truth_sets

pytest.importorskip("spacy", reason="spaCy is not installed")

from spacy.matcher import PhraseMatcher
from spacy.tokens import Doc
from spacy.vocab import Vocab

VOCAB = Vocab()


@pytest.fixture(scope="module")
def matcher() -> PhraseMatcher:
    made = PhraseMatcher(VOCAB, attr="ORTH")
    for label, phrases in labelled_phrases(standard_matcher().lexicon).items():
        made.add(label, [Doc(VOCAB, words=list(phrase)) for phrase in phrases])
    return made


@pytest.mark.parametrize("path", [p for _, p in truth_sets()], ids=[name for name, _ in truth_sets()])
def test_the_same_phrases_are_found_at_the_same_places(path: Path, matcher: PhraseMatcher) -> None:
    found = 0
    for line in path.read_text("utf-8").splitlines():
        pieces = tidy_remark(json.loads(line)["text"]).pieces
        words = [p.low if p.kind in ("word", "sign") else p.text.lower() or "-" for p in pieces]
        doc = Doc(VOCAB, words=[w.replace(" ", "_") for w in words])
        theirs = {(VOCAB.strings[key], start, end) for key, start, end in matcher(doc)}
        ours = standard_matcher().find(pieces)
        assert {(m.label, m.start, m.end) for ms in ours.values() for m in ms} == theirs, line
        assert all([-(m.end - m.start) for m in ms] == sorted(-(m.end - m.start) for m in ms) for ms in ours.values())
        found += len(theirs)
    assert found > 100
