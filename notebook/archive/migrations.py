"""The archive's schema, by numbered migrations; a released one is never changed.

In: an open database. Out: the same database at the newest schema. The comments inside the SQL stay in the
database, so that any SQLite browser shows what a column means. Times are ISO 8601 in UTC.
"""

from __future__ import annotations

from sqlite_utils import Database, Migrations

MIGRATIONS = Migrations("teardown-notebook")


@MIGRATIONS()
def m001_first_archive(db: Database) -> None:
    """Machines, jobs, sittings, remarks, words, photos, entries by kind, parts, fittings, links, mends, decisions, places."""
    for statement in _FIRST.split(";;"):
        if statement.strip():
            db.execute(statement)


_FIRST = """
CREATE TABLE machine (
    id TEXT PRIMARY KEY,
    kind TEXT NOT NULL,      -- what it is: "forestry winch"
    plate TEXT UNIQUE        -- plate number or shop tag, when there is one
) STRICT;;
CREATE TABLE job (
    id TEXT PRIMARY KEY,     -- also the name of its folder
    number TEXT NOT NULL,    -- a label; two jobs may share one
    machine_id TEXT NOT NULL REFERENCES machine(id),
    owner_ref TEXT,
    reading TEXT,            -- clock or meter when opened, as said
    opened TEXT NOT NULL,
    closed TEXT
) STRICT;;
CREATE INDEX job_number ON job(number);;
CREATE INDEX job_machine ON job(machine_id);;
CREATE INDEX job_opened ON job(opened);;
CREATE TABLE sitting (
    id TEXT PRIMARY KEY,
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE,
    person TEXT,
    started TEXT NOT NULL,
    ended TEXT,
    zone TEXT NOT NULL
) STRICT;;
CREATE INDEX sitting_job ON sitting(job_id);;
CREATE TABLE recording (
    sha256 TEXT NOT NULL,
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE,
    sitting_id TEXT NOT NULL REFERENCES sitting(id),
    name TEXT NOT NULL,      -- file name as it came
    path TEXT,               -- original, relative to the shop folder
    rate_hz INTEGER NOT NULL,
    sample_count INTEGER NOT NULL,
    started TEXT,
    started_how TEXT NOT NULL,
    is_heard INTEGER NOT NULL DEFAULT 0,  -- 1 when it has been heard to its end
    PRIMARY KEY (job_id, sha256)
) STRICT;;
CREATE TABLE anchor (        -- remark time is the anchor in UTC plus samples over rate
    sitting_id TEXT NOT NULL REFERENCES sitting(id) ON DELETE CASCADE,
    recording_sha256 TEXT NOT NULL,
    first_sample INTEGER NOT NULL,
    at TEXT NOT NULL,
    PRIMARY KEY (sitting_id, recording_sha256, first_sample)
) STRICT;;
CREATE TABLE remark (
    n INTEGER PRIMARY KEY,   -- for the full-text index only
    id TEXT NOT NULL UNIQUE,
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE,
    sitting_id TEXT NOT NULL REFERENCES sitting(id),
    ord INTEGER NOT NULL,    -- place in the job, in the order said
    source_key TEXT NOT NULL,-- what it was made from, so that taking in twice changes nothing
    at TEXT,
    seconds REAL,
    person TEXT,
    recording_sha256 TEXT,
    first_sample INTEGER,
    sample_count INTEGER,
    sound_path TEXT,         -- its sound, relative to the shop folder
    heard TEXT NOT NULL,     -- the ear's first choice
    text TEXT NOT NULL,      -- the words chosen, or mended by a person
    tidied TEXT NOT NULL,    -- numbers, units and slips put right
    changes TEXT NOT NULL,   -- JSON: how tidied leads back to text
    reader_version TEXT NOT NULL DEFAULT '',
    doubt TEXT,
    UNIQUE (job_id, source_key)
) STRICT;;
CREATE INDEX remark_job ON remark(job_id, ord);;
CREATE TABLE transcript (    -- what the ear made of a remark, and with what
    remark_id TEXT PRIMARY KEY REFERENCES remark(id) ON DELETE CASCADE,
    model TEXT NOT NULL,
    model_sha256 TEXT NOT NULL,
    prompt TEXT NOT NULL,
    hypotheses TEXT NOT NULL -- JSON list
) STRICT;;
CREATE TABLE word (
    remark_id TEXT NOT NULL REFERENCES remark(id) ON DELETE CASCADE,
    n INTEGER NOT NULL,
    text TEXT NOT NULL,
    start_s REAL NOT NULL,   -- from the start of the remark
    end_s REAL NOT NULL,
    probability REAL NOT NULL,
    PRIMARY KEY (remark_id, n)
) STRICT, WITHOUT ROWID;;
CREATE TABLE photo (
    id TEXT PRIMARY KEY,
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE,
    name TEXT NOT NULL,
    sha256 TEXT NOT NULL,
    path TEXT NOT NULL,      -- the original, byte for byte
    thumbnail_path TEXT NOT NULL,
    taken TEXT,              -- by the camera's own clock
    taken_how TEXT NOT NULL,
    camera TEXT NOT NULL,
    width_px INTEGER NOT NULL,
    height_px INTEGER NOT NULL,
    picture_format TEXT NOT NULL,
    UNIQUE (job_id, sha256)
) STRICT;;
CREATE TABLE link (
    photo_id TEXT NOT NULL REFERENCES photo(id) ON DELETE CASCADE,
    remark_id TEXT NOT NULL REFERENCES remark(id) ON DELETE CASCADE,
    how TEXT NOT NULL CHECK (how IN ('cue', 'time', 'card', 'hand')),
    confidence REAL NOT NULL,
    PRIMARY KEY (photo_id, remark_id)
) STRICT;;
CREATE INDEX link_remark ON link(remark_id);;
CREATE TABLE part (
    id TEXT PRIMARY KEY,
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE,
    component TEXT NOT NULL,
    position TEXT,
    of_component TEXT,       -- the assembly it came off
    ord INTEGER,             -- order in which it came off
    verdicts TEXT NOT NULL   -- JSON list of words
) STRICT;;
CREATE INDEX part_job ON part(job_id);;
CREATE TABLE entry (         -- one row for every entry of every kind; the kind's own table holds the rest
    id TEXT PRIMARY KEY,
    remark_id TEXT NOT NULL REFERENCES remark(id) ON DELETE CASCADE,
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE,
    ord INTEGER NOT NULL,
    kind TEXT NOT NULL,
    component TEXT,
    position TEXT,
    part_id TEXT REFERENCES part(id) ON DELETE SET NULL DEFERRABLE INITIALLY DEFERRED,
    span_start INTEGER NOT NULL,
    span_end INTEGER NOT NULL,
    confidence REAL NOT NULL,
    doubt TEXT,
    cue TEXT,
    struck INTEGER NOT NULL DEFAULT 0,
    mended INTEGER NOT NULL DEFAULT 0,
    body TEXT NOT NULL       -- the whole entry as JSON
) STRICT;;
CREATE INDEX entry_remark ON entry(remark_id);;
CREATE INDEX entry_job ON entry(job_id, kind);;
CREATE TABLE answers_to (    -- every name an entry's part answers to: a return spring is a spring
    name TEXT NOT NULL,
    entry_id TEXT NOT NULL REFERENCES entry(id) ON DELETE CASCADE,
    PRIMARY KEY (name, entry_id)
) STRICT, WITHOUT ROWID;;
CREATE INDEX answers_to_entry ON answers_to(entry_id);;
CREATE TABLE finding (
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE,
    condition TEXT NOT NULL,
    presence TEXT NOT NULL CHECK (presence IN ('present', 'absent', 'possible')),
    degree TEXT,
    count INTEGER,
    of_count INTEGER
) STRICT;;
CREATE INDEX finding_condition ON finding(condition, presence);;
CREATE TABLE measurement (
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE,
    quantity TEXT,
    value TEXT, low TEXT, high TEXT,     -- exact, as decimal text
    unit TEXT,
    si REAL, si_low REAL, si_high REAL,  -- to compare by
    role TEXT NOT NULL,
    about INTEGER
) STRICT;;
CREATE TABLE fastener (
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE,
    count INTEGER, thread TEXT, form TEXT, length_mm TEXT, driver TEXT,
    state TEXT NOT NULL,     -- JSON list
    heat INTEGER
) STRICT;;
CREATE INDEX fastener_thread ON fastener(thread);;
CREATE TABLE mileage (
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE,
    value TEXT, low TEXT, high TEXT, unit TEXT, role TEXT NOT NULL
) STRICT;;
CREATE TABLE disposition (
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE,
    action TEXT NOT NULL, count INTEGER, done INTEGER
) STRICT;;
CREATE INDEX disposition_action ON disposition(action);;
CREATE TABLE step (
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE,
    action TEXT NOT NULL, off TEXT, note TEXT
) STRICT;;
CREATE TABLE mark (
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE,
    text TEXT NOT NULL, count INTEGER
) STRICT;;
CREATE TABLE caution (
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE,
    topic TEXT, text TEXT NOT NULL
) STRICT;;
CREATE TABLE tip (
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE,
    topic TEXT, text TEXT NOT NULL
) STRICT;;
CREATE TABLE tool (
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE,
    name TEXT NOT NULL, used_for TEXT
) STRICT;;
CREATE TABLE storage (
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE,
    place TEXT NOT NULL, contents TEXT NOT NULL -- JSON list
) STRICT;;
CREATE TABLE photo_cue (
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE,
    of_component TEXT, which TEXT NOT NULL
) STRICT;;
CREATE TABLE correction (
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE,
    scope TEXT NOT NULL, target TEXT
) STRICT;;
CREATE TABLE fitting (       -- one part in one position on one machine, from a reading to a reading
    id TEXT PRIMARY KEY,
    machine_id TEXT NOT NULL REFERENCES machine(id),
    component TEXT NOT NULL,
    position TEXT,
    fitted_value TEXT, fitted_unit TEXT, fitted_job_id TEXT REFERENCES job(id) ON DELETE SET NULL,
    ended_value TEXT, ended_unit TEXT, ended_job_id TEXT REFERENCES job(id) ON DELETE SET NULL,
    ended_why TEXT
) STRICT;;
CREATE INDEX fitting_machine ON fitting(machine_id, component);;
CREATE TABLE mend (          -- a person's correction; kept apart, always wins, made anew after a reread
    id TEXT PRIMARY KEY,
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE,
    remark_id TEXT NOT NULL REFERENCES remark(id) ON DELETE CASCADE,
    kind TEXT,
    entry_id TEXT,           -- the entry it was made on; a reread may have given another id
    action TEXT NOT NULL CHECK (action IN ('text', 'set', 'add', 'strike', 'accept')),
    field TEXT, old TEXT, new TEXT,
    at_s REAL,
    person TEXT,
    made TEXT NOT NULL,
    conflict TEXT            -- why it no longer fits; NULL while it fits
) STRICT;;
CREATE INDEX mend_job ON mend(job_id);;
CREATE TABLE decision (      -- a disposition found, advised, approved, declined or asked
    id TEXT PRIMARY KEY,
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE,
    entry_id TEXT,
    component TEXT, position TEXT, action TEXT NOT NULL,
    state TEXT NOT NULL CHECK (state IN ('found', 'advised', 'approved', 'declined', 'asked')),
    person TEXT,
    made TEXT NOT NULL,
    note TEXT
) STRICT;;
CREATE INDEX decision_job ON decision(job_id);;
CREATE TABLE place (         -- bag, tray, shelf: what is in it now, over all open jobs
    id TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    job_id TEXT REFERENCES job(id) ON DELETE CASCADE,
    entry_id TEXT,
    contents TEXT NOT NULL,  -- JSON list
    put_at TEXT,
    emptied_at TEXT
) STRICT;;
CREATE INDEX place_name ON place(name);;
CREATE VIRTUAL TABLE remark_words USING fts5(tidied, content='remark', content_rowid='n', tokenize='porter unicode61');;
CREATE TRIGGER remark_words_added AFTER INSERT ON remark BEGIN
    INSERT INTO remark_words(rowid, tidied) VALUES (new.n, new.tidied);
END;;
CREATE TRIGGER remark_words_gone AFTER DELETE ON remark BEGIN
    INSERT INTO remark_words(remark_words, rowid, tidied) VALUES ('delete', old.n, old.tidied);
END;;
CREATE TRIGGER remark_words_changed AFTER UPDATE OF tidied ON remark BEGIN
    INSERT INTO remark_words(remark_words, rowid, tidied) VALUES ('delete', old.n, old.tidied);
    INSERT INTO remark_words(rowid, tidied) VALUES (new.n, new.tidied);
END
"""
