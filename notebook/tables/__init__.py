"""The shop's tables: threads, hexagons, keys, torque guide, engagement, units, cautions, names of damage.

In: a name as it is said or printed ("3/8 BSF", "17 mm spanner", "lbf·ft"). Out: rows of published
tables, each with its source and how far it is to be trusted, and doubts about what does not exist or fit.
Never reads a file outside the package, never changes what was said, never picks silently among several.
"""
