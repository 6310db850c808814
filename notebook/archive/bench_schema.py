"""What listening at the bench adds to the archive, told column by column.

Out: SQL statements, parted by ";;". Once released it is never changed. Times are ISO 8601 in UTC.
"""

BENCH_SCHEMA = """
CREATE TABLE outage ( -- a while in a sitting in which nothing could be heard, or sound could not be kept
    id TEXT PRIMARY KEY,                                       -- lasting id
    job_id TEXT NOT NULL REFERENCES job(id) ON DELETE CASCADE, -- the job
    sitting_id TEXT NOT NULL REFERENCES sitting(id),           -- the sitting
    began TEXT NOT NULL,                                       -- from when
    ended TEXT NOT NULL,                                       -- until when
    why TEXT NOT NULL                                          -- microphone lost, disk full ...
) STRICT;;
CREATE INDEX outage_job ON outage(job_id);;
CREATE TABLE unsettled ( -- words of a remark that the ear could also take for others, where that changes a negation, a number or a count
    remark_id TEXT NOT NULL REFERENCES remark(id) ON DELETE CASCADE, -- the remark
    text_start INTEGER NOT NULL,                                     -- first character in its text
    text_end INTEGER NOT NULL,                                       -- character after the last
    what TEXT NOT NULL,                                              -- what else it may be, in words
    PRIMARY KEY (remark_id, text_start)
) STRICT, WITHOUT ROWID
"""
