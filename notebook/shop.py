"""The shop folder: where everything of a shop lies, and its settings.

In: a folder (or none, then the platform's). Out: paths and settings. Makes the folder and its `shop.toml`
when they are not there; never reads the archive.
"""

from __future__ import annotations

import os
import tomllib
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from platformdirs import user_data_path

from notebook.errors import NotebookError, one_line

_FRESH_SETTINGS = """\
# Settings of this shop. Everything here may be changed; lines that begin with # are notes.

# Time zone of the shop, for photos whose camera does not say its own ("Europe/London", "UTC").
zone = "UTC"

# What a bare "tenth" or "mil" means here: "metric" or "inch". Leave empty to go by what was said last.
habit = ""

# Whole days that sound is kept after a job is closed; 0 keeps it for ever.
keep_sound_days = 0

[bench]
# Part of the microphone's name; empty for the usual one.
microphone = ""
# Seconds of sound kept before a remark, and of silence that end it.
before_s = 0.3
silence_s = 0.9
# A short tone when something was understood; answers said aloud where espeak-ng is installed.
tone = true
aloud = true
# "dark", "light" or "contrast".
look = "dark"

# Phrases and keys can be replaced:
# [bench.cues]
# sleep = ["stop listening"]
# wake = ["start listening"]
# [bench.keys]
# listen = "f5"
"""
_FRESH_VOCABULARY = """\
# Words of this shop, beside those the notebook brings. Each name may have other ways of saying it.
# [components]
# "drag link pin" = ["link pin"]
# [conditions]
# worn = ["bellied"]

[components]

[conditions]
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchSettings:
    """What `shop.toml` says under [bench]."""

    microphone: str = ""
    """Part of its name; empty for the usual one."""
    before_s: float = 0.3
    silence_s: float = 0.9
    by_key: bool = False
    """One key starts and stops a remark, for a radio or a shouting neighbour."""
    tone: bool = True
    aloud: bool = True
    """Answers are also said, where espeak-ng is there."""
    look: str = "dark"
    cues: tuple[tuple[str, tuple[str, ...]], ...] = ()
    keys: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperSettings:
    """What `shop.toml` says under [paper]: what stands on what leaves the bench."""

    name: str = ""
    """The shop's name, in the foot of every page."""
    address: tuple[str, ...] = ()
    mark: str = ""
    """A picture in the shop folder, at the head of the first page."""
    size: str = "a4"
    currency: str = ""
    tax_name: str = "VAT"
    tax_percent: Decimal = Decimal(0)
    hourly_rate: Decimal = Decimal(0)
    """What an hour costs; 0 for no labour in the prices."""
    voices: tuple[str, ...] = ()
    """Who has said yes to being heard in a training pack."""


PAPERS = ("a4", "letter")


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """What `shop.toml` says."""

    zone: str = "UTC"
    habit: str | None = None
    keep_sound_days: int = 0
    bench: BenchSettings = BenchSettings()
    paper: PaperSettings = PaperSettings()


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopWords:
    """The shop's own words: each name or condition with its other ways of saying it."""

    components: tuple[tuple[str, tuple[str, ...]], ...] = ()
    conditions: tuple[tuple[str, tuple[str, ...]], ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """Give every way of saying a component, for the ear."""
        return tuple(dict.fromkeys(said for name, others in self.components for said in (name, *others)))


NO_WORDS = ShopWords()


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """A shop folder with its settings and its own words."""

    folder: Path
    settings: Settings
    words: ShopWords = NO_WORDS

    def job_folder(self, job_id: str) -> Path:
        """Give the folder of a job; its name is the job's id, never what a person typed."""
        return self.folder / "jobs" / job_id


def default_folder() -> Path:
    """Give the shop folder that is used when none is named."""
    named = os.environ.get("TEARDOWN_SHOP")
    return Path(named) if named else user_data_path("teardown-notebook", appauthor=False) / "shop"


def open_shop(folder: Path | None = None) -> Shop:
    """Open a shop folder, made if it is not there; raises NotebookError where it cannot be used."""
    place = (folder or default_folder()).expanduser()
    try:
        (place / "jobs").mkdir(parents=True, exist_ok=True)
        (place / "limits").mkdir(exist_ok=True)
        _write_once(place / "shop.toml", _FRESH_SETTINGS)
        _write_once(place / "vocabulary.toml", _FRESH_VOCABULARY)
    except OSError as error:
        raise NotebookError(
            f"The shop folder {one_line(str(place))} cannot be used ({error.strerror}); nothing was changed.",
            "Name a folder you may write to with --shop DIR or TEARDOWN_SHOP.",
        ) from error
    return Shop(
        folder=place, settings=_read_settings(place / "shop.toml"), words=_read_words(place / "vocabulary.toml")
    )


def words_of(folder: Path | None) -> ShopWords:
    """Give a shop's words without making the shop; none where there is no shop folder or it has no words."""
    path = (folder or default_folder()).expanduser() / "vocabulary.toml"
    return _read_words(path) if path.is_file() else NO_WORDS


def _write_once(path: Path, text: str) -> None:
    if not path.exists():
        path.write_text(text, encoding="utf-8")


def _read_file(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise NotebookError(
            f"{path.name} cannot be read: {error}. Nothing was changed.",
            "Mend that line, or take the file away to start afresh.",
        ) from error


def _read_words(path: Path) -> ShopWords:
    said = _read_file(path)
    return ShopWords(components=_word_lists(path, said, "components"), conditions=_word_lists(path, said, "conditions"))


def _word_lists(path: Path, said: dict[str, Any], group: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    lists = said.get(group, {})
    if not isinstance(lists, dict):
        raise NotebookError(
            f"{path.name} has no table [{group}].", f'Write [{group}] and below it "name" = ["other way of saying it"].'
        )
    out = []
    for name, others in lists.items():
        if not isinstance(others, list) or not all(isinstance(other, str) for other in others):
            raise NotebookError(
                f"{path.name} [{group}]: {one_line(name)!r} needs a list of words.",
                f'Write "{one_line(name)}" = ["other way of saying it"], or [] for none.',
            )
        out.append((name, tuple(others)))
    return tuple(out)


def _read_settings(path: Path) -> Settings:
    said = _read_file(path)
    zone = str(said.get("zone", "UTC"))
    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:  # "America" is a folder of zones
        raise NotebookError(
            f"{path.name} names a time zone that does not exist: {zone!r}.", 'Write one like "Europe/London" or "UTC".'
        ) from error
    habit = said.get("habit") or None
    if habit not in (None, "inch", "metric"):
        raise NotebookError(f"{path.name} says habit = {habit!r}.", 'Write "inch", "metric" or nothing.')
    keep = said.get("keep_sound_days", 0)
    if not isinstance(keep, int) or keep < 0:
        raise NotebookError(
            f"{path.name} says keep_sound_days = {keep!r}.", "Write a whole number of days, 0 for ever."
        )
    bench = _read_bench(path.name, said.get("bench", {}))
    paper = read_paper(path.name, said.get("paper", {}))
    return Settings(zone=zone, habit=habit, keep_sound_days=keep, bench=bench, paper=paper)


def read_paper(name: str, said: Any) -> PaperSettings:
    """Read [paper]; a wrong value is told with its name."""
    if not isinstance(said, dict):
        raise NotebookError(f"{name} says paper = {said!r}.", "Write [paper] and the settings below it.")
    values: dict[str, Any] = {}
    for key, value in said.items():
        shape = _PAPER_SHAPES.get(key)
        is_right = (
            shape is not None
            and isinstance(value, shape)
            and not isinstance(value, bool)
            and (not isinstance(value, list) or all(isinstance(v, str) for v in value))
        )
        if not is_right:
            raise NotebookError(f"{name} [paper] says {key} = {value!r}.", f"Known are: {', '.join(_PAPER_SHAPES)}.")
        is_number = isinstance(value, (int, float))
        if is_number and (not 0 <= value <= 1_000_000 or (key == "tax_percent" and value > 100)):
            raise NotebookError(f"{name} [paper] says {key} = {value!r}.", "Write a number that can be.")
        values[key] = Decimal(str(value)) if is_number else tuple(value) if isinstance(value, list) else value
    if values.get("size", "a4").lower() not in PAPERS:
        raise NotebookError(f"{name} [paper] says size = {values['size']!r}.", f"Write one of {', '.join(PAPERS)}.")
    if "size" in values:
        values["size"] = values["size"].lower()
    return PaperSettings(**values)


_PAPER_SHAPES: dict[str, tuple[type, ...]] = {
    "name": (str,), "address": (list,), "mark": (str,), "size": (str,), "currency": (str,), "tax_name": (str,),
    "tax_percent": (int, float), "hourly_rate": (int, float), "voices": (list,),
}  # fmt: skip
_BENCH_SHAPES: dict[str, tuple[type, ...]] = {
    "microphone": (str,), "before_s": (int, float), "silence_s": (int, float), "by_key": (bool,), "tone": (bool,),
    "aloud": (bool,), "look": (str,),
}  # fmt: skip
_BENCH_BOUNDS = {"before_s": (0.0, 2.0), "silence_s": (0.4, 5.0)}


def _read_bench(name: str, said: Any) -> BenchSettings:
    """Read [bench]; a wrong value is told with its name, for a bench that quietly does otherwise is worse than none."""
    if not isinstance(said, dict):
        raise NotebookError(f"{name} says bench = {said!r}.", "Write [bench] and the settings below it.")
    values: dict[str, Any] = {}
    for key, value in said.items():
        if key in ("cues", "keys"):
            continue
        shapes = _BENCH_SHAPES.get(key)
        if shapes is None or not isinstance(value, shapes) or (isinstance(value, bool) and bool not in shapes):
            raise NotebookError(f"{name} [bench] says {key} = {value!r}.", f"Known are: {', '.join(_BENCH_SHAPES)}.")
        if key in _BENCH_BOUNDS:
            low, high = _BENCH_BOUNDS[key]
            if not low <= float(str(value)) <= high:
                raise NotebookError(f"{name} [bench] says {key} = {value!r}.", f"Write {low} to {high} seconds.")
        values[key] = value
    if values.get("look", "dark") not in LOOKS:
        raise NotebookError(f"{name} [bench] says look = {values['look']!r}.", f"Write one of {', '.join(LOOKS)}.")
    cues, keys = said.get("cues", {}), said.get("keys", {})
    if not isinstance(cues, dict) or not all(
        isinstance(v, list) and v and all(isinstance(w, str) and w.strip() for w in v) for v in cues.values()
    ):
        raise NotebookError(f"{name} [bench.cues] is not understood.", 'Write for example sleep = ["stop listening"].')
    if not isinstance(keys, dict) or not all(isinstance(v, str) and v.strip() for v in keys.values()):
        raise NotebookError(f"{name} [bench.keys] is not understood.", 'Write for example toggle = "f5".')
    return BenchSettings(
        **values, cues=tuple((k, tuple(v)) for k, v in cues.items()), keys=tuple((k, v) for k, v in keys.items())
    )


LOOKS = ("dark", "light", "contrast")
