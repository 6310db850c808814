"""The ear against recorded human speech: Debian's `pocketsphinx-testdata`, its words compared by `jiwer`.

The recordings (BSD-2, Carnegie Mellon University and others) are sentences of a novel read aloud, names of playing cards
and one command, in quiet rooms: real people, and no workshop.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from notebook.audio.model_cards import read_cards
from tests.audio.sounds import need_ear
from tests.measure_speech import hear_human_speech, normalise, rate_words, read_human_speech

ALONE_PERCENT = {"whisper-base": 100 * 4 / 96, "whisper-tiny-en": 100 * 6 / 96}
"""Word error rates that were measured once with faster-whisper alone on the same files: version 1.2.1, 8-bit, beam 5,
30 s window, no prompt, words made alike by `normalise`."""
WITHIN_PERCENT = 3.0


@pytest.mark.speech
@pytest.mark.parametrize("model", ALONE_PERCENT)
def test_human_speech_is_heard_as_well_as_by_the_model_alone(model: str, tmp_path: Path) -> None:
    spoken = read_human_speech()
    if not spoken:
        pytest.skip("no recorded human speech: Debian's pocketsphinx-testdata is not installed (see .ci/run)")
    heard = list(hear_human_speech(need_ear(model), spoken, tmp_path))
    rated = rate_words([sentence.said for sentence in spoken], heard)
    assert rated.hits + rated.substitutions + rated.deletions == 96
    assert 100 * rated.wer == pytest.approx(ALONE_PERCENT[model], abs=WITHIN_PERCENT), heard
    card = read_cards()[model].measured["recorded_human_speech"]
    assert 100 * card["errors"] / card["words"] == pytest.approx(100 * rated.wer, abs=WITHIN_PERCENT), heard


def test_what_is_said_alike_is_written_alike_and_the_rest_is_not() -> None:
    assert normalise("Mr. Hill, 1,860 hours: ill-disposed!") == normalise("mister hill 1860 hours ill disposed")
    assert normalise("10 of clubs, 7.2 mm") == "ten of clubs seven point two mm"
    assert rate_words(["ten of clubs"], ["10 of cloves"]).wer == pytest.approx(1 / 3)
    assert rate_words(["ten of", "clubs"], ["ten", "of clubs"]).wer == 0
    assert rate_words(["ten of clubs"], ["it was ten of clubs"]).wer == pytest.approx(2 / 3)
