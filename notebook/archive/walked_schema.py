"""What the way back and how it turned out add to the archive, told column by column.

Out: SQL statements, parted by ";;". Once released it is never changed. Times are ISO 8601 in UTC.
"""

WALKED_SCHEMA = """
CREATE TABLE rebuild_sitting ( -- sittings in which a machine was put together; what was said in them is no part of the order it came off
    sitting_id TEXT PRIMARY KEY REFERENCES sitting(id) ON DELETE CASCADE, -- the sitting
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE             -- its job
) STRICT;;
CREATE TABLE rebuild_tick ( -- what was said of a step of the rebuild; the last one of a step counts
    id TEXT PRIMARY KEY,                                             -- a lasting id
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE,       -- the job
    component TEXT NOT NULL,                                         -- the part that the step puts on, by name
    position TEXT,                                                   -- which one
    state TEXT NOT NULL CHECK (state IN ('done', 'torque set', 'skipped', 'open', 'said')), -- open: not done after all; said: something said at the step, that ticks nothing
    words TEXT NOT NULL,                                             -- as said, or why it was skipped
    doubts TEXT NOT NULL DEFAULT '[]',                               -- JSON: what differs from the sheet or the limits
    person TEXT,                                                     -- who said it
    made TEXT NOT NULL,                                              -- when
    said_in TEXT REFERENCES remark(id) ON DELETE SET NULL            -- the remark that says it; NULL when it was written down
) STRICT;;
CREATE INDEX rebuild_tick_job ON rebuild_tick(job_id, made);;
CREATE TABLE outcome ( -- how a job turned out afterwards
    id TEXT PRIMARY KEY,                                        -- a lasting id
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE,  -- the job
    how TEXT NOT NULL CHECK (how IN ('ran', 'came back')),      -- it ran well up to then, or came back
    component TEXT,                                             -- the part that was wrong; NULL when it is about the whole machine
    position TEXT,                                              -- which one
    condition TEXT,                                             -- how the part was
    words TEXT NOT NULL DEFAULT '',                             -- as said
    reading TEXT,                                               -- what the clock showed, as said ("2160 h")
    person TEXT,                                                -- who said it
    made TEXT NOT NULL                                          -- when it was written down
) STRICT;;
CREATE INDEX outcome_job ON outcome(job_id, made);;
CREATE VIEW all_outcomes AS -- how jobs turned out, a line each, newest first
SELECT job.number AS job, machine.kind AS machine, machine.plate, substr(outcome.made, 1, 10) AS day, outcome.how, outcome.component,
       outcome.position, outcome.condition, outcome.reading, outcome.person, outcome.words
FROM outcome JOIN job ON job.id = outcome.job_id JOIN machine ON machine.id = job.machine_id ORDER BY outcome.made DESC, job.number;;
CREATE VIEW all_rebuild_steps AS -- what was said of each step of a rebuild, newest first
SELECT job.number AS job, machine.kind AS machine, machine.plate, substr(rebuild_tick.made, 1, 10) AS day, rebuild_tick.component,
       rebuild_tick.position, rebuild_tick.state, rebuild_tick.person, rebuild_tick.words, rebuild_tick.doubts
FROM rebuild_tick JOIN job ON job.id = rebuild_tick.job_id JOIN machine ON machine.id = job.machine_id ORDER BY rebuild_tick.made DESC, job.number
"""
