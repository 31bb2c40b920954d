"""Keys: how a settings file writes them, how a reader knows them, what other layouts give."""

from __future__ import annotations

import string
import unicodedata

# The same physical key under other layouts, row by row of the keyboard.
_LATIN = "qwertyuiopasdfghjklzxcvbnm"
_LAYOUTS = (
    "йцукенгшщзфывапролдячсмить",
    "ςςερτυθιοπασδφγηξκλζχψωβνμ",
    "ㅂㅈㄷㄱㅅㅛㅕㅑㅐㅔㅁㄴㅇㄹㅎㅗㅓㅏㅣㅋㅌㅊㅍㅠㅜㅡ",
)
# Names of signs that the screens' library shortens.
_SHORT = {
    "solidus": "slash", "reverse_solidus": "backslash", "commercial_at": "at",
    "hyphen_minus": "minus", "plus_sign": "plus", "low_line": "underscore",
}  # fmt: skip


def _named(sign: str) -> str:
    name = unicodedata.name(sign, sign).lower().replace("-", "_").replace(" ", "_")
    return _SHORT.get(name, name)


# The signs of a keyboard by their names, as the screens know them.
_SIGNS = {_named(sign): sign for sign in (" ", *string.punctuation)}
_SHOWN = {
    "escape": "esc", "backspace": "⌫", "left": "←", "right": "→", "up": "↑", "down": "↓",
    "space": "space",
}  # fmt: skip


def writes(key: str) -> bool:
    """Whether a key writes a character.

    >>> writes("z"), writes("question_mark"), writes("minus"), writes("f7"), writes("enter")
    (True, True, True, False, False)
    """
    return len(key) == 1 or key in _SIGNS


def with_layouts(keys: tuple[str, ...]) -> tuple[str, ...]:
    """The keys, and what the same physical keys give under other layouts."""
    out = list(keys)
    for key in keys:
        if len(key) == 1 and key.lower() in _LATIN:
            place = _LATIN.index(key.lower())
            for layout in _LAYOUTS:
                letter = layout[place]
                out.append(letter.upper() if key.isupper() else letter)
    # One Greek letter stands on two keys, and Hangul has no capitals.
    return tuple(dict.fromkeys(k for k in out if k != "ς"))


def shown_key(key: str) -> str:
    """A key as a reader knows it.

    >>> shown_key("f7"), shown_key("slash"), shown_key("right_square_bracket"), shown_key("left")
    ('F7', '/', ']', '←')
    """
    if key in _SHOWN:
        return _SHOWN[key]
    return _SIGNS.get(key) or (key.upper() if key[:1] == "f" and key[1:].isdigit() else key)


def key_name(text: str) -> str:
    """A key as the settings file may write it, as the screens know it.

    >>> key_name("?"), key_name("-"), key_name("esc"), key_name(" x")
    ('question_mark', 'minus', 'escape', 'x')
    """
    clean = text.strip()
    if clean == "esc":
        return "escape"
    return _named(clean) if len(clean) == 1 and not clean.isalnum() else clean


def is_key(name: str) -> bool:
    """Whether a terminal has such a key.

    >>> is_key("x"), is_key("full_stop"), is_key("ctrl+x"), is_key("pageup"), is_key("hyper")
    (True, True, True, True, False)
    """
    from textual.keys import Keys

    return writes(name) or name in {key.value for key in Keys}
