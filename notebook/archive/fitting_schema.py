"""What following parts through their machine's jobs adds to the archive, told column by column.

Out: SQL statements, parted by ";;". Once released it is never changed.
"""

FITTING_SCHEMA = """
ALTER TABLE fitting ADD COLUMN last_good_value TEXT /* clock when it was last seen good, exact; same unit as fitted */
;;
ALTER TABLE fitting ADD COLUMN exact_life TEXT /* how long it had run when it failed, where that was said */
;;
ALTER TABLE fitting ADD COLUMN job_ids TEXT NOT NULL DEFAULT '[]' /* JSON: the jobs that saw it, in order */
;;
CREATE INDEX fitting_component ON fitting(component)
"""
