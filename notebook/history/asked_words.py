"""The words of questions: how they ask, compare, and fill a sentence without asking for anything.

Out: word lists and patterns. source: common practice (no source)
"""

from __future__ import annotations

import re

ASKS = (
    ("when first", re.compile(r"\b(?:when (?:did|was|were|had|have) (?:\w+ ){0,3}first|first time)\b")),
    ("when last", re.compile(r"\b(?:when(?:'s| is| was| did| have| had| were)? (?:the )?(?:\w+ ){0,4}last(?: time)?|last time|most recent(?:ly)?|how long (?:ago|since)|latest)\b")),
    ("how often", re.compile(r"\b(?:how (?:often|frequently|common|commonly|regularly|many times)(?:'s)?|what (?:share|proportion|percentage|percent|fraction|part) of)\b")),
    ("how many", re.compile(r"\b(?:how many|number of|count(?: of| the| up)?|how much of)\b")),
    ("where", re.compile(r"\b(?:where(?:'s|'ve|'d|abouts)?)\b")),
    ("who", re.compile(r"\b(?:who(?:'s|se)?)\b")),
)  # fmt: skip
"""In this order; "where" after the rest, for it also joins ("jobs where the springs were fine")."""

IDLE = frozenset(
    (
        "which what who whom whose when where how many much often did do does done doing was is are were be been being am have has had having "
        "the a an of on in at to for from with by and or but any all some every each ever never both either than then too also so as if it its it's "
        "jobs job ones one machines machine we i you us me my our your they them their he she his her him that those this these there here "
        "show find list give tell get got let look looked looking see seen saw met meet come came across know known check checked checks checking "
        "find found finding had've've 've 's 'd 'll 're 'm us please can could would should will shall want wanted need like uh um er "
        "kit stuff thing things anything anybody anyone somebody someone something everything everybody everyone nobody nothing else only just really "
        "actually ever once before again still already time times note noted notes record recorded records say said says people folk owt summat nowt "
        "what's which's who's where's there's that's any's past through door bring brought arrive arrived take taken took put went go going gone goes "
        "turned turn up out off over us folks right well now ok okay yes no not year years month months week weeks day days long ago "
        "have we not kind kinds sort type types part parts bit bits problem problems fault faults trouble wrong damage damaged issue issues "
        "measured measure measuring measurement measures reading readings read size sizes amount clock meter hour hours held hold holds holding used use "
        "more less least most number share proportion percentage percent fraction first last latest recent recently previous previously "
        "did't didn't don't ? . , ! ; : - ' \" ( ) and/or ain't every' ya ye yer wi' some' ones' gear's of' across' history past' "
        "safety to do regarding about concerning related regard us' reported report reports came' show' me' bench shop workshop work worked ask"
    ).split()
)
"""Words that ask for nothing by themselves."""

NOT = ("no", "not", "weren't", "wasn't", "without", "never", "didn't", "isn't", "aren't", "hadn't", "haven't", "none", "neither")  # fmt: skip
MAYBE = ("might", "maybe", "possibly", "perhaps", "suspected", "could", "may", "suspect", "possible")  # fmt: skip

ABOVE = ("over", "above", "more than", "greater than", "bigger than", "larger than", "exceeding", "exceeded", "beyond", "past", "upwards of", "in excess of", "higher than", "north of", "longer than", "thicker than", "wider than", "deeper than", "heavier than", "further than", "hotter than", "faster than", ">")  # fmt: skip
BELOW = ("under", "below", "less than", "fewer than", "smaller than", "lower than", "short of", "thinner than", "shorter than", "narrower than", "shallower than", "lighter than", "cooler than", "slower than", "south of", "<")  # fmt: skip
AT_LEAST = ("at least", "not less than", "no less than", "minimum of", "or more", "or over", "and up", "and over", "upwards", ">=", "from")  # fmt: skip
AT_MOST = ("at most", "not more than", "no more than", "up to", "maximum of", "or less", "or under", "not over", "<=")  # fmt: skip
SIZE_OF = {
    "thicker": "thickness", "thinner": "thickness", "longer": "length", "shorter": "length", "wider": "width", "narrower": "width",
    "deeper": "depth", "shallower": "depth", "heavier": "mass", "lighter": "mass", "hotter": "temperature", "cooler": "temperature",
}  # fmt: skip
PLAIN_QUANTITIES = frozenset(
    "diameter thickness clearance backlash run-out protrusion preload torque ovality flatness taper pitch".split()
) | {"end float", "across flats"}
"""Quantities that ask for a measurement without an amount; "play", "wear" and "load" are also said of faults."""

NOT_LOOKED = re.compile(
    r"\b(?:(?:couldn't|could not|can't|cannot|didn't|did not|wouldn't|not|never|haven't|hadn't|weren't|wasn't|unable to) (?:\w+ ){0,3}?(?:look(?:ed)?|inspect(?:ed)?|get at|get to|see(?:n)?|check(?:ed)?|reach(?:ed)?)(?: at| to| into)?|uninspected|not inspected|out of reach)\b"
)
POSITION = re.compile(
    r"\b(?:(?:on|at|of|to|from) )?(?:the |its |their )?((?:left|right|near|off|drive|driven|non-drive|inlet|exhaust|outlet|inner|outer|front|rear|upper|lower|top|bottom|inboard|outboard|fixed|free|operator|engine)(?: hand)? (?:side|end|one|hand)|left|right|inboard|outboard|nearside|offside|top|bottom|inner|outer|inlet|exhaust|front|rear|number (?:\d+|one|two|three|four|five|six|seven|eight))\b(?: side| end| one)?"
)
KINDS_SAID = (
    ("caution", re.compile(r"\b(?:(?:safety )?warnings?|cautions?|dangers?|dangerous|hazards?|careful)\b")),
    ("tip", re.compile(r"\b(?:tips?|tricks?|advice|knack)\b")),
    ("tool", re.compile(r"\b(?:tools?|pullers?|which spanner|what spanner|what socket|which socket)\b")),
)
HELD = re.compile(
    r"\b(?:what|which|how) (?:\w+ )?(?:held|holds|holding|hold|secures|secured|fixes|fastens|fastened|bolted)\b|\b(?:held|bolted) (?:on|down|together)\b"
)
PLACE = re.compile(
    r"\b({containers})(?:s)?(?: number| no\.?)? ?(\d+|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)\b"
)
RAN = re.compile(r"\b(?:ran|run|lasted|last|done|did|life|lived)\b")
FAMILIES = {
    "broken": ("broken", "sheared"),
    "cracked": ("cracked", "hairline"),
    "leaking": ("leaking", "weeping", "seeping", "leaking past"),
    "corroded": ("corroded", "rusty", "rusted solid"),
    "rusty": ("rusty", "rusted solid", "corroded"),
    "seized": ("seized", "rusted solid", "locked up"),
    "worn": ("worn", "worn out", "slightly worn", "worn to a point"),
}  # fmt: skip
"""What a word asks for beside itself: a seal that weeps leaks."""
SPECIALIST = re.compile(
    r"\b(?:(?:went|gone|go|goes|sent|send|sending|shipped|posted) (?:\w+ )?(?:out|away|off)(?: to| for)?(?: the)?(?: specialists?| somebody else| someone else)?(?: to do)?|to the specialists?)\b"
)
KEPT = re.compile(
    r"\b(?:re-?used?|reusing|(?:went|goes|go|gone|going) (?:back in|back on|again)|put back(?: in| on)?|refitted|refit)\b"
)
OPENING = frozenset("and so ok okay right well now tell me us say hey please then |".split())
MACHINE_SLANG = {
    "genny": ("generator",), "gennie": ("generator",), "genset": ("generator",), "digger": ("excavator",), "comp": ("compressor",),
    "strimmer": ("brush cutter",), "lawnmower": ("mower",), "dumper": ("dump truck", "site dumper"), "fork truck": ("forklift",),
}  # fmt: skip
