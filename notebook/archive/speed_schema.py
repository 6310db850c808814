"""What asking a large archive quickly adds to it, told column by column.

Out: SQL statements, parted by ";;". Once released it is never changed.
"""

SPEED_SCHEMA = """
CREATE INDEX machine_kind_id ON machine(kind, id);;
DROP INDEX machine_kind;;
CREATE INDEX job_of_machine ON job(machine_id, opened, n);;
DROP INDEX job_machine;;
CREATE INDEX job_by_id ON job(id, opened, n);;
CREATE INDEX job_by_n ON job(n, number);;
CREATE TABLE spoken_in ( -- the job of each remark, by their short numbers; made from the other tables
    remark_n INTEGER PRIMARY KEY REFERENCES remark(n) ON DELETE CASCADE, -- the remark
    job_n INTEGER NOT NULL                                               -- the job
) STRICT;;
INSERT INTO spoken_in(remark_n, job_n) SELECT remark.n, job.n FROM remark JOIN job ON job.id = remark.job_id;;
CREATE TRIGGER spoken_in_added AFTER INSERT ON remark BEGIN
    INSERT INTO spoken_in(remark_n, job_n) SELECT new.n, job.n FROM job WHERE job.id = new.job_id;
END
"""
