"""Short remarks that were said survive; words made up from noise do not.

The figures are those of Whisper base for synthetic voices saying the words in the last column, clean and in made
compressor noise, and for made noise with nobody speaking; no recorded workshop speech was to be had. `prompted` is
whether it was told the words of a winch.
"""

from __future__ import annotations

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notebook.audio.judge import RULES, USUAL_INVENTIONS, Judgement, judge_words
from notebook.nouns import Word

PROMPT = "Bag 3, tray 2. M6 by 20, 4 mm key. Skidding winch. right, photo, car, engine, turn, drill, drum, pawl, pinion, brake band."

Row = tuple[str, tuple[float, ...], float, float, float, float, bool, str]

SAID: list[Row] = [
    ("photo", (0.472,), 1.55, 0.066, -0.506, 0.385, False, "Photo."),
    ("photo,", (0.174,), 1.57, 0.036, -0.327, 0.429, True, "Photo."),
    ("photo,", (0.138,), 1.56, 0.019, -0.476, 0.429, True, "Photo."),
    ("Bag 7.", (0.05, 0.912), 1.66, 0.006, -0.458, 0.429, True, "Bag seven."),
    ("bag 7", (0.055, 0.716), 1.66, 0.007, -0.422, 0.385, True, "Bag seven."),
    ("Scratch that.", (0.811, 0.993), 1.8, 0.007, -0.178, 0.619, False, "Scratch that."),
    ("scratch that.", (0.26, 0.985), 1.8, 0.001, -0.328, 0.619, True, "Scratch that."),
    ("Tray 2.", (0.132, 0.053), 1.62, 0.009, -0.503, 0.467, True, "Tray two."),
    ("Tray 2.", (0.131, 0.201), 1.68, 0.043, -0.394, 0.467, True, "Tray two."),
    ("seized.", (0.269,), 1.52, 0.007, -0.482, 0.467, True, "Seized."),
    ("scrap it.", (0.014, 0.871), 1.56, 0.008, -0.479, 0.529, True, "Scrap it."),
    ("Yes.", (0.346,), 1.35, 0.061, -0.649, 0.333, False, "Yes."),
    ("yes.", (0.302,), 1.48, 0.026, -0.782, 0.333, True, "Yes."),
    ("Okay.", (0.508,), 1.42, 0.154, -0.73, 0.385, False, "Okay."),
    ("Thank you.", (0.845, 0.846), 1.75, 0.039, -0.262, 0.556, False, "Thank you."),
    ("thank you.", (0.213, 0.955), 1.66, 0.01, -0.419, 0.556, True, "Thank you."),
    ("M8", (0.534,), 1.39, 0.251, -0.59, 0.2, False, "M8."),
    ("M8.", (0.381,), 1.3, 0.081, -0.979, 0.273, True, "M8."),
    ("bearings fine.", (0.063, 0.906), 2.1, 0.001, -0.354, 0.636, True, "Bearing's fine."),
    ("take a picture", (0.192, 0.994, 0.997), 1.85, 0.005, -0.149, 0.636, True, "Take a picture."),
]
HARDLY_HEARD: list[Row] = [
    ("photo", (0.165,), 1.57, 0.071, -0.969, 0.385, False, "Photo."),
    ("Photo.", (0.222,), 1.57, 0.096, -1.09, 0.429, False, "Photo."),
    ("back 7,", (0.053, 0.334), 1.62, 0.009, -0.843, 0.467, True, "Bag seven."),
    ("Seized", (0.297,), 1.52, 0.103, -1.037, 0.429, False, "Seized."),
    ("seized.", (0.105,), 1.52, 0.042, -0.937, 0.467, True, "Seized."),
    ("Yes.", (0.089,), 1.33, 0.071, -1.334, 0.333, False, "Seized."),
    ("Thanks.", (0.174,), 1.33, 0.04, -0.993, 0.467, True, "Seized."),
    ("OK.", (0.092,), 1.42, 0.031, -0.663, 0.273, True, "Okay."),
    ("OK.", (0.047,), 1.42, 0.114, -0.82, 0.273, True, "Okay."),
    ("OK.", (0.059,), 1.5, 0.11, -0.645, 0.273, True, "Okay."),
    ("Crush art.", (0.13, 0.349), 1.81, 0.154, -1.15, 0.556, False, "Scratch that."),
]
MADE_UP: list[Row] = [
    ("You're", (0.097,), 1.5, 0.757, -2.479, 0.429, False, "compressor"),
    ("you you", (0.022, 0.106), 3.5, 0.807, -2.272, 0.467, False, "compressor"),
    ("turn,", (0.0,), 2.5, 0.919, -2.06, 0.385, True, "compressor"),
    ("drill, drill,", (0.0, 0.724), 3.5, 0.745, -1.869, 0.765, True, "compressor"),
    ("you", (0.05,), 1.5, 0.77, -1.329, 0.273, False, "hiss of air"),
    ("brake band.", (0.0, 0.0), 1.5, 0.815, -1.984, 0.579, True, "hiss of air"),
    ("engine, engine,", (0.0, 0.362), 3.5, 0.707, -2.204, 0.833, True, "hiss of air"),
    ("Okay.", (0.006,), 0.98, 0.835, -1.672, 0.385, False, "impact wrench"),
    ("Oh", (0.01,), 0.84, 0.804, -1.861, 0.2, False, "impact wrench"),
    ("1, 2, 3", (0.0, 0.557, 0.881), 1.18, 0.821, -1.769, 0.467, True, "impact wrench"),
    ("Thank you", (0.009, 0.954), 0.88, 0.501, -2.004, 0.529, False, "clank"),
    ("I'm", (0.115,), 0.88, 0.743, -2.441, 0.273, False, "clank"),
    ("right,", (0.001,), 0.88, 0.92, -2.077, 0.429, True, "clank"),
    ("you", (0.035,), 1.5, 0.751, -1.678, 0.273, False, "silence"),
    ("brake, brake band.", (0.0, 0.586, 0.0), 4.5, 0.7, -1.773, 0.783, True, "silence"),
]


def judge(row: Row) -> Judgement:
    text, sure, seconds, no_speech, mean_log, squeezed, prompted, _ = row
    words = [Word(text=w, start_s=0.0, end_s=0.1, probability=p) for w, p in zip(text.split(), sure, strict=True)]
    return judge_words(
        text, words, seconds=seconds, no_speech=no_speech, mean_log=mean_log, squeezed=squeezed,
        prompt=PROMPT if prompted else "",
    )  # fmt: skip


@pytest.mark.parametrize("row", SAID, ids=lambda row: f"{row[0]} {row[1][0]}")
def test_a_short_remark_that_was_said_is_accepted(row: Row) -> None:
    assert judge(row) == Judgement(verdict="accepted")


@pytest.mark.parametrize("row", HARDLY_HEARD, ids=lambda row: f"{row[0]} {row[1][0]}")
def test_a_remark_hardly_heard_is_kept_with_its_doubt(row: Row) -> None:
    judged = judge(row)
    assert judged.verdict != "invented", judged.rule
    assert (judged.verdict == "doubtful") == bool(judged.reason)


@pytest.mark.parametrize("row", MADE_UP, ids=lambda row: f"{row[0]} {row[7]}")
def test_words_made_up_from_noise_are_dropped_with_a_reason(row: Row) -> None:
    judged = judge(row)
    assert judged.verdict == "invented"
    assert judged.reason


def test_marks_alone_are_no_words() -> None:
    for text in ("", "...", " . . . ", "-", "♪"):
        assert judge_words(text, (), seconds=3, no_speech=0.1, mean_log=-0.2, squeezed=0.5).rule == "no words"


def test_more_words_than_can_be_said_are_made_up() -> None:
    text = "one two three four five six seven eight nine ten"
    words = [Word(text=w, start_s=0, end_s=0.1, probability=0.9) for w in text.split()]
    for seconds, verdict in ((1.0, "invented"), (4.0, "accepted")):
        judged = judge_words(text, words, seconds=seconds, no_speech=0.05, mean_log=-0.3, squeezed=0.8)
        assert judged.verdict == verdict


def test_a_text_that_goes_round_in_circles_is_doubtful() -> None:
    text = "the drum is on the " * 12
    words = [Word(text=w, start_s=0, end_s=0.1, probability=0.9) for w in text.split()]
    judged = judge_words(text, words, seconds=20, no_speech=0.05, mean_log=-0.2, squeezed=6.0)
    assert (judged.verdict, judged.rule) == ("doubtful", "round in circles")


def test_every_usual_invention_said_plainly_is_kept() -> None:
    for text in sorted(USUAL_INVENTIONS):
        words = [Word(text=w, start_s=0, end_s=0.1, probability=0.9) for w in text.split()]
        for no_speech, mean_log, verdict in ((0.02, -0.2, "accepted"), (0.8, -1.5, "invented")):
            judged = judge_words(text, words, seconds=2.0, no_speech=no_speech, mean_log=mean_log, squeezed=0.5)
            assert judged.verdict == verdict, text


def test_every_rule_has_a_name_and_a_reason_of_its_own() -> None:
    assert len({rule.name for rule in RULES}) == len(RULES)
    assert all(rule.reason for rule in RULES)


@given(
    st.text(max_size=60), st.floats(0, 1), st.floats(-5, 0), st.floats(0, 30), st.text(string.printable, max_size=40)
)
def test_no_text_raises(text: str, no_speech: float, mean_log: float, seconds: float, prompt: str) -> None:
    words = [Word(text=w, start_s=0, end_s=0, probability=no_speech) for w in text.split()]
    judged = judge_words(
        text, words, seconds=seconds, no_speech=no_speech, mean_log=mean_log, squeezed=1.0, prompt=prompt
    )
    assert (judged.reason is None) == (judged.verdict == "accepted")
