"""Words of event logs: free throws, makes, misses, kinds of a trip, in the trade's languages."""

from __future__ import annotations

import re
from collections.abc import Mapping

from ledger.intake.words import STARTER, normal_word

FREE_THROW = re.compile(
    r"(?i)\b(?:free[ _-]?throws?|freethrows?|ft|fts|foul shots?|frees|tiros? libres?|"
    r"lancers? francs?|freiw[uü]rfe?|tir[oi] liber[oi]|lances? livres?|serbest atış(?:ı|lar)?|"
    r"rzut(?:y|u)? (?:wolny|wolne|osobisty|osobiste)|slobodn[oa] bacanj[ea]|"
    r"baudos? metim(?:as|ai)|trestn[ýé] hod(?:y)?|vrijeworp|straffkast)\b|"
    r"자유투|フリースロー|罚球|罰球|штрафн\w+|βολ[ήέ]\w*"
)
# Codes in which the last letter may be a result or an attempt: never split by themselves.
FREE_THROW_CODE = re.compile(r"(?i)^(?:ft|tl|lf|fw)[ _-]?(?:[a-z]{0,6}|[+-])$|^1(?:p|pt)[+-]?$")

_MADE = """made|makes|make|good|scored|scores|converted|converts|sinks|sunk|hit|hits|successful|
    success|anotado|anotada|convertido|convertida|encestado|acierto|reussi|réussi|marqué|marque|
    treffer|verwandelt|getroffen|erfolgreich|segnato|realizzato|canestro|isabet|isabetli|
    başarılı|celny|trafiony|pogođeno|pogodak|pataikyta|성공|成功|命中|забит|точно|εύστοχη|raak"""
_MISSED = """missed|misses|miss|no good|failed|fails|unsuccessful|fallado|fallada|errado|fallo|
    falla|manqué|manque|raté|rate|daneben|vergeben|verfehlt|fehlwurf|verworfen|sbagliato|errato|
    fuori|falhado|perdido|kaçtı|isabetsiz|başarısız|niecelny|spudłowany|promašeno|promašaj|
    nepataikyta|실패|失敗|失败|不中|промах|мимо|άστοχη|mis|not made|off target"""
# May be a miss, or any attempt whatever became of it.
DOUBTFUL = re.compile(
    r"(?i)\b(?:attempt(?:s|ed)?|att|tries|tried|intento|intentado|versuch|tentative|tentativo|"
    r"tentativa|deneme|próba|pokušaj)\b|시도|試投"
)
TRIP_KINDS: Mapping[str, tuple[str, ...]] = {
    "technical": ("technical", "tech", "técnico", "tecnico", "technique", "technisch", "teknik"),
    "flagrant": ("flagrant", "unsportsmanlike", "antideportivo", "antisportif", "antisportivo"),
    "one_and_one": ("one and one", "1 and 1", "one-and-one", "1-and-1", "bonus 1+1"),
}


def _set(words: str) -> frozenset[str]:
    return frozenset(normal_word(" ".join(w.split())) for w in words.split("|"))


_MADE_SET, _MISSED_SET = _set(_MADE), _set(_MISSED)
_USUAL = {
    normal_word(word): value
    for value, spelled in STARTER["made"].items()
    for word in (value, *spelled)
}


def result(word: str) -> str | None:
    """`yes` or `no` for a word that says made or missed in some language, else `None`.

    >>> result("ANOTADO"), result("MISS"), result("attempt")
    ('yes', 'no', None)
    """
    form = normal_word(word)
    if form in _USUAL:
        return _USUAL[form]
    if form in _MADE_SET:
        return "yes"
    return "no" if form in _MISSED_SET else None


def is_usual(word: str) -> bool:
    """Whether the ledger knows the word without being told."""
    return normal_word(word) in _USUAL


def _alternation(words: frozenset[str]) -> str:
    return "|".join(
        re.escape(word).replace("\\ ", "[ _-]") for word in sorted(words, key=len, reverse=True)
    )


# Single letters and digits would be found within anything: only whole words of two letters on.
RESULT = re.compile(
    rf"(?i)(?<!\w)(?:{_alternation(frozenset(w for w in _MADE_SET | _MISSED_SET if len(w) > 1))}|"
    rf"attempt(?:s|ed)?|att)(?!\w)"
)


def trip_kind(word: str) -> str | None:
    """What gave a trip, by a word of a text."""
    form = normal_word(word)
    for value, words in TRIP_KINDS.items():
        if form in {normal_word(w) for w in words}:
            return value
    return None


TRIP_KIND = re.compile(
    "(?i)(?<!\\w)(?:"
    + "|".join(
        re.escape(word).replace("\\ ", " ").replace("\\-", "-")
        for words in TRIP_KINDS.values()
        for word in sorted(words, key=len, reverse=True)
    )
    + ")(?!\\w)"
)
