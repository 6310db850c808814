"""Words of a remark: text in, tokens out, each with its place in the text.

In: any text. Out: `Token`s in order; `text[token.start:token.end]` is the token.
Never changes the text and never raises.
"""

from __future__ import annotations

import itertools
import re
from dataclasses import dataclass
from fractions import Fraction

_PIECES = re.compile(
    r"""
      \d{1,3}(?:,\d{3})+(?!\d)(?:\.\d+)?      # 41,200
    | \d+/\d+                                 # 3/8
    | \d*\.\d+                                # .05  7.2
    | \d+
    | (?:[^\W\d_]{2,}in|[Nn]o|[Ww]i|[Aa]n|[Ee]ver|[Oo]|[Tt]|[Rr]oun)['’](?!\w)       # layin'  no'  wi'
    | (?:[^\W\d_]|[&°])+(?:['’][^\W\d_]+)*\.? # words with apostrophes; the full stop is cut off below
    | ['’][^\W\d_]+                           # 'em  's
    | \.\.\.
    | \S
    """,
    re.VERBOSE,
)
_CLITICS = re.compile(r"^(.+?)(['’](?:s|re|ve|ll|d|m))$", re.IGNORECASE)
_DIALECT = {
    "yin": "one", "yins": "ones", "wan": "one", "un": "one", "uns": "ones", "fae": "from", "frae": "from", "wi'": "with", "wi": "with", "tae": "to", "intae": "into",
    "oan": "on", "oot": "out", "doon": "down", "aff": "off", "o'": "of", "t'other": "other", "tother": "other", "summat": "something", "owt": "anything", "nowt": "nothing",
    "em": "them", "'em": "them", "ye": "you", "yer": "your", "youse": "you", "thon": "that", "yon": "that", "aye": "yes", "isnae": "isn't", "isna": "isn't",
    "wasnae": "wasn't", "arenae": "aren't", "didnae": "didn't", "doesnae": "doesn't", "dinnae": "don't", "dinna": "don't", "cannae": "can't", "canna": "can't", "couldnae": "couldn't",
    "wouldnae": "wouldn't", "hasnae": "hasn't", "havenae": "haven't", "wasna": "wasn't", "nae": "no", "naw": "no", "no'": "not", "an'": "and", "ever'": "every", "roun": "round", "roon": "round", "wean": "child", "'cept": "except", "lemme": "let", "gonna": "going", "oughta": "ought", "coulda": "could", "shoulda": "should", "woulda": "would", "musta": "must", "mighta": "might", "kinda": "rather", "sorta": "rather", "outta": "out", "nobbut": "only", "gotta": "got", "dunno": "don't", "ain't": "isn't",
    "ower": "over", "anither": "another", "baith": "both", "twa": "two", "yous": "you", "hisself": "himself", "theirselves": "themselves", "nivver": "never", "allus": "always",
    "abaht": "about", "dahn": "down", "rahnd": "round", "roond": "round", "roun'": "round", "awa": "away", "awa'": "away", "haud": "hold", "auld": "old", "guid": "good", "noo": "now", "gie": "give", "gies": "give", "gied": "gave", "weel": "well", "gey": "very", "wis": "was", "were's": "was", "hae": "have", "hid": "had", "efter": "after", "afore": "before", "gert": "great", "mebbe": "maybe", "mibbe": "maybe",  "aboot": "about",
    "t'": "the", "wi'out": "without", "wi'oot": "without", "withoot": "without", "feller": "fellow", "fella": "fellow", "acrost": "across", "thi": "your", "thy": "your", "meself": "myself", "mesel": "myself", "thissen": "yourself", "'ave": "have", "'as": "has", "'ad": "had", "'im": "him", "'er": "her",
    "'ole": "hole", "'oles": "holes", "'ead": "head", "'eads": "heads", "'ot": "hot", "'alf": "half", "'ere": "here", "'ammer": "hammer", "'ard": "hard", "'ub": "hub", "'ousing": "housing", "wor": "was", "worn't": "wasn't", "weren't": "wasn't", "nuthin'": "nothing", "nuthin": "nothing", "nothin'": "nothing", "summit": "something", "sommat": "something", "ole": "old", "ol'": "old", "th'": "the",
}  # fmt: skip
"""Words of a region, and the plain word that the rules know; the text itself stays as said. source: common usage (no source)"""
_BARE = {
    "thats": ("that", "'s"), "theres": ("there", "'s"), "heres": ("here", "'s"), "whats": ("what", "'s"), "hes": ("he", "'s"), "shes": ("she", "'s"), "whos": ("who", "'s"),
    "im": ("i", "'m"), "ive": ("i", "'ve"), "youve": ("you", "'ve"), "weve": ("we", "'ve"), "theyve": ("they", "'ve"), "theyre": ("they", "'re"), "youre": ("you", "'re"),
    "itll": ("it", "'ll"), "thatll": ("that", "'ll"), "youll": ("you", "'ll"), "theyll": ("they", "'ll"), "itd": ("it", "'d"), "youd": ("you", "'d"), "theyd": ("they", "'d"),
    "'twas": ("it", "was"), "twas": ("it", "was"), "'tis": ("it", "is"), "tis": ("it", "is"), "'twill": ("it", "will"), "'twere": ("it", "were"), "wheres": ("where", "'s"), "lets": ("let", "'s"),
}  # fmt: skip
"""Words run together by a recogniser that prints no apostrophes."""
_NOT = frozenset(
    "isnt arent wasnt werent dont doesnt didnt cant couldnt wouldnt shouldnt hasnt havent hadnt wont mustnt neednt aint".split()
)
_RUN_TOGETHER = _BARE.keys() | _NOT
_SHELL_NEXT = frozenset("go do be run last see need want have never not still".split())
_WHOLE = frozenset({"let's", "o'clock", "ma'am"})
_ABBREVIATIONS = frozenset({"mr.", "dr.", "st.", "no.", "approx.", "max.", "min."})


@dataclass(slots=True)
class Token:
    """One word, number or sign of a remark."""

    text: str
    low: str
    start: int
    end: int
    value: Fraction | None = None
    """Exact value when the token is a number in digits."""
    glued: bool = False
    """True when no space stands before it in the text ("7.2mm", "cross-threaded")."""
    hyphened: bool = False
    """True when a hyphen joins it to the word before ("drive-end")."""

    @property
    def is_word(self) -> bool:
        return self.low[:1].isalpha() or (self.low[:1] in "'&°" and self.low != "'")

    @property
    def is_number(self) -> bool:
        return self.value is not None


def is_plain_word(word: str) -> bool:
    """Tell whether a word stands as it is once a text is split: lower-case letters only, no word of a region."""
    return word.isascii() and word.isalpha() and word.islower() and word not in _DIALECT and word not in _RUN_TOGETHER


def split_words(text: str) -> list[Token]:
    """Split text into words, numbers and signs; clitics ("'s", "'ll") become words of their own.

    Hyphens inside words are passed over, so that "cross-threaded" and "cross threaded" are alike;
    hyphens between digits are kept ("1/4-20").
    """
    tokens: list[Token] = []
    joined = -1
    for found in _PIECES.finditer(text):
        piece, start = found.group(), found.start()
        low = piece.lower().replace("’", "'")
        if low[0].isdecimal() or (low[0] == "." and len(low) > 1 and low[1].isdecimal()):
            tokens.append(Token(piece, low, start, found.end(), _value_of(low), _glued(tokens, start)))
            continue
        if (
            low.endswith(".")
            and len(low) > 1
            and low != "..."
            and (low not in _ABBREVIATIONS or not text[found.end() :].strip())
        ):
            _add_word(tokens, piece[:-1], low[:-1], start)
            tokens.append(Token(".", ".", found.end() - 1, found.end(), None, True))
            continue
        if low in "-–" and _is_inside_word(text, start):
            joined = found.end()
            continue
        if tokens and tokens[-1].low == "re" and text[start - 1 : start] == "-" and tokens[-1].end == start - 1:
            last = tokens.pop()
            tokens.append(Token(text[last.start : found.end()], "re" + low, last.start, found.end(), None, last.glued))
            continue
        size = len(tokens)
        _add_word(tokens, piece, low, start)
        if joined == start and len(tokens) > size:
            tokens[size].hyphened = True
    return _split_its(_ands(tokens))


def _ands(tokens: list[Token]) -> list[Token]:
    """ "Lifting it an the other two are grand": an "an" before no vowel is "and"."""
    for token, after in itertools.pairwise(tokens):
        if token.low == "an" and after.low[:1].isalpha() and after.low[0] not in "aeiouhmnfslrx":
            token.low = "and"
    return tokens


_ITS_NEXT = frozenset(
    "neither a an the not no got had been gone all only just still very off out back in on too quite pretty".split()
)


def _split_its(tokens: list[Token]) -> list[Token]:
    """ "Its worn out": a bare "its" before what can only be said of a thing is "it's"."""
    out: list[Token] = []
    for at, token in enumerate(tokens):
        if token.low in ("its", "shell") and at + 1 < len(tokens):
            after = tokens[at + 1].low
            is_verb = after in (_ITS_NEXT if token.low == "its" else _SHELL_NEXT) or (
                token.low == "its"
                and after.endswith(("ed", "ing", "en", "rn", "nt"))
                and after
                not in (
                    "bearing",
                    "ring",
                    "spring",
                    "housing",
                    "end",
                    "casing",
                    "lining",
                    "coating",
                    "fitting",
                    "mounting",
                    "bushing",
                )
            )
            if is_verb:
                cut = token.start + (2 if token.low == "its" else 3)
                out.append(
                    Token(
                        token.text[: cut - token.start],
                        "it" if token.low == "its" else "she",
                        token.start,
                        cut,
                        None,
                        token.glued,
                    )
                )
                out.append(
                    Token(
                        token.text[cut - token.start :],
                        "'s" if token.low == "its" else "'ll",
                        cut,
                        token.end,
                        None,
                        True,
                    )
                )
                continue
        out.append(token)
    return out


def _add_word(tokens: list[Token], piece: str, low: str, start: int) -> None:
    if low in _NOT:
        low = low[:-1] + "'t" if low != "aint" else "isn't"
    low = _DIALECT.get(low, low)
    if low.endswith("in'") and len(low) > 4:
        low = low[:-1] + "g"
    if low.startswith(("t'", "th'")) and len(low) > 3:
        low = low.split("'", 1)[1]
    if low in _BARE and (bare := _BARE[low]):
        cut = len(piece) - len(bare[1].lstrip("'")) if len(piece) > len(bare[1]) else len(piece) // 2
        tokens.append(Token(piece[:cut], bare[0], start, start + cut, None, _glued(tokens, start)))
        tokens.append(Token(piece[cut:], bare[1], start + cut, start + len(piece), None, True))
        return
    clitic = None if low in _WHOLE else _CLITICS.match(low)
    if clitic and not low.endswith("n't"):
        cut = len(clitic.group(1))
        stem = _DIALECT.get(low[:cut], low[:cut])
        tokens.append(Token(piece[:cut], stem, start, start + cut, None, _glued(tokens, start)))
        tokens.append(Token(piece[cut:], low[cut:], start + cut, start + len(piece), None, True))
    else:
        tokens.append(Token(piece, low, start, start + len(piece), None, _glued(tokens, start)))


def _glued(tokens: list[Token], start: int) -> bool:
    return bool(tokens) and tokens[-1].end == start


def _is_inside_word(text: str, at: int) -> bool:
    before, after = text[at - 1 : at], text[at + 1 : at + 2]
    if not (before.isalnum() and after.isalnum()):
        return False
    return not (before.isdecimal() and after.isdecimal())


def _value_of(low: str) -> Fraction:
    plain = low.replace(",", "")
    if "/" in plain:
        top, bottom = plain.split("/")
        return Fraction(int(top[:12]), int(bottom[:12]) or 1)
    if len(plain) > 24:
        plain = plain[:24]
    return Fraction(plain)
