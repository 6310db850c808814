"""Views for people: whole sentences of the archive, a line each, in any SQLite browser.

Out: SQL statements, parted by ";;". Once released it is never changed.
"""

VIEW_SCHEMA = """
CREATE VIEW all_jobs AS -- every job, newest first
SELECT job.number AS job, machine.kind AS machine, machine.plate, job.owner_ref, job.reading, substr(job.opened, 1, 10) AS opened,
       substr(job.closed, 1, 10) AS closed, (SELECT count(*) FROM remark WHERE remark.job_id = job.id) AS remarks,
       (SELECT count(*) FROM photo WHERE photo.job_id = job.id) AS photos,
       (SELECT group_concat(DISTINCT person) FROM sitting WHERE sitting.job_id = job.id) AS people
FROM job JOIN machine ON machine.id = job.machine_id ORDER BY job.opened DESC;;
CREATE VIEW all_fasteners AS -- every fastener, a line each, newest first
SELECT job.number AS job, machine.kind AS machine, machine.plate, substr(job.opened, 1, 10) AS opened, entry.component AS holds, fastener.count,
       fastener.thread, fastener.form, fastener.length_mm, fastener.driver, fastener.state, fastener.heat, remark.text AS words, entry.doubt, entry.struck
FROM fastener JOIN entry ON entry.id = fastener.entry_id JOIN remark ON remark.id = entry.remark_id JOIN job ON job.id = entry.job_id
     JOIN machine ON machine.id = job.machine_id ORDER BY job.opened DESC, remark.ord, entry.ord;;
CREATE VIEW all_places AS -- where everything was put, a line each, newest first
SELECT job.number AS job, machine.kind AS machine, machine.plate, substr(job.opened, 1, 10) AS opened, storage.place, storage.contents,
       remark.text AS words, entry.doubt, entry.struck
FROM storage JOIN entry ON entry.id = storage.entry_id JOIN remark ON remark.id = entry.remark_id JOIN job ON job.id = entry.job_id
     JOIN machine ON machine.id = job.machine_id ORDER BY job.opened DESC, remark.ord, entry.ord
"""
