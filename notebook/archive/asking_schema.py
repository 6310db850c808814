"""What asking the archive adds to it, told column by column.

Out: SQL statements, parted by ";;". Once released it is never changed.

`told` lays every entry out for asking: one row for each name that its part answers to and one for the empty name, which
stands for any part, newest job last within each, so that a question reads one stretch of its key. It is made from the
other tables and can be made again (`teardown reread`). The views at the end are for people: an SQLite browser shows
whole sentences of the archive in them.
"""

ASKING_SCHEMA = """
ALTER TABLE job ADD COLUMN n INTEGER /* its short number inside the archive, for counting only */
;;
UPDATE job SET n = counted.n FROM (SELECT id, row_number() OVER (ORDER BY opened, id) AS n FROM job) AS counted WHERE counted.id = job.id;;
CREATE UNIQUE INDEX job_n ON job(n);;
CREATE TRIGGER job_gets_n AFTER INSERT ON job WHEN new.n IS NULL BEGIN
    UPDATE job SET n = (SELECT coalesce(max(n), 0) + 1 FROM job) WHERE id = new.id;
END;;
ALTER TABLE job ADD COLUMN clock REAL AS (CASE WHEN reading GLOB '[0-9]*' THEN CAST(replace(reading, ',', '') AS REAL) END) /* number at the start of its reading */
;;
CREATE INDEX job_clock ON job(clock);;
CREATE INDEX job_owner ON job(owner_ref COLLATE NOCASE);;
CREATE INDEX machine_kind ON machine(kind);;
CREATE INDEX machine_plate ON machine(plate COLLATE NOCASE);;
CREATE INDEX sitting_person ON sitting(person, job_id);;
DROP INDEX finding_condition;;
DROP INDEX disposition_action;;
DROP INDEX fastener_thread;;
CREATE TABLE told ( -- every entry that counts, laid out for asking: once for each name that its part answers to, and once for any part
    name TEXT NOT NULL,                                               -- a name of the part ("return spring", "spring"), the form of a fastener, or '' for any part
    kind TEXT NOT NULL,                                               -- finding, disposition, measurement, fastener, storage ...
    what TEXT NOT NULL,                                               -- condition, action, quantity, thread, place ...; '' when not said
    how TEXT NOT NULL,                                                -- presence of a finding, role of a measurement; '' for the rest
    opened INTEGER NOT NULL,                                          -- when the job was opened, in seconds since 1970
    job_n INTEGER NOT NULL,                                           -- the job
    remark_n INTEGER NOT NULL REFERENCES remark(n) ON DELETE CASCADE, -- the remark
    ord INTEGER NOT NULL,                                             -- place of the entry in the remark
    position TEXT,                                                    -- which one or where, as said
    low REAL,                                                         -- least amount, in the SI unit
    high REAL,                                                        -- greatest amount, in the SI unit
    more TEXT,                                                        -- states of a fastener, unit of a mileage
    PRIMARY KEY (name, kind, what, how, opened, job_n, remark_n, ord)
) STRICT, WITHOUT ROWID;;
CREATE INDEX told_remark ON told(remark_n);;
CREATE TRIGGER told_goes AFTER DELETE ON entry BEGIN
    DELETE FROM told WHERE remark_n = (SELECT n FROM remark WHERE id = old.remark_id) AND ord = old.ord;
END;;
CREATE TEMP TABLE laid AS
SELECT entry.kind, entry.component, entry.position, entry.ord, entry.id AS entry_id, remark.n AS remark_n, job.n AS job_n,
       CAST(strftime('%s', job.opened) AS INTEGER) AS opened,
       coalesce(finding.condition, disposition.action, measurement.quantity, fastener.thread, lower(storage.place), mileage.role, step.action, '') AS what,
       coalesce(finding.presence, measurement.role, '') AS how,
       coalesce(measurement.si, measurement.si_low, CAST(mileage.value AS REAL)) AS low,
       coalesce(measurement.si, measurement.si_high, CAST(mileage.value AS REAL)) AS high,
       coalesce(fastener.state, mileage.unit) AS more, fastener.form, storage.contents
FROM entry JOIN remark ON remark.id = entry.remark_id JOIN job ON job.id = entry.job_id
     LEFT JOIN finding ON finding.entry_id = entry.id LEFT JOIN disposition ON disposition.entry_id = entry.id
     LEFT JOIN measurement ON measurement.entry_id = entry.id LEFT JOIN fastener ON fastener.entry_id = entry.id
     LEFT JOIN storage ON storage.entry_id = entry.id LEFT JOIN mileage ON mileage.entry_id = entry.id
     LEFT JOIN step ON step.entry_id = entry.id
WHERE entry.struck = 0;;
INSERT OR IGNORE INTO told
SELECT name, kind, what, how, opened, job_n, remark_n, ord, position, low, high, more FROM (
    SELECT '' AS name, laid.* FROM laid
    UNION ALL SELECT answers_to.name, laid.* FROM laid JOIN answers_to USING (entry_id)
    UNION ALL SELECT lower(laid.component), laid.* FROM laid WHERE laid.component IS NOT NULL
    UNION ALL SELECT lower(laid.form), laid.* FROM laid WHERE laid.form IS NOT NULL
    UNION ALL SELECT lower(put.value), laid.* FROM laid, json_each(laid.contents) AS put WHERE laid.contents IS NOT NULL
);;
DROP TABLE temp.laid;;
DROP TABLE answers_to;;
CREATE VIEW all_findings AS -- what was found wrong or right, a line each, newest first
SELECT job.number AS job, machine.kind AS machine, machine.plate, substr(job.opened, 1, 10) AS opened, entry.component, entry.position,
       CASE finding.presence WHEN 'absent' THEN 'not ' WHEN 'possible' THEN 'perhaps ' ELSE '' END || finding.condition AS found,
       finding.count, finding.of_count, finding.degree, remark.text AS words, entry.doubt, entry.struck
FROM finding JOIN entry ON entry.id = finding.entry_id JOIN remark ON remark.id = entry.remark_id JOIN job ON job.id = entry.job_id
     JOIN machine ON machine.id = job.machine_id ORDER BY job.opened DESC, remark.ord, entry.ord;;
CREATE VIEW all_measurements AS -- every size and amount, a line each, newest first
SELECT job.number AS job, machine.kind AS machine, machine.plate, substr(job.opened, 1, 10) AS opened, entry.component, entry.position, measurement.role,
       measurement.quantity, coalesce(measurement.value, measurement.low || ' to ' || measurement.high) AS amount, measurement.unit, remark.text AS words,
       entry.doubt, entry.struck
FROM measurement JOIN entry ON entry.id = measurement.entry_id JOIN remark ON remark.id = entry.remark_id JOIN job ON job.id = entry.job_id
     JOIN machine ON machine.id = job.machine_id ORDER BY job.opened DESC, remark.ord, entry.ord;;
CREATE VIEW all_dispositions AS -- what was to happen to each part, a line each, newest first
SELECT job.number AS job, machine.kind AS machine, machine.plate, substr(job.opened, 1, 10) AS opened, entry.component, entry.position, disposition.action,
       disposition.count, disposition.done, remark.text AS words, entry.doubt, entry.struck
FROM disposition JOIN entry ON entry.id = disposition.entry_id JOIN remark ON remark.id = entry.remark_id JOIN job ON job.id = entry.job_id
     JOIN machine ON machine.id = job.machine_id ORDER BY job.opened DESC, remark.ord, entry.ord;;
CREATE VIEW all_remarks AS -- everything that was said, newest first
SELECT job.number AS job, machine.kind AS machine, machine.plate, substr(job.opened, 1, 10) AS opened, remark.ord AS remark, remark.at, remark.person,
       remark.text AS words, (SELECT group_concat(photo.name, ', ') FROM link JOIN photo ON photo.id = link.photo_id WHERE link.remark_id = remark.id) AS photos
FROM remark JOIN job ON job.id = remark.job_id JOIN machine ON machine.id = job.machine_id ORDER BY job.opened DESC, remark.ord
"""
