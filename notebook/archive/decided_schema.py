"""What decisions, places that are emptied, and labels add to the archive, told column by column.

Out: SQL statements, parted by ";;". Once released it is never changed. Times are ISO 8601 in UTC.
What is in a place now is worked out from what was said, so that it can never differ from it: the table for it goes.
A table whose check is to know one word more has to be made anew; it is not renamed, for a view speaks of it.
"""

DECIDED_SCHEMA = """
ALTER TABLE decision ADD COLUMN noted_by TEXT /* who wrote it down */
;;
ALTER TABLE decision ADD COLUMN settles INTEGER NOT NULL DEFAULT 0 /* 1 when it puts an end to what was decided before it */
;;
CREATE TABLE decided ( -- a decision that was said
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE, -- the entry that this row completes
    state TEXT NOT NULL,                                              -- advised, approved, declined, asked
    action TEXT,                                                      -- replace, rework ...; NULL when it was not said, so as advised
    by_whom TEXT,                                                     -- owner, or the name said; NULL for who spoke
    settles INTEGER                                                   -- 1 when it was said to put an end to what was decided before
) STRICT;;
CREATE TABLE promise ( -- what the owner was promised
    entry_id TEXT PRIMARY KEY REFERENCES entry(id) ON DELETE CASCADE, -- the entry that this row completes
    text TEXT NOT NULL,                                               -- as said
    by_when TEXT                                                      -- the day, as said
) STRICT;;
ALTER TABLE storage ADD COLUMN action TEXT /* moved, taken out, emptied, used again; NULL when things were put there */
;;
ALTER TABLE photo ADD COLUMN labels_shown TEXT /* what the labels in the picture say, one a line: job and place */
;;
CREATE TEMP TABLE kept_link AS SELECT photo_id, remark_id, how, confidence FROM link;;
DROP TABLE link;;
CREATE TABLE link ( -- a photo and a remark that it shows
    photo_id TEXT NOT NULL REFERENCES photo(id) ON DELETE CASCADE,             -- the photo
    remark_id TEXT NOT NULL REFERENCES remark(id) ON DELETE CASCADE,           -- the remark
    how TEXT NOT NULL CHECK (how IN ('cue', 'time', 'card', 'hand', 'label')), -- how that is known
    confidence REAL NOT NULL,                                                  -- how sure it is, 0 to 1
    PRIMARY KEY (photo_id, remark_id)
) STRICT;;
CREATE INDEX link_remark ON link(remark_id);;
INSERT INTO link SELECT * FROM kept_link;;
DROP TABLE temp.kept_link;;
DROP TABLE place;;
CREATE VIEW all_decisions AS -- every decision that was written down, a line each, newest first
SELECT job.number AS job, machine.kind AS machine, machine.plate, substr(decision.made, 1, 10) AS day, decision.component, decision.position,
       decision.action, decision.state, decision.person, decision.noted_by, decision.note AS words
FROM decision JOIN job ON job.id = decision.job_id JOIN machine ON machine.id = job.machine_id
UNION ALL
SELECT job.number, machine.kind, machine.plate, substr(coalesce(remark.at, job.opened), 1, 10), entry.component, entry.position,
       coalesce(decided.action, 'as advised'), decided.state, decided.by_whom, remark.person, remark.text
FROM decided JOIN entry ON entry.id = decided.entry_id JOIN remark ON remark.id = entry.remark_id JOIN job ON job.id = entry.job_id
     JOIN machine ON machine.id = job.machine_id
WHERE entry.struck = 0 ORDER BY 4 DESC, 1, 5
"""
