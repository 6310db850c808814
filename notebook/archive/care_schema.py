"""What care of the archive adds to it, told column by column.

Out: SQL statements, parted by ";;". Once released it is never changed. Times are ISO 8601 in UTC.
"""

CARE_SCHEMA = """
CREATE TABLE backup ( -- a backup that was made of this shop, so that a forgotten job's other copies can be named
    path TEXT PRIMARY KEY,        -- where it was put
    made TEXT NOT NULL,           -- when
    sha256 TEXT NOT NULL,         -- SHA-256 of the file but for its last 64 bytes, which say the same
    newest_job_n INTEGER NOT NULL -- it holds every job up to this number
) STRICT
"""
