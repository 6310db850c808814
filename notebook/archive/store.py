"""Stores and finds jobs, remarks, entries, photos, links and mends in the shop's archive.

In: nouns. Out: nouns. The only room, with its neighbours here, that touches SQLite.
A remark with its words and entries is stored whole or not at all; what is derived can be replaced
without touching what a person mended.
"""

from __future__ import annotations

import json
import uuid
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from sqlite_utils import Database

from notebook.archive import rows
from notebook.archive.database import archive_errors, open_database, writing
from notebook.archive.telling import lay_out_told
from notebook.log.deciding import list_decisions
from notebook.nouns import (
    Decision,
    Fitting,
    Job,
    Link,
    Log,
    Machine,
    Mend,
    Outage,
    Part,
    Photo,
    Recording,
    Remark,
    Sitting,
    Transcript,
    Unsettled,
    Word,
)


class Archive:
    """The archive of one shop folder; use it in a `with`, one to a thread."""

    def __init__(self, shop: Path, names_of: Callable[[str], Sequence[str]] = lambda name: (name,)) -> None:
        """`names_of` gives every name a component answers to ("return spring": return spring, spring)."""
        self.shop = shop
        self.path = shop / "archive.db"
        self.names_of = names_of
        self.db: Database = open_database(self.path)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the database."""
        self.db.close()

    @contextmanager
    def all_or_nothing(self) -> Iterator[None]:
        """Write several things as one: all of them or none; others who want to write wait that long."""
        with archive_errors(self.path), writing(self.db):
            yield

    # --- jobs --------------------------------------------------------------------------------------------

    def add_job(self, job: Job) -> None:
        """Store a new job and its machine (one machine a plate)."""
        with self.all_or_nothing():
            machine = (job.machine.plate and self.machine_with_plate(job.machine.plate)) or job.machine
            self.db.execute(
                "INSERT INTO machine(id, kind, plate) VALUES (?, ?, ?) ON CONFLICT(id) DO NOTHING",
                [machine.id, machine.kind, machine.plate],
            )
            self._insert(
                "job",
                {
                    "id": job.id, "number": job.number, "machine_id": machine.id, "owner_ref": job.owner_ref, "reading": job.reading,
                    "opened": rows.time_text(job.opened), "closed": rows.time_text(job.closed),
                },
            )  # fmt: skip

    def machine_with_plate(self, plate: str) -> Machine | None:
        """Give the machine of a plate or shop tag."""
        row = self._first("SELECT id, kind, plate FROM machine WHERE plate = ?", [plate])
        return Machine(**row) if row else None

    def find_jobs(self, number: str) -> list[Job]:
        """Give the jobs under a number, or the one whose id it is; newest first."""
        return self._jobs("WHERE job.number = :n OR job.id = :n ORDER BY job.opened DESC, job.id", {"n": number})

    def all_jobs(self) -> list[Job]:
        """Give every job, newest first."""
        return self._jobs("ORDER BY job.opened DESC, job.id", {})

    def _jobs(self, where: str, params: dict[str, Any]) -> list[Job]:
        sql = f"SELECT job.*, machine.kind, machine.plate FROM job JOIN machine ON machine.id = job.machine_id {where}"
        with archive_errors(self.path):
            return [rows.job_of(r) for r in self.db.query(sql, params)]

    def close_job(self, job_id: str, at: datetime | None) -> None:
        """Note when a job was closed (None opens it again)."""
        self._execute("UPDATE job SET closed = ? WHERE id = ?", [rows.time_text(at), job_id])

    # --- sittings and recordings -------------------------------------------------------------------------

    def add_sitting(self, sitting: Sitting) -> None:
        """Store a sitting; one that is there already only learns what it did not know."""
        row = {
            "id": sitting.id, "job_id": sitting.job_id, "person": sitting.person, "started": rows.time_text(sitting.started),
            "ended": rows.time_text(sitting.ended), "zone": sitting.zone,
        }  # fmt: skip
        self._execute(
            "INSERT INTO sitting(id, job_id, person, started, ended, zone) VALUES (:id, :job_id, :person, :started, :ended, :zone)"
            " ON CONFLICT(id) DO UPDATE SET ended = coalesce(ended, excluded.ended), person = coalesce(person, excluded.person)",
            row,
        )

    def add_recording(self, job_id: str, sitting_id: str, recording: Recording, path: str | None) -> None:
        """Store a recording and its clock anchor; a recording already there stays as it is."""
        with self.all_or_nothing():
            self.db.execute(
                "INSERT INTO recording(sha256, job_id, sitting_id, name, path, rate_hz, sample_count, started, started_how)"
                " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING",
                [recording.sha256, job_id, sitting_id, recording.name, path, recording.rate_hz, recording.sample_count,
                 rows.time_text(recording.started), recording.started_how],
            )  # fmt: skip
            if recording.started is not None:
                self.db.execute(
                    "INSERT INTO anchor(sitting_id, recording_sha256, first_sample, at) VALUES (?, ?, 0, ?) ON CONFLICT DO NOTHING",
                    [sitting_id, recording.sha256, rows.time_text(recording.started)],
                )

    def recording(self, job_id: str, sha256: str) -> tuple[Recording, str, bool] | None:
        """Give a recording of a job, its sitting, and whether it was heard to its end."""
        row = self._first("SELECT * FROM recording WHERE job_id = ? AND sha256 = ?", [job_id, sha256])
        return (rows.recording_of(row), row["sitting_id"], bool(row["is_heard"])) if row else None

    def finish_recording(self, job_id: str, sha256: str, sample_count: int) -> None:
        """Note that a recording has been heard to its end."""
        self._execute(
            "UPDATE recording SET is_heard = 1, sample_count = ? WHERE job_id = ? AND sha256 = ?",
            [sample_count, job_id, sha256],
        )

    def add_outage(self, job_id: str, outage: Outage) -> None:
        """Store a while in which nothing could be heard."""
        with self.all_or_nothing():
            self._insert(
                "outage",
                {
                    "id": outage.id, "job_id": job_id, "sitting_id": outage.sitting_id, "began": rows.time_text(outage.began),
                    "ended": rows.time_text(outage.ended), "why": outage.why,
                },
            )  # fmt: skip

    def last_person(self, job_id: str | None = None) -> str | None:
        """Give who spoke in the latest sitting that says so, of one job or of any."""
        sql = "SELECT person FROM sitting WHERE person IS NOT NULL AND (? IS NULL OR job_id = ?) ORDER BY started DESC LIMIT 1"
        row = self._first(sql, [job_id, job_id])
        return row["person"] if row else None

    def sync_every_write(self) -> None:
        """Let no write count as done before it is on the disk, whatever the power does: for the bench."""
        self.db.execute("PRAGMA synchronous = FULL")

    def change_count(self) -> int:
        """Give a number that changes when another connection has written."""
        row = self._first("PRAGMA data_version", [])
        return int(row["data_version"]) if row else 0

    # --- remarks -----------------------------------------------------------------------------------------

    def has_remark(self, job_id: str, source_key: str) -> bool:
        """Tell whether a remark made from this stretch of this source is stored."""
        sql = "SELECT 1 FROM remark WHERE job_id = ? AND source_key = ?"
        return self._first(sql, [job_id, source_key]) is not None

    def count_remarks_of(self, job_id: str, recording_sha256: str) -> int:
        """Give how many remarks of a recording are stored."""
        sql = "SELECT count(*) AS n FROM remark WHERE job_id = ? AND recording_sha256 = ?"
        row = self._first(sql, [job_id, recording_sha256])
        return int(row["n"]) if row else 0

    def sound_path(self, remark_id: str) -> str | None:
        """Give where the sound of a remark lies, relative to the shop folder; None when it has none."""
        row = self._first("SELECT sound_path FROM remark WHERE id = ?", [remark_id])
        return row["sound_path"] if row else None

    def photo_path_of(self, remark_id: str) -> str | None:
        """Give where the first photo of a remark lies, relative to the shop folder; None when it has none."""
        sql = "SELECT photo.path FROM link JOIN photo ON photo.id = link.photo_id WHERE link.remark_id = ? ORDER BY photo.taken, photo.name"
        row = self._first(sql, [remark_id])
        return row["path"] if row else None

    def needs_reading(self, job_id: str, reader_version: str) -> bool:
        """Tell whether a remark of the job was read by another reader, or not read to the end."""
        sql = "SELECT 1 FROM remark WHERE job_id = ? AND reader_version <> ? LIMIT 1"
        return self._first(sql, [job_id, reader_version]) is not None

    def next_order(self, job_id: str) -> int:
        """Give the place in the job that the next remark takes."""
        row = self._first("SELECT coalesce(max(ord), 0) + 1 AS n FROM remark WHERE job_id = ?", [job_id])
        return int(row["n"]) if row else 1

    def add_remark(
        self, job_id: str, remark: Remark, *, source_key: str, transcript: Transcript | None = None, sound_path: str | None = None,
    ) -> bool:  # fmt: skip
        """Store a remark with its words and entries, all or nothing; tell whether it was not there before.

        It counts as not read to the end until `replace_derived` has gone over the whole job.
        """
        with self.all_or_nothing():
            if self.has_remark(job_id, source_key):
                return False
            self._insert("remark", rows.remark_row(remark, job_id, source_key, sound_path))
            if transcript is not None:
                self._insert(
                    "transcript",
                    {
                        "remark_id": remark.id, "model": transcript.model, "model_sha256": transcript.model_sha256, "prompt": transcript.prompt,
                        "hypotheses": json.dumps(transcript.hypotheses, ensure_ascii=False),
                    },
                )  # fmt: skip
            self._insert_words(remark)
            for start, end, what in remark.unsettled:
                self._insert("unsettled", {"remark_id": remark.id, "text_start": start, "text_end": end, "what": what})
            self._insert_entries(job_id, remark, {})
        return True

    def _insert_words(self, remark: Remark) -> None:
        self.db.table("word").insert_all(
            {
                "remark_id": remark.id,
                "n": n,
                "text": w.text,
                "start_s": w.start_s,
                "end_s": w.end_s,
                "probability": w.probability,
            }
            for n, w in enumerate(remark.words)
        )

    def _insert_entries(self, job_id: str, remark: Remark, part_of: dict[str, str]) -> None:
        for order, entry in enumerate(remark.entries):
            common, table, own = rows.entry_rows(entry, remark, job_id, order, part_of.get(entry.id or ""))
            self._insert("entry", common)
            self._insert(table, own)
            self.db.conn.executemany(_TOLD, [(*told, order, remark.id) for told in lay_out_told(entry, self.names_of)])

    def replace_derived(
        self,
        job_id: str,
        remarks: Sequence[Remark],
        parts: Sequence[Part],
        part_of: dict[str, str],
        mends: Sequence[Mend],
        reader_version: str,
    ) -> None:
        """Put newly derived rows (tidied text, entries, parts) in the place of the old; mends keep their rows, with conflicts noted."""
        with self.all_or_nothing():
            self.db.execute("DELETE FROM entry WHERE job_id = ?", [job_id])
            self.db.execute("DELETE FROM part WHERE job_id = ?", [job_id])
            for part in parts:
                self._insert(
                    "part",
                    {
                        "id": part.id, "job_id": job_id, "component": part.component, "position": part.position, "of_component": part.of,
                        "ord": part.order, "verdicts": json.dumps(part.verdicts, ensure_ascii=False),
                    },
                )  # fmt: skip
            for remark in remarks:
                self.db.execute(
                    "UPDATE remark SET ord = ?, text = ?, tidied = ?, changes = ?, reader_version = ? WHERE id = ?",
                    [
                        remark.order,
                        remark.text,
                        remark.tidied,
                        json.dumps(remark.changes, ensure_ascii=False),
                        reader_version,
                        remark.id,
                    ],
                )
                self._insert_entries(job_id, remark, part_of)
            for mend in mends:
                self.db.execute("UPDATE mend SET conflict = ? WHERE id = ?", [mend.conflict, mend.id])

    def jobs_of_machine(self, machine_id: str) -> list[Job]:
        """Give the jobs of a machine, newest first."""
        return self._jobs("WHERE job.machine_id = :m ORDER BY job.opened DESC, job.id", {"m": machine_id})

    def replace_fittings(self, machine_id: str, fittings: Iterable[Fitting]) -> None:
        """Put newly followed fittings of a machine in the place of the old."""
        with self.all_or_nothing():
            self.db.execute("DELETE FROM fitting WHERE machine_id = ?", [machine_id])
            for fitting in fittings:
                self._insert("fitting", rows.fitting_row(fitting))

    def fittings(self, machine_id: str | None = None) -> list[Fitting]:
        """Give the fittings of a machine, or of all, by component."""
        where = "WHERE machine_id = :m " if machine_id else ""
        with archive_errors(self.path):
            found = self.db.query(f"SELECT * FROM fitting {where}ORDER BY component, position, id", {"m": machine_id})
            return [rows.fitting_of(r) for r in found]

    def cautions_read(self, job_id: str) -> frozenset[str]:
        """Give the words of the usual cautions that were read for a job."""
        with archive_errors(self.path):
            return frozenset(
                r["words"] for r in self.db.query("SELECT words FROM caution_read WHERE job_id = ?", [job_id])
            )

    def add_cautions_read(self, job_id: str, cautions: Iterable[str], person: str | None, made: datetime) -> None:
        """Note that cautions were read; who read one first stays."""
        with self.all_or_nothing():
            for words in cautions:
                self.db.execute(
                    "INSERT INTO caution_read(job_id, words, person, made) VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING",
                    [job_id, words, person, rows.time_text(made)],
                )

    def add_mend(self, job_id: str, mend: Mend) -> None:
        """Store a person's correction."""
        with self.all_or_nothing():
            self._insert("mend", rows.mend_row(mend, job_id))

    def add_decision(self, job_id: str, decision: Decision) -> None:
        """Store a decision; it is never changed, only followed by later ones."""
        with self.all_or_nothing():
            self._insert("decision", rows.decision_row(decision, job_id))

    # --- photos ------------------------------------------------------------------------------------------

    def has_photo(self, job_id: str, sha256: str) -> bool:
        """Tell whether a picture of this content is in the job."""
        return self._first("SELECT 1 FROM photo WHERE job_id = ? AND sha256 = ?", [job_id, sha256]) is not None

    def add_photo(self, job_id: str, photo: Photo, path: str, thumbnail_path: str) -> bool:
        """Store a photo whose original and thumbnail already lie in the job's folder; tell whether it was not there before.

        The job counts as not read to the end until the photo has been linked.
        """
        row = {
            "id": photo.id, "job_id": job_id, "name": photo.name, "sha256": photo.sha256, "path": path, "thumbnail_path": thumbnail_path,
            "taken": rows.time_text(photo.taken), "taken_how": photo.taken_how, "camera": photo.camera, "width_px": photo.width_px,
            "height_px": photo.height_px, "picture_format": photo.picture_format,
            "card_shown": rows.time_text(photo.card_shown), "labels_shown": "\n".join(photo.labels_shown) or None,
        }  # fmt: skip
        with self.all_or_nothing():
            if self.has_photo(job_id, photo.sha256):
                return False
            self._insert("photo", row)
            self.db.execute(_NOT_READ_TO_THE_END, [job_id])
        return True

    def replace_links(self, job_id: str, links: Iterable[Link]) -> None:
        """Put newly made links in the place of the old; what was said by hand stays and wins."""
        with self.all_or_nothing():
            by_hand = {r["photo_id"] for r in self.db.query(_HAND_LINKS, [job_id])}
            by_hand |= {
                r["id"] for r in self.db.query("SELECT id FROM photo WHERE job_id = ? AND kept_loose", [job_id])
            }
            self.db.execute(
                "DELETE FROM link WHERE how <> 'hand' AND photo_id IN (SELECT id FROM photo WHERE job_id = ?)", [job_id]
            )
            for link in links:
                if link.photo_id not in by_hand:
                    self._insert(
                        "link",
                        {
                            "photo_id": link.photo_id,
                            "remark_id": link.remark_id,
                            "how": link.how,
                            "confidence": link.confidence,
                        },
                    )

    def link_by_hand(self, photo_id: str, remark_ids: Sequence[str]) -> None:
        """Link a photo to these remarks and no others, for ever; to none keeps it loose."""
        with self.all_or_nothing():
            self.db.execute("DELETE FROM link WHERE photo_id = ?", [photo_id])
            self.db.execute("UPDATE photo SET kept_loose = ? WHERE id = ?", [0 if remark_ids else 1, photo_id])
            for remark_id in remark_ids:
                self._insert("link", {"photo_id": photo_id, "remark_id": remark_id, "how": "hand", "confidence": 1.0})

    def free_photo(self, photo_id: str) -> None:
        """Forget what was said of a photo by hand; the next reading links it again."""
        with self.all_or_nothing():
            self.db.execute("DELETE FROM link WHERE photo_id = ?", [photo_id])
            self.db.execute("UPDATE photo SET kept_loose = 0 WHERE id = ?", [photo_id])

    # --- whole jobs --------------------------------------------------------------------------------------

    def load_log(self, job: Job) -> Log:
        """Give everything stored about a job."""
        with archive_errors(self.path):
            return self._load_log(job)

    def _load_log(self, job: Job) -> Log:
        of_job = [job.id]
        entries: dict[str, list[Any]] = {}
        part_entries: dict[str, list[str]] = {}
        part_remarks: dict[str, set[str]] = {}
        for row in self.db.query(_ENTRIES_AS_SAID, of_job):
            entries.setdefault(row["remark_id"], []).append(rows.entry_of(row))
            if row["part_id"]:
                part_entries.setdefault(row["part_id"], []).append(row["id"])
                part_remarks.setdefault(row["part_id"], set()).add(row["remark_id"])
        words: dict[str, list[Word]] = {}
        for row in self.db.query(
            "SELECT word.* FROM word JOIN remark ON remark.id = word.remark_id WHERE job_id = ? ORDER BY remark.id, word.n",
            of_job,
        ):
            words.setdefault(row["remark_id"], []).append(
                Word(text=row["text"], start_s=row["start_s"], end_s=row["end_s"], probability=row["probability"])
            )
        unsettled: dict[str, list[Unsettled]] = {}
        for row in self.db.query(
            "SELECT unsettled.* FROM unsettled JOIN remark ON remark.id = unsettled.remark_id WHERE job_id = ? ORDER BY text_start",
            of_job,
        ):
            unsettled.setdefault(row["remark_id"], []).append((row["text_start"], row["text_end"], row["what"]))
        remarks = [
            rows.remark_of(
                r, tuple(words.get(r["id"], ())), tuple(entries.get(r["id"], ())), tuple(unsettled.get(r["id"], ()))
            )
            for r in self.db.query("SELECT * FROM remark WHERE job_id = ? ORDER BY ord", of_job)
        ]
        links = [
            rows.link_of(r)
            for r in self.db.query(
                "SELECT link.* FROM link JOIN photo ON photo.id = link.photo_id WHERE job_id = ? ORDER BY photo_id, remark_id",
                of_job,
            )
        ]
        parts = [
            _part_of(r, part_entries.get(r["id"], []), links, part_remarks.get(r["id"], set()))
            for r in self.db.query("SELECT * FROM part WHERE job_id = ? ORDER BY ord IS NULL, ord, rowid", of_job)
        ]
        sittings = [rows.sitting_of(r) for r in self.db.query("SELECT * FROM sitting WHERE job_id = ? ORDER BY started, id", of_job)]  # fmt: skip
        written = [rows.decision_of(r) for r in self.db.query("SELECT * FROM decision WHERE job_id = ? ORDER BY made, id", of_job)]  # fmt: skip
        return Log(
            job=job,
            sittings=tuple(sittings),
            recordings=tuple(rows.recording_of(r) for r in self.db.query("SELECT * FROM recording WHERE job_id = ? ORDER BY started, name", of_job)),
            remarks=tuple(remarks), parts=tuple(parts),
            photos=tuple(rows.photo_of(r) for r in self.db.query("SELECT * FROM photo WHERE job_id = ? ORDER BY taken IS NULL, taken, name", of_job)),
            links=tuple(links),
            mends=tuple(rows.mend_of(r) for r in self.db.query("SELECT * FROM mend WHERE job_id = ? ORDER BY made, id", of_job)),
            outages=tuple(rows.outage_of(r) for r in self.db.query("SELECT * FROM outage WHERE job_id = ? ORDER BY began", of_job)),
            decisions=list_decisions(written, remarks, sittings),
            folder=self.shop / "jobs" / job.id,
        )  # fmt: skip

    # --- small helps -------------------------------------------------------------------------------------

    def _first(self, sql: str, params: Any) -> dict[str, Any] | None:
        with archive_errors(self.path):
            return next(self.db.query(sql, params), None)

    def _insert(self, table: str, row: dict[str, Any]) -> None:
        names = ", ".join(row)
        marks = ", ".join(f":{name}" for name in row)
        self.db.execute(f"INSERT INTO {table}({names}) VALUES ({marks})", row)

    def _execute(self, sql: str, params: Any) -> None:
        with self.all_or_nothing():
            self.db.execute(sql, params)


_TOLD = (
    "INSERT OR IGNORE INTO told(name, kind, what, how, position, low, high, more, opened, job_n, remark_n, ord)"
    " SELECT ?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, CAST(strftime('%s', job.opened) AS INTEGER), job.n, remark.n, ?9"
    " FROM remark JOIN job ON job.id = remark.job_id WHERE remark.id = ?10"
)
_HAND_LINKS = "SELECT photo_id FROM link JOIN photo ON photo.id = link.photo_id WHERE how = 'hand' AND job_id = ?"


_NOT_READ_TO_THE_END = "UPDATE remark SET reader_version = '' WHERE n = (SELECT min(n) FROM remark WHERE job_id = ?)"


_ENTRIES_AS_SAID = (
    "SELECT entry.* FROM entry JOIN remark ON remark.id = entry.remark_id WHERE entry.job_id = ?"
    " ORDER BY remark.ord, remark.n, entry.ord"
)


def _part_of(row: dict[str, Any], entry_ids: Sequence[str], links: Sequence[Link], remark_ids: set[str]) -> Part:
    photos = dict.fromkeys(link.photo_id for link in links if link.remark_id in remark_ids)
    return Part(
        id=row["id"], component=row["component"], position=row["position"], of=row["of_component"], order=row["ord"],
        entry_ids=tuple(entry_ids), photo_ids=tuple(photos), verdicts=tuple(json.loads(row["verdicts"])),
    )  # fmt: skip


def new_id() -> str:
    """Give a lasting id."""
    return str(uuid.uuid4())
