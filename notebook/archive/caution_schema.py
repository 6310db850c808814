"""What having read a usual caution adds to the archive, told column by column.

Out: SQL statements, parted by ";;". Once released it is never changed. Times are ISO 8601 in UTC.
"""

CAUTION_SCHEMA = """
CREATE TABLE caution_read ( -- a usual caution that somebody has read for a job
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE, -- the job
    words TEXT NOT NULL,                                       -- the caution, word for word; one that is worded anew counts as not read
    person TEXT,                                               -- who read it, when said
    made TEXT NOT NULL,                                        -- when
    PRIMARY KEY (job_id, words)
) STRICT
"""
