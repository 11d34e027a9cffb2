"""Numbers of a machine that sentences state: `Clamp force 900 kN. Heating power: 9.6 kW.`"""

from __future__ import annotations

import re
from collections.abc import Iterator

from evenbarrel.intake.keys import DatumKey
from evenbarrel.intake.sentences.scope import LONGEST
from evenbarrel.intake.tables.labels import is_measured, is_money, read_label
from evenbarrel.intake.tables.values import begins_a_value

_APART = re.compile(r", (?=[^\W\d_])| (?:and|und|et|ed|e|y) (?=[^\W\d_])")
_LEADS = re.compile(r"^(?:[:=]|(?:is|of|ist|beträgt|von|est|de|è|di|es|a)\b)\s*", re.IGNORECASE)
_LEAD_BEHIND = re.compile(r"[\s:=]+(?:is|of|ist|beträgt|von|est|de|è|di|es)?$", re.IGNORECASE)
_MOST_WORDS = 6
"""Of a label."""


def numbers_in(sentence: str) -> Iterator[tuple[DatumKey, str]]:
    """Yield the data that a sentence begins its clauses with, each with the text of its number.

    The label has to be a known wording and nothing else, and the rest of its clause the number.
    """
    if len(sentence) > LONGEST:
        return
    for clause in _APART.split(sentence):
        words = clause.split()
        for count in range(min(len(words) - 1, _MOST_WORDS), 0, -1):
            label = read_label(_LEAD_BEHIND.sub("", " ".join(words[:count])))
            rest = _LEADS.sub("", " ".join(words[count:]))
            key = label.keys[0] if label.exact and len(label.keys) == 1 else None
            if key and is_measured(key) and not is_money(key) and begins_a_value(rest):
                yield key, rest
                break
