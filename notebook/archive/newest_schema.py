"""An index of the jobs, newest first, with all that a question asks of them.

Out: SQL statements, parted by ";;". Once released it is never changed.
"""

NEWEST_SCHEMA = """
CREATE INDEX job_newest ON job(opened, id, n, machine_id, clock);;
DROP INDEX job_opened
"""
