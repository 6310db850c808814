"""Writes remarks down: two passes of the ear, reading, and into the archive, one remark at a time.

In: stretches of speech. Out: stored remarks, or a reason why a stretch is none. Belongs to one thread, whose archive it
uses. Knows nothing of screens, cues or microphones.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, Any, TypeVar

from notebook.archive.search import count_following
from notebook.archive.store import Archive
from notebook.entries import Entry
from notebook.jobs.derive import Runs, name_entries, readings_of, reread_job, speak_of_step
from notebook.jobs.ear_words import usual_neighbours, words_for_ear
from notebook.jobs.near import NearVoice
from notebook.jobs.opening import lasting_id
from notebook.log.seconds import doubt_unsettled, weigh_words
from notebook.nouns import AT_THE_BENCH, Job, Log, Recording, Remark, Transcript
from notebook.reading.bench_cues import Cue, find_cue, spoken_phrases
from notebook.reading.reader import Reader
from notebook.shop import Shop

if TYPE_CHECKING:
    from notebook.audio.ear import Ear

Found = TypeVar("Found")
RATE_HZ = 16000
CUE_WORDS = 6
SURE_FACT = 0.4
"""A few words that read into an entry this sure are a remark, whatever else they may have been."""
FAR = "too quiet to be said at the bench: a radio, or somebody further off"


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """A stretch and what the ear made of it."""

    key: str
    samples: Any
    at: datetime
    sitting_id: str
    person: str | None
    transcript: Transcript
    db: float


class Scribe:
    """The ear, the reader and the archive of one job at the bench."""

    def __init__(self, archive: Archive, shop: Shop, job: Job, ear: Ear, small_ear: Ear) -> None:
        self._archive, self._shop, self._job = archive, shop, job
        self.ear, self.small_ear = ear, small_ear
        self.known: Runs = {}
        self.near = NearVoice()
        self.log: Log = reread_job(archive, job, shop=shop, known=self.known)
        self._following = count_following(archive, job.machine.kind, job.id)
        self._named = [c for r in self.log.remarks for e in r.entries if (c := _component(e))]
        self._prompt: tuple[tuple[int, int], str] | None = None
        self._phrases = spoken_phrases(dict(shop.settings.bench.cues))
        """Words to the bench, so that "stop listening" is not heard as something of the trade."""

    def make_prompt(self) -> str:
        """Make the prompt for the next remark; parts, places and numbers, no faults."""
        from notebook.audio.prompt import make_prompt

        made_for = (len(self._named), len(self.log.remarks))
        if self._prompt is None or self._prompt[0] != made_for:
            words = words_for_ear(
                self._job.machine.kind, self._named, self._shop.words.names, usual_neighbours(self._named, self._following)
            )  # fmt: skip
            self._prompt = made_for, make_prompt(self._job.machine.kind, words, [self._phrases], self.ear.count_tokens)
        return self._prompt[1]

    def hear_first_line(self, samples: Any) -> str:
        """Give the small model's words."""
        from notebook.audio.level import level_sound

        return self.small_ear.hear_at_once(level_sound(samples), self.make_prompt())

    def hear(self, samples: Any) -> Transcript:
        """Give the larger model's words."""
        from notebook.audio.level import level_sound
        from notebook.jobs.choosing import chooser_for

        choose = chooser_for(self._shop, self._job.machine.kind, self._named)
        return self.ear.hear(level_sound(samples), self.make_prompt(), choose=choose)

    def judge(self, heard: Heard) -> str | None:
        """Say why a stretch is no remark; None where it is one."""
        if not heard.transcript.text.strip():
            return heard.transcript.doubt or "no words were heard"
        if self.near.is_far(heard.db):
            return FAR
        return None

    def find_cue(self, transcript: Transcript) -> Cue | None:
        """Give the cue that was said, also where only another hypothesis of a few words reads as one."""
        phrases = dict(self._shop.settings.bench.cues)
        return self.find_word(transcript, lambda text: find_cue(text, phrases), lambda cue: not cue.is_remark)

    def find_word(
        self, transcript: Transcript, find: Callable[[str], Found | None], is_told: Callable[[Found], bool] = lambda _: True
    ) -> Found | None:  # fmt: skip
        """Give what a word to the bench is found to be, in the words chosen, else in another hypothesis of a few words."""
        found = find(transcript.text)
        if found is None and len(transcript.text.split()) <= CUE_WORDS and not self._is_fact(transcript.text):
            others = (find(text) for text in transcript.hypotheses)
            found = next((c for c in others if c is not None and is_told(c)), None)
        return found

    def know_phrases(self, phrases: str) -> None:
        """Let the ear know more words to the bench."""
        self._phrases = f"{self._phrases} {phrases}"

    def _is_fact(self, text: str) -> bool:
        return any(e.confidence >= SURE_FACT for e in Reader(machine=self._job.machine.kind).read(text).entries)

    def store(self, heard: Heard, *, doubt: str | None = None, step: str | None = None) -> Remark:
        """Keep the sound, read the words, and store the remark; raises NotebookError where the disk is full.

        The same stretch stored twice gives the same remark. `step` is the part of the step of a rebuild it was said at.
        """
        from notebook.audio.keep import write_flac
        from notebook.audio.weights import sha256_of_file

        job, transcript = self._job, heard.transcript
        remark_id = lasting_id(job.id, heard.key)
        path = self._shop.job_folder(job.id) / "sound" / f"{remark_id}.flac"
        if not path.is_file():
            write_flac(path, heard.samples)
        sha256 = sha256_of_file(path)
        recording = Recording(
            sha256=sha256, name=path.name, rate_hz=RATE_HZ, sample_count=len(heard.samples), started=heard.at, started_how=AT_THE_BENCH,
        )  # fmt: skip
        remark = Remark(
            id=remark_id, sitting_id=heard.sitting_id, order=self._archive.next_order(job.id), at=heard.at,
            seconds=round(len(heard.samples) / RATE_HZ, 3), person=heard.person, recording_sha256=sha256, first_sample=0,
            sample_count=len(heard.samples), heard=transcript.heard, text=transcript.text, words=transcript.words,
            doubt=doubt or transcript.doubt, unsettled=transcript.unsettled,
        )  # fmt: skip
        read = self._read(remark, step)
        where = str(path.relative_to(self._shop.folder))
        with self._archive.all_or_nothing():
            self._archive.add_recording(job.id, heard.sitting_id, recording, where)
            self._archive.finish_recording(job.id, sha256, len(heard.samples))
            self._archive.add_remark(job.id, read, source_key=heard.key, transcript=transcript, sound_path=where)
        self.near.remember(heard.db)
        self._named.extend(c for e in read.entries if (c := _component(e)))
        return read

    def store_typed(
        self, key: str, words: str, *, at: datetime, sitting_id: str, person: str | None, step: str | None = None
    ) -> Remark:
        """Store a remark that was typed at the bench."""
        remark = Remark(
            id=lasting_id(self._job.id, key), sitting_id=sitting_id, order=self._archive.next_order(self._job.id), at=at, seconds=None,
            person=person, heard=words, text=words,
        )  # fmt: skip
        read = self._read(remark, step)
        self._archive.add_remark(self._job.id, read, source_key=key)
        self._named.extend(c for e in read.entries if (c := _component(e)))
        return read

    def _read(self, remark: Remark, step: str | None = None) -> Remark:
        runs = [run for sitting, run in self.known if sitting == remark.sitting_id]
        readings = readings_of(self.known, remark.sitting_id, max(runs, default=1), self._job, self._shop)
        readings.go_to_end()
        speak_of_step(readings, remark.id, step)
        reading = readings.read(remark.text, line=remark.id)
        weighed = weigh_words(reading.entries, remark.text, reading.changes, remark.words)
        entries = doubt_unsettled(weighed, remark.text, reading.changes, remark.unsettled)
        return replace(
            remark,
            tidied=reading.tidied,
            changes=reading.changes,
            entries=name_entries(remark.id, entries, reading.tidied),
        )

    def settle(self) -> Log:
        """Lay mends and corrections over the whole job, gather parts and link photos."""
        self.log = reread_job(self._archive, self._job, shop=self._shop, known=self.known)
        return self.log

    def use_words(self, shop: Shop) -> None:
        """Read and hear with other shop words from now on."""
        self._shop, self.known, self._prompt = shop, {}, None

    def remark_now(self, remark_id: str) -> Remark | None:
        """Give a remark as the log has it."""
        return next((r for r in self.log.remarks if r.id == remark_id), None)


def _component(entry: Entry) -> str | None:
    component: str | None = getattr(entry, "component", None)
    return component


Ears = Callable[[], "Sequence[Ear]"]
"""Loads the larger and the small model."""
