"""A sitting at the bench: the core under every front, with no screen in it.

In: sound from a microphone, and what a front asks for. Out: past-tense messages (`bench_messages`), remarks in the
archive, the log. Two threads: the listener takes sound and never waits; the scribe writes down, answers, and is the only
one to touch the archive. From opening to closing nothing needs a key.
"""

from __future__ import annotations

import contextlib
import queue
import threading
import time
from collections import deque
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from notebook.archive.store import new_id
from notebook.entries import Decided
from notebook.errors import NotebookError
from notebook.jobs import bench_answers as answers
from notebook.jobs import bench_messages as told
from notebook.jobs.bench_lock import BenchLock
from notebook.jobs.handing_over import hand_over
from notebook.jobs.left_sound import Left, find_left
from notebook.jobs.opening import find_job, open_archive
from notebook.jobs.rebuilding import RebuildAtBench, load_rebuild
from notebook.jobs.scribe import Heard, Scribe
from notebook.jobs.speaking import Speaker
from notebook.log.caring import cautions_of
from notebook.log.rebuilding import TickState
from notebook.nouns import Job, Log, Outage, Remark, Sitting
from notebook.reading.bench_cues import Cue, find_cue
from notebook.reading.rebuild_cues import RebuildCue, find_rebuild_cue
from notebook.shop import BenchSettings, Shop
from notebook.tables.cautions import DEFER

if TYPE_CHECKING:
    from notebook.audio.ear import Ear
    from notebook.audio.listener import Event, HeardStretch, Listener
    from notebook.audio.microphone import SoundSource

LOOK_EVERY_S = 3.0
"""How often another program's changes (photos from the phone page, a mend) are looked for."""
BATTERY_EVERY_S = 30.0
CLOSE_WITHIN_S = 25.0
"""A second word to close the job counts this long."""
DISK_AGAIN_S = 2.0
MICROPHONE_FIRST_S = 10.0
Tell = Callable[[told.Message], None]


class BenchSitting:
    """One sitting on one job. Make it, `start` it, hand it what is asked, `stop` it."""

    def __init__(
        self,
        shop: Shop,
        number: str,
        *,
        tell: Tell,
        person: str | None = None,
        open_source: Callable[[], SoundSource] | None = None,
        load_ears: Callable[[], tuple[Ear, Ear]] | None = None,
        settings: BenchSettings | None = None,
        now: Callable[[], datetime] = lambda: datetime.now(UTC),
        rebuild: bool = False,
    ) -> None:
        """Find the job and open a sitting; raises NotebookError when there is none or another bench has it open.

        `rebuild` walks the way back instead of taking apart; raises NotebookError where nothing was said to come off.
        """
        self._shop, self._tell, self._now = shop, tell, now
        self.settings = settings or shop.settings.bench
        self._phrases = dict(self.settings.cues)
        with open_archive(shop) as archive:
            self.job: Job = find_job(archive, number)
            if rebuild:
                load_rebuild(archive, shop, self.job)
            self.person = person or archive.last_person(self.job.id)
        self.folder = shop.job_folder(self.job.id) / "sound" / "live"
        self._lock = BenchLock(self.folder, self.job.number)
        self.sitting = Sitting(
            id=new_id(), job_id=self.job.id, person=self.person, started=now(), zone=shop.settings.zone
        )
        self._open_source = open_source or self._open_microphone
        self._load_ears = load_ears or _load_usual_ears
        self._listener: Listener | None = None
        self._scribe: Scribe | None = None
        self.is_rebuild = rebuild
        self._rebuild: RebuildAtBench | None = None
        self._archive: Any = None
        self._ended: deque[HeardStretch | Left] = deque()
        self._paused: HeardStretch | None = None
        self._early: tuple[tuple[str, int], Any, float] | None = None
        """Of a pause that may be the end: key and length, transcript, when the words stood."""
        self._first_told: str | None = None
        self._asks: queue.SimpleQueue[Callable[[], None]] = queue.SimpleQueue()
        self._wake = threading.Condition()
        self._heard_of_microphone = threading.Event()
        self._stopping = False
        self._is_settled = True
        self._asleep = False
        self._closing_until_s = 0.0
        self._full_since: datetime | None = None
        self._battery_low = False
        self._warned: set[str] = set()
        """Cautions that were given in this sitting."""
        self._speaker: Speaker | None = None
        self._thread = threading.Thread(target=self._run, name="scribe", daemon=True)

    # --- for the front ---------------------------------------------------------------------------------------

    def start(self) -> None:
        """Listen from now on; the ear loads meanwhile, and what is said before it is ready waits."""
        from notebook.audio.listener import Listener

        with open_archive(self._shop) as archive:
            archive.add_sitting(self.sitting)
        self._listener = Listener(
            open_source=self._open_source, folder=self.folder, job_id=self.job.id, sitting_id=self.sitting.id, person=self.person,
            tell=self._hear_event, before_s=self.settings.before_s, silence_s=self.settings.silence_s, by_key=self.settings.by_key,
            now=self._now,
        )  # fmt: skip
        self._speaker = Speaker(
            self._listener, tone=self.settings.tone, aloud=self.settings.aloud,
            failed=lambda why: self._tell(told.Trouble(about="speaker", says=why, remedy="Answers stay on the screen.")),
        )  # fmt: skip
        self._speaker.start()
        self._thread.start()
        self._listener.start()

    def stop(self, wait_s: float = 60.0) -> None:
        """Stop listening, write down what is waiting, and end the sitting; safe to call twice."""
        if self._listener is None or self._stopping:
            return
        self._listener.stop()
        self._listener.join(5.0)
        with self._wake:
            self._stopping = True
            self._wake.notify()
        self._thread.join(wait_s)
        self._listener.finish_asked()
        if self._speaker is not None:
            self._speaker.stop()
        self._lock.release()

    def ask(self, what: Callable[[BenchSitting], None]) -> None:
        """Have something done by the thread that owns the archive."""
        self._asks.put(lambda: what(self))
        with self._wake:
            self._wake.notify()

    def toggle(self) -> None:
        """Stop listening, or listen again; where a key starts and stops remarks, do that."""
        if self._listener is None:
            return
        if self._listener.by_key and not self._asleep:
            self._listener.press()
        else:
            self.ask(lambda bench: bench._set_asleep(not bench._asleep))

    def set_by_key(self, by_key: bool) -> None:
        """Let a key start and stop each remark, or the voice."""
        if self._listener is not None:
            self._listener.set_by_key(by_key)
            more = "Press the key to start and to stop a remark." if by_key else "Just speak."
            self._tell(told.CueTaken(cue="mode", says="BY KEY" if by_key else "BY VOICE", more=more))

    @property
    def by_key(self) -> bool:
        """Whether a key starts and stops each remark."""
        return self._listener is not None and self._listener.by_key

    def take_cue(self, cue: Cue) -> None:
        """Do by key what a spoken cue does."""
        self.ask(lambda bench: bench._take_cue(cue, None))

    def take_step(self, cue: RebuildCue) -> None:
        """Do by key what a word of the rebuild does."""
        self.ask(lambda bench: bench._take_step(cue))

    def type_remark(self, words: str) -> None:
        """Take in a remark that was typed."""
        self.ask(lambda bench: bench._type_remark(words))

    def name_person(self, person: str) -> None:
        """Say who speaks from now on."""
        self.ask(lambda bench: bench._name_person(person))

    def play(self, samples: Any) -> None:
        """Play sound with the ear shut."""
        if self._speaker is not None:
            self._speaker.play(samples)

    @property
    def archive(self) -> Any:
        """The archive, for what `ask` runs."""
        return self._archive

    @property
    def shop(self) -> Shop:
        """The shop."""
        return self._shop

    @property
    def log(self) -> Log | None:
        """The log as it was last made; None before the bench is ready."""
        return self._scribe.log if self._scribe is not None else None

    # --- from the listening thread -----------------------------------------------------------------------------

    def _hear_event(self, event: Event) -> None:
        from notebook.audio import listener as heard

        if isinstance(event, heard.MicrophoneOpened | heard.MicrophoneLost):
            self._heard_of_microphone.set()
        match event:
            case heard.LevelHeard():
                self._tell(told.LevelChanged(db=event.db, voice_on=event.voice_on, dead_s=event.dead_s))
            case heard.VoiceBegan():
                with self._wake:
                    self._paused = None
                self._tell(told.RemarkBegan())
            case heard.RemarkPaused():
                with self._wake:
                    self._paused = event
                    self._wake.notify()
            case heard.RemarkEnded():
                with self._wake:
                    self._paused = None
                    self._ended.append(event)
                    self._wake.notify()
                self._tell(told.QueueChanged(waiting=len(self._ended)))
            case heard.MicrophoneOpened():
                if event.away_since is not None:
                    since, why, at = event.away_since, event.why, event.at
                    self.ask(lambda bench: bench._note_outage(since, at, why))
                self._tell_state()
            case heard.MicrophoneLost():
                self._tell(told.StateChanged(state="lost", says=event.message, remedy=event.remedy))
                if self._speaker is not None:
                    self._speaker.sound_tone("lost")
                    self._speaker.say("I have lost the microphone.")
            case heard.DiskFilled():
                self._full_since = self._now()
                self._tell(
                    told.Trouble(about="disk", says=event.message, remedy="Free some room; sound waits in memory for ten minutes.")
                )  # fmt: skip
            case heard.DiskCleared():
                self._tell(told.Trouble(about="disk", says=""))
            case heard.SoundGone():
                since, at = event.since, event.at
                self.ask(lambda bench: bench._note_outage(since, at, "the disk was full"))

    def _tell_state(self) -> None:
        if self._asleep:
            wake = (self._phrases.get("wake") or ("start listening",))[0]
            self._tell(told.StateChanged(state="asleep", says="ASLEEP", remedy=f'Say "{wake}".'))
        else:
            self._tell(told.StateChanged(state="listening", says="LISTENING"))

    # --- the scribe's thread -----------------------------------------------------------------------------------

    def _run(self) -> None:
        from notebook.jobs.power import KeptAwake

        with contextlib.closing(KeptAwake()), open_archive(self._shop) as archive:
            self._archive = archive
            archive.sync_every_write()
            if not self._get_ready():
                return
            looked_s = battery_s = 0.0
            while True:
                task = self._next_task()
                if task is not None:
                    self._guard(task)
                elif self._stopping:
                    break
                elif not self._is_settled:
                    self._guard(self._settle)
                else:
                    now_s = time.monotonic()
                    if now_s - looked_s > LOOK_EVERY_S:
                        looked_s = now_s
                        self._guard(self._look_for_changes)
                    if now_s - battery_s > BATTERY_EVERY_S:
                        battery_s = now_s
                        self._watch_battery()
            self._guard(self._settle)
            if self._rebuild is not None:
                self._guard(self._rebuild.sum)
            self._guard(lambda: archive.add_sitting(replace(self.sitting, person=self.person, ended=self._now())))
            self._tell(told.StateChanged(state="stopped", says="STOPPED"))

    def _get_ready(self) -> bool:
        began_s = time.monotonic()
        # Listening comes first: loading the ear would hold it up.
        self._heard_of_microphone.wait(MICROPHONE_FIRST_S)
        try:
            ear, small = self._load_ears()
            self._scribe = Scribe(self._archive, self._shop, self.job, ear, small)
        except NotebookError as error:
            self._tell(told.Trouble(about="ear", says=error.message, remedy=error.remedy))
            self._tell(told.StateChanged(state="stopped", says="NO EAR", remedy="Sound is kept and will be written down at the next start."))  # fmt: skip
            return False
        self._tell(told.LogChanged(log=self._scribe.log))
        if self._scribe.log.remarks:
            self._tell(told.JobOpened(lines=hand_over(self._archive, self._shop, self.job)))
        if self.is_rebuild:
            self._rebuild = RebuildAtBench(
                self._archive, self._shop, self.job, self.sitting.id, self._scribe, tell=self._tell, say=self._say_aloud, now=self._now, person=lambda: self.person
            )  # fmt: skip
        for left in find_left(self.folder, self.sitting.id):
            self._ended.append(left)
        small.warm_up_at_once()
        ear.warm_up()
        load_s = time.monotonic() - began_s
        self._tell(told.BenchReady(first_model=small.model_name, model=ear.model_name, load_s=load_s))
        self._tell(told.PersonNamed(person=self.person))
        if self._rebuild is not None:
            self._rebuild.begin()
        self._change_count = self._archive.change_count()
        return True

    def _next_task(self) -> Callable[[], None] | None:
        with self._wake:
            if not self._ended and self._asks.empty() and not self._has_fresh_pause():
                if self._stopping or not self._is_settled:
                    return None
                self._wake.wait(0.5)
            if self._ended:
                heard = self._ended[0]
                return lambda: self._write_down(heard)
            if not self._asks.empty():
                return self._asks.get()
            if self._has_fresh_pause():
                paused = self._paused
                assert paused is not None
                return lambda: self._hear_early(paused)
        return None

    def _has_fresh_pause(self) -> bool:
        return self._paused is not None and (self._early is None or self._early[0] != _length_key(self._paused))

    def _guard(self, task: Callable[[], object]) -> None:
        """Do something; what goes wrong is told and stops nothing."""
        try:
            task()
        except NotebookError as error:
            full = "disk is full" in error.message.lower()
            self._tell(told.Trouble(about="disk" if full else "archive", says=error.message, remedy=error.remedy))
            if self._full_since is None:
                self._full_since = self._now()
            with self._wake:
                if not self._stopping:
                    self._wake.wait(DISK_AGAIN_S)
                elif self._ended:
                    # It stays on disk as raw sound and is found at the next start.
                    self._ended.clear()
        except Exception as error:
            # Whatever it was: the bench goes on, and the raw sound stays for the next start.
            self._tell(
                told.Trouble(about="ear", says=f"Something went wrong ({type(error).__name__}: {error}).", remedy="The sound is kept and is tried again at the next start.")
            )  # fmt: skip
            if self._ended:
                self._ended.popleft()
        else:
            if self._full_since is not None and not self._ended:
                self._full_since = None
                self._tell(told.Trouble(about="disk", says=""))

    # --- writing down ------------------------------------------------------------------------------------------

    def _hear_early(self, paused: HeardStretch) -> None:
        """Decode while the silence is still running; thrown away if speech goes on."""
        assert self._scribe is not None
        key = _length_key(paused)
        first = self._scribe.hear_first_line(paused.samples)
        if self._paused is not paused and not self._is_waiting(key):
            return
        self._tell_first_line(paused, first)
        transcript = self._scribe.hear(paused.samples)
        self._early = (key, transcript, time.monotonic())

    def _is_waiting(self, key: tuple[str, int]) -> bool:
        return any(not isinstance(e, Left) and _length_key(e) == key for e in self._ended)

    def _tell_first_line(self, heard: HeardStretch, text: str) -> None:
        if text and not self._asleep:
            self._first_told = heard.key
            self._tell(told.FirstLineHeard(key=heard.key, text=text, after_s=time.monotonic() - heard.voice_ended_s))

    def _write_down(self, stretch: HeardStretch | Left) -> None:
        scribe = self._scribe
        assert scribe is not None
        if isinstance(stretch, Left):
            self._write_left(stretch)
            self._ended.popleft()
            return
        transcript, stood_s = None, 0.0
        if self._early is not None and self._early[0] == _length_key(stretch):
            transcript, stood_s = self._early[1], self._early[2]
        elif self._first_told != stretch.key and len(self._ended) == 1:
            self._tell_first_line(stretch, scribe.hear_first_line(stretch.samples))
        if transcript is None:
            transcript = scribe.hear(stretch.samples)
            stood_s = time.monotonic()
            self._early = (_length_key(stretch), transcript, stood_s)
        from notebook.audio.level import speech_db

        heard = Heard(
            key=stretch.key, samples=stretch.samples, at=stretch.at, sitting_id=stretch.sitting_id, person=stretch.person or self.person,
            transcript=transcript, db=speech_db(stretch.samples),
        )  # fmt: skip
        self._decide(heard, stretch, stood_s)
        self._early = None
        self._ended.popleft()
        self._tell(told.QueueChanged(waiting=len(self._ended)))

    def _decide(self, heard: Heard, stretch: HeardStretch, stood_s: float) -> None:
        assert self._scribe is not None
        why = self._scribe.judge(heard)
        text = heard.transcript.text
        cue = self._scribe.find_cue(heard.transcript) if why is None or self._asleep else None
        step = self._rebuild.find(heard.transcript) if self._rebuild is not None and why is None else None
        if self._asleep:
            if cue is not None and cue.name == "wake":
                self._set_asleep(False)
            self._erase(stretch, "asleep")
            return
        if why is not None:
            self._tell(told.RemarkErased(key=heard.key, why=why))
            self._erase(stretch, why)
            return
        if step is not None and not step.is_remark:
            self._tell(told.RemarkErased(key=heard.key, why="a word to the bench", text=text))
            self._erase(stretch, "a word to the bench")
            self._take_step(step)
            return
        if step is None and cue is not None and (self._is_act(cue) or self._undoes_tick(cue)):
            self._tell(told.RemarkErased(key=heard.key, why="a word to the bench", text=text))
            self._erase(stretch, "a word to the bench")
            if self._undoes_tick(cue) and self._rebuild is not None:
                self._rebuild.undo()
            else:
                self._take_cue(cue, None)
            return
        remark = self._scribe.store(heard, step=self._step_name)
        now_s = time.monotonic()
        if self._listener is not None:
            self._listener.note_done(stretch.listening, stretch.stretch.first_sample)
        self._is_settled = False
        self._tell(
            told.RemarkStored(
                key=heard.key, remark=remark, text_after_s=stood_s - stretch.voice_ended_s, after_s=now_s - stretch.voice_ended_s
            )
        )  # fmt: skip
        self._warn(remark)
        self._confirm(cue if step is None else None, remark)
        if self._rebuild is not None:
            self._rebuild.take(remark, step)

    @property
    def _step_name(self) -> str | None:
        return self._rebuild.step_name if self._rebuild is not None else None

    def _undoes_tick(self, cue: Cue) -> bool:
        """Whether "scratch that" takes back a tick: it followed one."""
        return cue.name == "scratch" and self._rebuild is not None and self._rebuild.has_just_ticked

    def _take_step(self, cue: RebuildCue) -> None:
        if self._rebuild is None:
            return
        if cue.is_remark:
            states: dict[str, TickState] = {"done": "done", "torque set": "torque set", "skip": "skipped"}
            self._rebuild.tick(states.get(cue.name, "open"), cue.rest)
        else:
            self._rebuild.move(cue)

    def _say_aloud(self, words: str) -> None:
        if self._speaker is not None:
            self._speaker.say(words)

    def _warn(self, remark: Remark) -> None:
        """Give the gravest usual caution that a remark calls for, each once a sitting."""
        fresh = [c for c in cautions_of([remark]) if c.level == "high" and c.text not in self._warned]
        if fresh:
            self._warned.add(fresh[0].text)
            self._tell(told.CautionGiven(says=fresh[0].text, defer=DEFER))

    def _is_act(self, cue: Cue) -> bool:
        """Whether a cue is a word to the bench; "no" and a second word only while one is waited for."""
        if cue.name in ("yes", "no"):
            return time.monotonic() < self._closing_until_s
        return not cue.is_remark

    def _erase(self, stretch: HeardStretch, _why: str) -> None:
        if self._listener is not None and stretch.is_kept:
            self._listener.erase(stretch.listening, stretch.stretch.first_sample, stretch.stretch.samples)

    def _write_left(self, left: Left) -> None:
        """Write down what an earlier sitting left, half heard or not yet transcribed; then its raw sound may go."""
        assert self._scribe is not None
        from notebook.audio.level import speech_db

        for piece in left.pieces():
            transcript = self._scribe.hear(piece.samples)
            heard = Heard(
                key=piece.key, samples=piece.samples, at=piece.at, sitting_id=left.sitting_id, person=left.person, transcript=transcript,
                db=speech_db(piece.samples),
            )  # fmt: skip
            cue = find_cue(transcript.text, self._phrases)
            if not transcript.text.strip() or (cue is not None and self._is_act(cue)):
                continue
            remark = self._scribe.store(heard, doubt=piece.doubt)
            self._is_settled = False
            self._tell(told.RemarkStored(key=piece.key, remark=remark, text_after_s=0.0, after_s=0.0, was_left=True))
        left.remove()

    def _confirm(self, cue: Cue | None, remark: Remark) -> None:
        """Show that a cue inside the record was understood."""
        kinds = {e.kind for e in remark.entries}
        if (cue is not None and cue.name == "scratch") or (cue is None and "correction" in kinds):
            self._cue("scratch", "STRUCK OUT" if cue is not None else "CORRECTED", remark.tidied)
        elif cue is not None and cue.name == "correction":
            self._cue("correction", "CORRECTED", remark.tidied)
        elif cue is not None and cue.name == "new part":
            self._cue("new part", cue.about.upper(), "new part")
        elif cue is not None and cue.name == "place":
            from notebook.entries import Storage

            put = next((e for e in remark.entries if isinstance(e, Storage)), None)
            self._cue("place", (put.place if put else cue.about).upper(), ", ".join(put.contents) if put else "")
        elif decided := [e for e in remark.entries if isinstance(e, Decided)]:
            self._cue("decision", decided[0].state.upper(), ", ".join(e.component or "which part?" for e in decided))
        elif "photo" in kinds:
            self._cue("photo", "PHOTO", "the next picture goes with this")
        elif self._speaker is not None:
            self._speaker.sound_tone("done")

    def _cue(self, cue: str, says: str, more: str = "") -> None:
        self._tell(told.CueTaken(cue=cue, says=says, more=more))
        if self._speaker is not None:
            self._speaker.sound_tone("asked" if cue == "close" else "done")

    # --- cues and answers --------------------------------------------------------------------------------------

    def _take_cue(self, cue: Cue, _remark: Remark | None) -> None:
        match cue.name:
            case "sleep":
                self._set_asleep(True)
            case "wake":
                self._set_asleep(False)
            case "person":
                self._name_person(cue.about)
            case "close":
                self._ask_to_close()
            case "yes":
                self._close(closed=True)
            case "no":
                self._closing_until_s = 0.0
                self._cue("close", "STILL OPEN", "the job stays open")
            case "reopen":
                self._close(closed=False)
            case "scratch":
                self._scratch_last()
            case _:
                self._answer(cue)

    def _answer(self, cue: Cue) -> None:
        if not self._is_settled:
            self._settle()
        assert self._scribe is not None
        log = self._scribe.log
        if cue.name == "left" and self._rebuild is not None:
            self._rebuild.sum()
            return
        match cue.name:
            case "where":
                found = answers.answer_where(self._archive, log, cue.about)
                asked = f"where is the {cue.about}"
            case "left":
                found, asked = answers.answer_left(log), "what is left"
            case "left off":
                lines = hand_over(self._archive, self._shop, self.job)
                found, asked = answers.BenchAnswer(says="WHERE IT WAS LEFT", more=lines), "where it was left"
            case "inside":
                found, asked = answers.answer_inside(self._archive, cue.about), f"what is in {cue.about}"
            case "read back":
                found, asked = answers.answer_read_back(log), "the last remark"
            case "seen":
                found, asked = answers.answer_seen(self._archive, log, cue.about), f"{cue.about} before"
            case "ask":
                found, asked = answers.answer_asked(self._archive, self._shop, cue.about, self._now()), cue.about
            case _:
                return
        self._tell(told.AnswerGiven(asked=asked, says=found.says, more=found.more))
        if self._speaker is not None:
            self._speaker.say(found.says)

    def _scratch_last(self) -> None:
        """Strike the last remark's entries, by key."""
        from notebook.jobs.mending import mend_entry

        assert self._scribe is not None
        log = self._settle()
        last = next((r for r in reversed(log.remarks) if any(not e.struck for e in r.entries)), None)
        if last is None:
            return
        for entry in last.entries:
            if not entry.struck:
                self._scribe.log = mend_entry(
                    self._archive, self.job, last, entry.id, action="strike", changes={}, person=self.person, now=self._now(), shop=self._shop
                )  # fmt: skip
        self._is_settled = False
        self._cue("scratch", "STRUCK OUT", last.tidied)

    def _type_remark(self, words: str) -> None:
        assert self._scribe is not None
        cue = find_cue(words, self._phrases)
        step = find_rebuild_cue(words) if self._rebuild is not None else None
        if step is not None and not step.is_remark:
            self._take_step(step)
            return
        if step is None and cue is not None and self._is_act(cue):
            self._take_cue(cue, None)
            return
        if step is None and cue is not None and self._undoes_tick(cue) and self._rebuild is not None:
            self._rebuild.undo()
            return
        key = f"typed:{new_id()}"
        remark = self._scribe.store_typed(
            key, words, at=self._now(), sitting_id=self.sitting.id, person=self.person, step=self._step_name
        )
        self._is_settled = False
        self._tell(told.RemarkStored(key=key, remark=remark, text_after_s=0.0, after_s=0.0))
        self._warn(remark)
        self._confirm(cue if step is None else None, remark)
        if self._rebuild is not None:
            self._rebuild.take(remark, step)

    def _set_asleep(self, asleep: bool) -> None:
        self._asleep = asleep
        if self._listener is not None:
            self._listener.sleep(asleep)
        wake = (self._phrases.get("wake") or ("start listening",))[0]
        self._cue("sleep", "ASLEEP" if asleep else "LISTENING", f'Say "{wake}".' if asleep else "")
        self._tell_state()

    def _name_person(self, person: str) -> None:
        self.person = person.strip() or None
        if self._listener is not None:
            self._listener.person = self.person
        self._tell(told.PersonNamed(person=self.person))
        if self.sitting.person is None and self.person:
            self.sitting = replace(self.sitting, person=self.person)
            self._archive.add_sitting(self.sitting)
        self._cue("person", (self.person or "NOBODY").upper(), "is speaking")

    def _ask_to_close(self) -> None:
        self._closing_until_s = time.monotonic() + CLOSE_WITHIN_S
        yes = (self._phrases.get("yes") or ("yes, close it",))[0]
        self._cue("close", "CLOSE?", f'Say "{yes}", or "leave it open".')

    def _close(self, *, closed: bool) -> None:
        self._closing_until_s = 0.0
        self._archive.close_job(self.job.id, self._now() if closed else None)
        self.job = replace(self.job, closed=self._now() if closed else None)
        self._tell(told.JobClosed(closed=closed))
        again = (self._phrases.get("reopen") or ("open it again",))[0]
        self._cue(
            "closed", "CLOSED" if closed else "OPEN", f'Say "{again}" to undo.' if closed else "the job is open again"
        )

    # --- the desk ----------------------------------------------------------------------------------------------

    def play_remark(self, remark: Remark) -> None:
        """Play the sound of a remark with the ear shut; raises NotebookError when it has none."""
        from notebook.jobs.playing import sound_of_remark

        self.play(sound_of_remark(self._archive, self._shop, remark))

    def mend_words(self, remark: Remark, words: str) -> tuple[str, str] | None:
        """Put other words in the place of what was heard; give the part and the misheard words that could be taught."""
        from notebook.jobs.mending import mend_text
        from notebook.jobs.teaching import offer_teaching

        self._laid(
            mend_text(self._archive, self.job, remark, words, person=self.person, now=self._now(), shop=self._shop)
        )
        return offer_teaching(remark.heard, words)

    def mend_entry(self, remark: Remark, entry_id: str, action: str, words: str) -> None:
        """Change, strike or accept an entry; `words` are FIELD=VALUE."""
        from notebook.jobs.mending import mend_entry, read_pairs

        changes = dict(read_pairs(words)) if action == "set" else {}
        self._laid(
            mend_entry(
                self._archive, self.job, remark, entry_id, action=action, changes=changes, person=self.person, now=self._now(), shop=self._shop
            )
        )  # fmt: skip

    def add_entry(self, remark: Remark, words: str) -> None:
        """Add an entry; `words` are KIND FIELD=VALUE, FIELD=VALUE."""
        from notebook.jobs.mending import add_entry, read_pairs

        kind, _, rest = words.strip().partition(" ")
        self._laid(
            add_entry(
                self._archive, self.job, remark, kind, dict(read_pairs(rest)), person=self.person, now=self._now(), shop=self._shop
            )
        )  # fmt: skip

    def decide(self, component: str, words: str) -> None:
        """Write a decision about a part; `words` are the state, then by whom and in what words: "approved by owner: rang today"."""
        from notebook.jobs.deciding import decide

        said, _, note = words.partition(":")
        state, _, by = said.strip().lower().partition(" by ")
        log, _ = decide(
            self._archive, self._shop, self.job, component, state.strip(), by=by.strip() or None, noted_by=self.person,
            note=note.strip() or None, now=self._now(),
        )  # fmt: skip
        self._laid(log)

    def teach(self, words: str) -> None:
        """Put a word into the shop's vocabulary; from the next remark on the ear and the reader know it."""
        from notebook.jobs.teaching import teach_word

        name, _, other = words.partition("=")
        self._shop = teach_word(self._shop, name, other)
        assert self._scribe is not None
        self._scribe.use_words(self._shop)
        self._settle()

    def _laid(self, log: Log) -> None:
        assert self._scribe is not None
        self._scribe.log = log
        self._tell(told.LogChanged(log=log))

    # --- the log -----------------------------------------------------------------------------------------------

    def _settle(self) -> Log:
        assert self._scribe is not None
        log = self._scribe.settle()
        self._is_settled = True
        if self._rebuild is not None:
            self._rebuild.use_log(log)
        self._change_count = self._archive.change_count()
        self._tell(told.LogChanged(log=log))
        return log

    def _look_for_changes(self) -> None:
        count = self._archive.change_count()
        if count != self._change_count:
            self._settle()

    def _note_outage(self, began: datetime, ended: datetime, why: str) -> None:
        self._archive.add_outage(
            self.job.id, Outage(id=new_id(), sitting_id=self.sitting.id, began=began, ended=ended, why=why)
        )
        self._is_settled = False
        self._tell(told.OutageNoted(began=began, ended=ended, why=why))

    def _watch_battery(self) -> None:
        from notebook.jobs.power import LOW_PERCENT, read_battery

        battery = read_battery()
        low = battery is not None and not battery.plugged and battery.percent <= LOW_PERCENT
        if low and battery is not None:
            self._tell(told.Trouble(about="power", says=f"BATTERY {battery.percent} %", remedy="Plug the charger in."))
        elif self._battery_low:
            self._tell(told.Trouble(about="power", says=""))
        self._battery_low = low

    def _open_microphone(self) -> SoundSource:
        from notebook.audio.microphone import Microphone

        return Microphone(self.settings.microphone or None)


def _length_key(heard: HeardStretch) -> tuple[str, int]:
    return heard.key, heard.stretch.samples


def _load_usual_ears() -> tuple[Ear, Ear]:
    from notebook.audio.ear import Ear

    return Ear("whisper-base"), Ear("whisper-tiny-en")


def job_folder_of_live_sound(shop: Shop, job: Job) -> Path:
    """Give the folder in which sound waits while it is heard."""
    return shop.job_folder(job.id) / "sound" / "live"
