"""What the sync card and looking at photos add to the archive, told column by column.

Out: SQL statements, parted by ";;". Once released it is never changed. Times are ISO 8601 in UTC.
"""

PHOTO_SCHEMA = """
ALTER TABLE photo ADD COLUMN card_shown TEXT /* time on the sync card in the picture, when there is one in it */
;;
ALTER TABLE photo ADD COLUMN kept_loose INTEGER NOT NULL DEFAULT 0 /* 1 when a person said it is of no remark */
"""
