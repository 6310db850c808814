"""The log of a job: remarks, entries, photos and mends brought together into parts, in the order they came off."""
