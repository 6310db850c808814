"""The schema of the first archive, told column by column.

Out: SQL statements, parted by ";;". The notes inside stay in the database, so that any SQLite browser shows what a
column means. Once released it is never changed; a later migration changes what is in it. Times are ISO 8601 in UTC.
"""

FIRST_SCHEMA = """
CREATE TABLE machine ( -- a machine that comes to the bench, perhaps many times over the years
    id TEXT PRIMARY KEY, -- lasting id
    kind TEXT NOT NULL,  -- what it is: "forestry winch"
    plate TEXT UNIQUE    -- plate number or shop tag, when there is one
) STRICT;;
CREATE TABLE job ( -- a machine on the bench under a number
    id TEXT PRIMARY KEY,                             -- lasting id, also the name of its folder
    number TEXT NOT NULL,                            -- a label; two jobs may share one
    machine_id TEXT NOT NULL REFERENCES machine(id), -- the machine
    owner_ref TEXT,                                  -- the owner's own reference
    reading TEXT,                                    -- clock or meter when it was opened, as said: "1860 h"
    opened TEXT NOT NULL,                            -- when it came in
    closed TEXT                                      -- when it was closed; NULL while it is open
) STRICT;;
CREATE INDEX job_number ON job(number);;
CREATE INDEX job_machine ON job(machine_id);;
CREATE INDEX job_opened ON job(opened);;
CREATE TABLE sitting ( -- one stretch of work on a job by one person
    id TEXT PRIMARY KEY,                                       -- the same for the same source every time
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE, -- the job
    person TEXT,                                               -- who spoke, when said
    started TEXT NOT NULL,                                     -- when it began, else when the job was opened
    ended TEXT,                                                -- when it ended, when known
    zone TEXT NOT NULL                                         -- time zone of the bench: "Europe/London"
) STRICT;;
CREATE INDEX sitting_job ON sitting(job_id);;
CREATE TABLE recording ( -- one sound file as it came, known by its content
    sha256 TEXT NOT NULL,                                      -- SHA-256 of the file
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE, -- the job
    sitting_id TEXT NOT NULL REFERENCES sitting(id),           -- the sitting it is the sound of
    name TEXT NOT NULL,                                        -- file name as it came
    path TEXT,                                                 -- original, relative to the shop folder
    rate_hz INTEGER NOT NULL,                                  -- rate that the samples of its remarks count in
    sample_count INTEGER NOT NULL,                             -- length in samples; 0 until it has been heard to its end
    started TEXT,                                              -- when its first sample was, when known
    started_how TEXT NOT NULL,                                 -- where that came from: said, in the file, in its name
    is_heard INTEGER NOT NULL DEFAULT 0,                       -- 1 when it has been heard to its end
    PRIMARY KEY (job_id, sha256)
) STRICT;;
CREATE TABLE anchor ( -- a sample whose time is known; the time of a remark is that plus samples over rate
    sitting_id TEXT NOT NULL REFERENCES sitting(id) ON DELETE CASCADE, -- the sitting
    recording_sha256 TEXT NOT NULL,                                    -- the recording
    first_sample INTEGER NOT NULL,                                     -- the sample
    at TEXT NOT NULL,                                                  -- its time
    PRIMARY KEY (sitting_id, recording_sha256, first_sample)
) STRICT;;
CREATE TABLE remark ( -- one thing said at the bench
    n INTEGER PRIMARY KEY,                                     -- for the full-text index only
    id TEXT NOT NULL UNIQUE,                                   -- the same for the same stretch of the same source every time
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE, -- the job
    sitting_id TEXT NOT NULL REFERENCES sitting(id),           -- the sitting
    ord INTEGER NOT NULL,                                      -- place in the job, from 1, in the order said
    source_key TEXT NOT NULL,                                  -- what it was made from, so that taking in twice changes nothing
    at TEXT,                                                   -- when it began; NULL where only the order is known
    seconds REAL,                                              -- how long it took
    person TEXT,                                               -- who spoke, when said
    recording_sha256 TEXT,                                     -- its recording; NULL when it came as words
    first_sample INTEGER,                                      -- where it begins in the recording
    sample_count INTEGER,                                      -- how long it is in the recording
    sound_path TEXT,                                           -- its sound, relative to the shop folder
    heard TEXT NOT NULL,                                       -- the ear's first choice, never changed
    text TEXT NOT NULL,                                        -- the words chosen, or mended by a person
    tidied TEXT NOT NULL,                                      -- numbers, units and slips put right
    changes TEXT NOT NULL,                                     -- JSON: how tidied leads back to text
    reader_version TEXT NOT NULL DEFAULT '',                   -- rules and words it was read with; empty until the whole job was read with it
    doubt TEXT,                                                -- why these words may not have been said at all
    UNIQUE (job_id, source_key)
) STRICT;;
CREATE INDEX remark_job ON remark(job_id, ord);;
CREATE TABLE transcript ( -- what the ear made of a remark, and with what
    remark_id TEXT PRIMARY KEY REFERENCES remark(id) ON DELETE CASCADE, -- the remark
    model TEXT NOT NULL,                                                -- name of the speech model
    model_sha256 TEXT NOT NULL,                                         -- SHA-256 of its weights
    prompt TEXT NOT NULL,                                               -- words it was told to expect
    hypotheses TEXT NOT NULL                                            -- JSON list: what else it could have been
) STRICT;;
CREATE TABLE word ( -- a word as the ear heard it
    remark_id TEXT NOT NULL REFERENCES remark(id) ON DELETE CASCADE, -- the remark
    n INTEGER NOT NULL,                                              -- place in the remark, from 0
    text TEXT NOT NULL,                                              -- the word
    start_s REAL NOT NULL,                                           -- seconds from the start of the remark
    end_s REAL NOT NULL,                                             -- seconds from the start of the remark
    probability REAL NOT NULL,                                       -- how sure the ear was, 0 to 1
    PRIMARY KEY (remark_id, n)
) STRICT, WITHOUT ROWID;;
CREATE TABLE photo ( -- one picture; its original is kept by content and never touched
    id TEXT PRIMARY KEY,                                       -- the same for the same picture in the same job every time
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE, -- the job
    name TEXT NOT NULL,                                        -- file name as it came
    sha256 TEXT NOT NULL,                                      -- SHA-256 of the file
    path TEXT NOT NULL,                                        -- the original, byte for byte, relative to the shop folder
    thumbnail_path TEXT NOT NULL,                              -- a small one, relative to the shop folder
    taken TEXT,                                                -- when, by the camera's own clock
    taken_how TEXT NOT NULL,                                   -- where that came from
    camera TEXT NOT NULL,                                      -- make, model and serial as the file says, else its folder
    width_px INTEGER NOT NULL,                                 -- as it is looked at
    height_px INTEGER NOT NULL,                                -- as it is looked at
    picture_format TEXT NOT NULL,                              -- JPEG, PNG, HEIF, WEBP
    UNIQUE (job_id, sha256)
) STRICT;;
CREATE TABLE link ( -- a photo and a remark that it shows
    photo_id TEXT NOT NULL REFERENCES photo(id) ON DELETE CASCADE,    -- the photo
    remark_id TEXT NOT NULL REFERENCES remark(id) ON DELETE CASCADE,  -- the remark
    how TEXT NOT NULL CHECK (how IN ('cue', 'time', 'card', 'hand')), -- how that is known
    confidence REAL NOT NULL,                                         -- how sure it is, 0 to 1
    PRIMARY KEY (photo_id, remark_id)
) STRICT;;
CREATE INDEX link_remark ON link(remark_id);;
CREATE TABLE part ( -- a component in a position on a job, with everything said about it
    id TEXT PRIMARY KEY,                                       -- the same for the same part of the same job every time
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE, -- the job
    component TEXT NOT NULL,                                   -- plain name, singular
    position TEXT,                                             -- which one, as said
    of_component TEXT,                                         -- the assembly it came off
    ord INTEGER,                                               -- place in the order things came off, from 1; NULL when it was not said to
    verdicts TEXT NOT NULL                                     -- JSON list of words: measured against limit
) STRICT;;
CREATE INDEX part_job ON part(job_id);;
CREATE TABLE entry ( -- one row for every entry of every kind; the table of its kind holds the rest
    id TEXT PRIMARY KEY,                                                               -- the same when the same words are read into the same kind
    remark_id TEXT NOT NULL REFERENCES remark(id) ON DELETE CASCADE,                   -- the remark
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE,                         -- the job
    ord INTEGER NOT NULL,                                                              -- place in the remark, from 0
    kind TEXT NOT NULL,                                                                -- finding, step, measurement ...
    component TEXT,                                                                    -- the part, or what a caution, tip, tool or photo is about
    position TEXT,                                                                     -- which one or where, as said
    part_id TEXT REFERENCES part(id) ON DELETE SET NULL DEFERRABLE INITIALLY DEFERRED, -- the part it belongs to
    span_start INTEGER NOT NULL,                                                       -- first character of its words in the tidied text
    span_end INTEGER NOT NULL,                                                         -- character after its words in the tidied text
    confidence REAL NOT NULL,                                                          -- 0 to 1
    doubt TEXT,                                                                        -- why a person should look
    cue TEXT,                                                                          -- the words that decided what it is
    struck INTEGER NOT NULL DEFAULT 0,                                                 -- 1 when a correction or a mend undid it
    mended INTEGER NOT NULL DEFAULT 0,                                                 -- 1 when a person put it right
    body TEXT NOT NULL                                                                 -- the whole entry as JSON
) STRICT;;
CREATE INDEX entry_remark ON entry(remark_id);;
CREATE INDEX entry_job ON entry(job_id, kind);;
CREATE TABLE answers_to ( -- every name that the part of an entry answers to: a return spring is a spring
    name TEXT NOT NULL,                                            -- the name
    entry_id TEXT NOT NULL REFERENCES entry(id) ON DELETE CASCADE, -- the entry
    PRIMARY KEY (name, entry_id)
) STRICT, WITHOUT ROWID;;
CREATE INDEX answers_to_entry ON answers_to(entry_id);;
CREATE TABLE finding ( -- the state of a part, on this job, then
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE,             -- the entry that this row completes
    condition TEXT NOT NULL,                                                      -- cracked, worn, sound, missing, not inspected ...
    presence TEXT NOT NULL CHECK (presence IN ('present', 'absent', 'possible')), -- of the condition, not of the part
    degree TEXT,                                                                  -- slight, moderate, severe
    count INTEGER,                                                                -- how many are so
    of_count INTEGER                                                              -- out of how many
) STRICT;;
CREATE INDEX finding_condition ON finding(condition, presence);;
CREATE TABLE measurement ( -- a size or an amount
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE, -- the entry that this row completes
    quantity TEXT,                                                    -- diameter, backlash, torque ..., when said
    value TEXT,                                                       -- exact, as decimal text; NULL for a range
    low TEXT,                                                         -- lower end of a range, exact
    high TEXT,                                                        -- upper end of a range, exact
    unit TEXT,                                                        -- as said: mm, thou, N·m
    si REAL,                                                          -- value in the SI unit, to compare by
    si_low REAL,                                                      -- lower end in the SI unit
    si_high REAL,                                                     -- upper end in the SI unit
    role TEXT NOT NULL,                                               -- measured, limit, nominal, required
    about INTEGER                                                     -- 1 when said to be rough
) STRICT;;
CREATE TABLE fastener ( -- what holds a part
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE, -- the entry that this row completes
    count INTEGER,                                                    -- how many
    thread TEXT,                                                      -- M8, 3/8 BSF ...
    form TEXT,                                                        -- hexagon bolt, circlip ...
    length_mm TEXT,                                                   -- exact, as decimal text
    driver TEXT,                                                      -- 4 mm hex key, 32 mm socket ...
    state TEXT NOT NULL,                                              -- JSON list: tight, seized, rounded ...
    heat INTEGER                                                      -- 1 when it needed heat, 0 when it did not, NULL when not said
) STRICT;;
CREATE INDEX fastener_thread ON fastener(thread);;
CREATE TABLE mileage ( -- distance or running hours
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE, -- the entry that this row completes
    value TEXT,                                                       -- exact, as decimal text; NULL for a range
    low TEXT,                                                         -- lower end of a range, exact
    high TEXT,                                                        -- upper end of a range, exact
    unit TEXT,                                                        -- mi, km, h
    role TEXT NOT NULL                                                -- reading, fitted, run, expected
) STRICT;;
CREATE TABLE disposition ( -- what is to happen to a part
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE, -- the entry that this row completes
    action TEXT NOT NULL,                                             -- reuse, clean, replace, scrap ...
    count INTEGER,                                                    -- how many
    done INTEGER                                                      -- 1 when said to be done already
) STRICT;;
CREATE INDEX disposition_action ON disposition(action);;
CREATE TABLE step ( -- what was done to get there
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE, -- the entry that this row completes
    action TEXT NOT NULL,                                             -- removed, opened, loosened, refitted, adjusted, tested
    off TEXT,                                                         -- the assembly it came off
    note TEXT                                                         -- what else was said of it
) STRICT;;
CREATE TABLE mark ( -- how it sat, for the way back
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE, -- the entry that this row completes
    text TEXT NOT NULL,                                               -- the words
    count INTEGER                                                     -- how many
) STRICT;;
CREATE TABLE caution ( -- what can hurt someone or spoil the part
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE, -- the entry that this row completes
    topic TEXT,                                                       -- part or operation
    text TEXT NOT NULL                                                -- the words
) STRICT;;
CREATE TABLE tip ( -- how to do it, for the next person
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE, -- the entry that this row completes
    topic TEXT,                                                       -- part or operation
    text TEXT NOT NULL                                                -- the words
) STRICT;;
CREATE TABLE tool ( -- what was used or is needed
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE, -- the entry that this row completes
    name TEXT NOT NULL,                                               -- two-leg puller, 32 mm socket ...
    used_for TEXT                                                     -- the part it was for
) STRICT;;
CREATE TABLE storage ( -- where something was put
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE, -- the entry that this row completes
    place TEXT NOT NULL,                                              -- bag 7, tray 2 ...
    contents TEXT NOT NULL                                            -- JSON list, as said
) STRICT;;
CREATE TABLE photo_cue ( -- a spoken word about a photo
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE, -- the entry that this row completes
    of_component TEXT,                                                -- what is on it
    which TEXT NOT NULL                                               -- next, or before when it was taken already
) STRICT;;
CREATE TABLE correction ( -- what takes back something said before
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE, -- the entry that this row completes
    scope TEXT NOT NULL,                                              -- last remark, or value
    target TEXT                                                       -- the remark it undoes, when known
) STRICT;;
CREATE TABLE fitting ( -- one part in one position on one machine, from one reading of its clock to another
    id TEXT PRIMARY KEY,                                      -- lasting id
    machine_id TEXT NOT NULL REFERENCES machine(id),          -- the machine
    component TEXT NOT NULL,                                  -- the part
    position TEXT,                                            -- which one
    fitted_value TEXT,                                        -- clock when it was fitted, exact
    fitted_unit TEXT,                                         -- h, km, mi
    fitted_job_id TEXT REFERENCES job(id) ON DELETE SET NULL, -- the job that fitted it
    ended_value TEXT,                                         -- clock when it came out, exact
    ended_unit TEXT,                                          -- h, km, mi
    ended_job_id TEXT REFERENCES job(id) ON DELETE SET NULL,  -- the job that took it out
    ended_why TEXT                                            -- why it came out
) STRICT;;
CREATE INDEX fitting_machine ON fitting(machine_id, component);;
CREATE TABLE mend ( -- a person's correction; kept apart, always wins, laid again after every reading
    id TEXT PRIMARY KEY,                                                               -- lasting id
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE,                         -- the job
    remark_id TEXT NOT NULL REFERENCES remark(id) ON DELETE CASCADE,                   -- the remark
    kind TEXT,                                                                         -- kind of the entry; NULL when it is about the words
    entry_id TEXT,                                                                     -- the entry it was made on; another reading may have given another id
    action TEXT NOT NULL CHECK (action IN ('text', 'set', 'add', 'strike', 'accept')), -- what is put right
    field TEXT,                                                                        -- the field that is set
    old TEXT,                                                                          -- what it replaced, as JSON; plain words for text
    new TEXT,                                                                          -- what it gives, as JSON; plain words for text
    at_s REAL,                                                                         -- second of the words it is about, from the start of the remark
    person TEXT,                                                                       -- who made it
    made TEXT NOT NULL,                                                                -- when; later ones are laid over earlier ones
    conflict TEXT                                                                      -- why it no longer fits; NULL while it fits
) STRICT;;
CREATE INDEX mend_job ON mend(job_id);;
CREATE TABLE decision ( -- what became of a proposal to replace, repair or reuse
    id TEXT PRIMARY KEY,                                                                        -- lasting id
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE,                                  -- the job
    entry_id TEXT,                                                                              -- the disposition it is about
    component TEXT,                                                                             -- the part
    position TEXT,                                                                              -- which one
    action TEXT NOT NULL,                                                                       -- replace, reuse ...
    state TEXT NOT NULL CHECK (state IN ('found', 'advised', 'approved', 'declined', 'asked')), -- how far it is
    person TEXT,                                                                                -- who decided
    made TEXT NOT NULL,                                                                         -- when
    note TEXT                                                                                   -- what was said about it
) STRICT;;
CREATE INDEX decision_job ON decision(job_id);;
CREATE TABLE place ( -- a bag, tray or shelf, and what is in it now, over all open jobs
    id TEXT PRIMARY KEY,                              -- lasting id
    name TEXT NOT NULL,                               -- bag 7, tray 2 ...
    job_id TEXT REFERENCES job(id) ON DELETE CASCADE, -- the job its contents belong to
    entry_id TEXT,                                    -- the entry that says so
    contents TEXT NOT NULL,                           -- JSON list
    put_at TEXT,                                      -- when they were put there
    emptied_at TEXT                                   -- when it was emptied; NULL while they are in it
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
