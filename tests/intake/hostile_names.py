# ruff: noqa: E501  strings are as long as they are
r"""Over five hundred strings that have broken programs, as names nobody should fear.

They are of the kinds that public lists of naughty strings hold, written down anew by kind; where a
kind is a rule (every control code, every separator), it is made by the rule. All names in them are
invented.
"""

from __future__ import annotations

import base64
import unicodedata
from functools import cache

_RESERVED = """
undefined undef null NULL (null) nil NIL None none NaN nan true false TRUE FALSE True False hasOwnProperty
then constructor __proto__ __class__ __init__ this self void typeof \\ \\\\ N/A n/a NA #N/A - -- ? ??
unknown missing blank empty Total Totals TOTAL Average Team player Player league made yes no
INF +INF -INF Infinity -Infinity select from where and or not in is date time at order group
""".split()  # noqa: SIM905

_NUMBERS = """
0 1 -1 1.00 $1.00 1/2 1E2 1E02 1E+02 -1.00 -$1.00 -1/2 -1E2 1/0 0/0 -2147483648/-1
-9223372036854775808/-1 -0 -0.0 +0.0 0.00 0..0 . 0.0.0 0,00 0,,0 , 0,0,0 0.0/0 1.0/0.0 0.0/0.0 1,0/0,0
0,0/0,0 --1 -. -, 999999999999999999999999999999999999999999999999999999999999 NaN1 1#INF -1#IND 1#QNAN
1#SNAN 0x0 0xffffffff 0xffffffffffffffff 0xabad1dea 123456789012345678901234567890123456789 1,000.00
1'000.00 1,000,000.00 1.000,00 1.000.000,00 01000 08 09 007 2.2250738585072011e-308 1e309 -1e309
1e-400 0b101 0o17 7-9 7of9 7/9 2023-09-07 07/09/23 12:30 5:38 50% .785 ½ ² ٣ ३ Ⅻ ① 一 1_000
""".split()  # noqa: SIM905

_SIGNS = (
    ",./;'[]\\-=", '<>?:"{}|_+', "!@#$%^&*()`~", "'", '"', "''", '""', "'\"'", "\"''''\"'\"",
    '"\'"\'"\'\'\'\'"', "`", "´`", ";", ",", ";;", ",,", "|", "||", "\\'", '\\"', "a,b", "a;b",
    "a|b", "a\tb", '"a"', 'a"b', '"a', 'a"', "a''b", "\\n", "\\t", "\\x00", "\\u0000", "%00", "%0a",
    "&#10;", "#", "# remark", "* remark", "-- remark", "// remark", "/* remark */", "sep=;", "sep=,",
    "Ω≈ç√∫˜µ≤≥÷", "åß∂ƒ©˙∆˚¬…æ", "œ∑´®†¥¨ˆøπ“‘", "¡™£¢∞§¶•ªº–≠", "¸˛Ç◊ı˜Â¯˘¿", "ÅÍÎÏ˝ÓÔÒÚÆ☃",
    "`⁄€‹›ﬁﬂ‡°·‚—±", "⅛⅜⅝⅞", "ЁЂЃЄЅІЇЈЉЊ", "⁰⁴⁵", "₀₁₂", "⁰⁴⁵₀₁₂", "𝟘𝟙𝟚", "€£¥₩", "©®™",
)  # fmt: skip

_LETTERS = (
    "プモレツ ヌ", "사하루 과지", "찦차를 무린펲시", "和製漢字", "部落格磁針", "𠜎𠜱𠝹𠱓𠱸𠲖𠳏",
    "表ポあA鷗ŒéＢ逍Üßªąñ丂㐀𠀀", "Ⱥ", "Ⱦ", "ŉ", "ΐ", "ﬃ", "ﬀ", "ß", "ẞ", "İ", "ı", "ǰ", "ᾳ",
    "Ǆ", "ǅ", "ſ", "K", "Å", "ヽ༼ຈل͜ຈ༽ﾉ", "(｡◕ ∀ ◕｡)", "ﾟ･✿ヾ╲(｡◕‿◕｡)╱✿･ﾟ", "(╯°□°）╯︵ ┻━┻)",
    "( ͡° ͜ʖ ͡°)", "¯\\_(ツ)_/¯", "⠊⠇⠧⠕ ⠞⠁⠗⠝", "ᚑᚌᚐᚋ ᚑᚅᚐᚋ", "᚛ᚄᚓᚐᚋᚒᚄ ᚑᚄᚂᚑᚏᚅ᚜", "ᚠᛇᚻ᛫ᛒᛦᚦ᛫ᚠᚱᚩᚠᚢᚱ",
    "𐌰𐌱𐌲 𐌳𐌴", "जज़्बो ट", "జ్ఞ\u200cా", "ಠ_ಠ", "ก็็็็็็็็็็", "ᏣᎳᎩ ᏔᎵ", "ꙮ ꙮ", "﷽", "ﷺ",
    "ﬁn ﬂo", "㍿㌔", "Ｉｌｖｏ Ｔａｒｎ", "Ilvo Тarn", "Ilvо Tarn", "Iłvö Tårñ", "I\u0307lvo", "e\u0301ska",
    "éska", "o\u0328\u0301", "\u1e9b\u0323", "क्षि नि", "செ ரு", "မြန် မာ", "한글 자모ㄱㄴ", "\u1112\u1161\u11ab",
)  # fmt: skip

_EMOJI = (
    "😍", "👩🏽", "👨‍🦰 👨🏿‍🦰", "👾 🙇 💁 🙅", "🐵 🙈 🙉 🙊", "❤️ 💔 💌", "✋🏿 💪🏿 👐🏿", "👨‍👩‍👦 👨‍👩‍👧‍👦",
    "👩‍👩‍👧‍👧", "🏳️‍🌈", "🏴\U000e0067\U000e0062\U000e0065\U000e006e\U000e0067\U000e007f", "🇦🇧🇨🇩🇪",
    "🇽🇽", "0️⃣ 1️⃣ 2️⃣", "#️⃣*️⃣", "🚾 🆒 🆓 🆕", "👁️‍🗨️", "☺︎☺️", "🧑🏻‍🤝‍🧑🏿", "🦴🦷🦿", "😀" * 40,
    "🏀 Ilvo", "Ilvo🏀Tarn", "\ufe0f", "\u20e3", "🏿",
)  # fmt: skip

_RIGHT_TO_LEFT = (
    "ثم نفس سقطت", "بָבוֹ הַשָּׁ", "הָיְתָה", "שלגו רבי", "﷽ ﷽", "الكل مجمو", "اَلعَرَ", "لُلُصّبُلُلصّبُررً ॣ",
    "Ilvo שלגו 12", "12 שלגו (Tarn)", "ABC ثم 123", "‮‮Ilvo", "אב\u05bc\u05bc\u05bc", "ـــــ",
    "ߒߞߏ", "ܐܒܓ", "ދިވެ",
)  # fmt: skip

_SQL = (
    "1;DROP TABLE attempt", "1'; DROP TABLE player-- 1", "' OR 1=1 -- 1", "' OR '1'='1", "'; EXEC x; --",
    "%", "_", "%%", "$name", ":name", "?1", "\\'; DROP TABLE game; --", "'; ATTACH 'x.db' AS y; --",
    "') OR ('a'='a", "' UNION SELECT NULL, NULL --", "/**/OR/**/1=1", "0x27204f52", "$$x$$",
    "E'\\x41'", "'; COPY player TO 'x.csv'; --", "{'a': 1}", "[1, 2]", "(SELECT 1)", "NULL::INT",
    "read_csv('x')", "'||'", "x' --", "\"; --",
)  # fmt: skip

_SHELL = (
    "$HOME", "$(touch x.fail)", "`touch x.fail`", "; touch x.fail", "| touch x.fail", "&& touch x.fail",
    "$ENV{'HOME'}", "%d", "%s%s%s%s%s", "%n%n%n", "%x.%x", "{0}", "{}", "{name}", "${x}", "#{x}", "<%= 7*7 %>",
    "{{7*7}}", "{% x %}", "%*.*s", "%@", "%1$s", "@{x}", "-", "--help", "-rf", "--version", "-o x.fail", "*",
    "?", "[a-z]", "~", "~root", "!!", "a && b", "a > b", "a < b", "\\$x", "$0", "$(<x)", "{a,b}", "*.csv",
    "System(\"ls\")", "eval('1')", "require('x')", "__import__('os')", "Kernel.exit(1)", "x\\",
    "<?xml version=\"1.0\"?><!DOCTYPE x [<!ENTITY y SYSTEM \"file:///x\">]><x>&y;</x>",
)  # fmt: skip

_PATHS = (
    "../../../../etc/passwd", "..\\..\\x", "/dev/null", "/dev/zero", "C:\\x\\y", "\\\\host\\share",
    "file:///etc/x", "http://a/%%30%30", "~/x", "./x", ".", "..", "...", "/", "//", "a/b", "a\\b", "a:b",
    "x.csv", "x.duckdb", ".hidden", "http://[::1]/", "data:text/html,x", "javascript:x", "mailto:a@b",
    "CON", "PRN", "AUX", "NUL", "CLOCK$", "COM1", "LPT1", "LPT9", "con.csv", "nul.txt", "COM¹", "desktop.ini",
)  # fmt: skip

_FORMULAS = (
    "=1+1", "=HYPERLINK(\"http://x.example\",\"y\")", "=cmd|' /C x'!A0", "@SUM(A1:A9)", "+1+1", "-1-1",
    "=A1", "+A1", "-A1", "@x", "\t=1+1", "\r=1+1", "＝1+1", "＋1", "－1", "＠x", "'=1+1", "''=1+1", "\"=1+1",
    " =1+1", "=", "+", "@", "=\"a\"&\"b\"", "=IMPORTXML(\"x\")", "=DDE(\"x\";\"y\")", "-2+3+cmd|x",
    "%0A=1", "=1+1;=2+2", ";=1+1",
)  # fmt: skip

_MARKUP = (
    "Kim [/red] [b", "[red]Kim[/red]", "[@click=app.quit]x[/]", "[link=x]y[/link]", "[b]", "[/b]", "[/]",
    "[", "]", "[]", "[[", "]]", "\\[b]", "[KOR] Kim", "[bold", "[#ff0000]", "[on red]", "[reverse]x", "[1]",
    ":smile:", ":basketball:", "**b**", "*i*", "_u_", "`c`", "# h", "> q", "[a](b)", "![a](b)", "| a | b |",
    "<b>", "</b>", "&lt;b&gt;", "&amp;", "&#60;", "&", "<!--", "-->", "]]>", "<![CDATA[x]]>", "<br/>",
    "datum.x", "a.b[0]:c", "${alert(1)}", "{\"a\": \"b\"}", "</title>", "</svg>", "</style>",
)  # fmt: skip

_HANDLERS = "error load click mouseover focus begin toggle start".split()  # noqa: SIM905
_TAGS = "img svg video body input details marquee iframe object math".split()  # noqa: SIM905
_SCRIPTS = (
    "<script>alert(0)</script>", "&lt;script&gt;alert(1)&lt;/script&gt;", "<script>alert(2)", "</script>",
    "<svg><script>3<1>alert(3)</script>", "\"><script>alert(4)</script>", "'><script>alert(5)</script>",
    "><script>alert(6)</script>", "</script><script>alert(7)</script>", "< / script >< script >alert(8)",
    "onfocus=alert(9) autofocus", "\" onfocus=alert(10) autofocus ", "' onfocus=alert(11) autofocus ",
    "＜script＞alert(12)＜/script＞", "<sc<script>ript>alert(13)</sc</script>ript>", "--><script>alert(14)",
    "\";alert(15);t=\"", "';alert(16);t='", "JavaSCript:alert(17)", ";alert(18);", "src=javascript:alert(19)",
    "\"><img src=x onerror=alert(20)>", "<a href=\"javascript:alert(21)\">x</a>", "<iframe src=x>",
    "<base href=//x>", "<meta http-equiv=refresh content=0>", "<link rel=stylesheet href=x>",
    "<style>*{color:red}</style>", "<form action=x><button>", "<a\x20href=x>", "<script/src=x>", "<<script>",
    "<scr\\0ipt>", "<IMG \"\"\"><SCRIPT>alert(22)</SCRIPT>\">", "\\x3cscript\\x3e", "\\u003cscript\\u003e",
    "<img src=x onerror=&#97;lert(23)>", "`-alert(24)-`", "${`${alert(25)}`}", "<svg/onload=alert(26)>",
)  # fmt: skip

_TERMINAL = (
    "\x1b[31mred\x1b[0m", "\x1b[2J", "\x1b[H", "\x1b]0;title\x07", "\x1b]52;c;eA==\x07", "\x1b]8;;x\x07y\x1b]8;;\x07",
    "\x1bc", "\x1b[?1049h", "\x1b[6n", "\x1b[5i", "\x1bP0;1|x\x1b\\", "\x9b31m", "\x9d0;x\x9c", "Roses \x1b[0;31mred",
    "But now...\x1b[20C", "The beep\x07\x07\x07", "\x0e\x0f", "a\x08b", "\x1b", "\x7f",
)  # fmt: skip

_BLANK = (
    "\u00a0", "\u3000", "\u2003", "\u200b", "\u200b\u200c", "\ufeff", "\u2060", "\u3164", "\u115f", "\uffa0",
    "\u00ad", "\u180e", "\u202e", "\u2067\u2069", " ", "  ", "\t", "\u034f", "\U000e0001", "\u1680",
)  # fmt: skip

_HIDDEN = (
    *range(0x200B, 0x2010), *range(0x202A, 0x202F), *range(0x2060, 0x2070), 0x00AD, 0x061C, 0x180E, 0xFEFF,
    0xFFF9, 0xFFFA, 0xFFFB, 0x034F, 0x115F, 0x3164, 0xE0001, 0xE0041,
)  # fmt: skip
_SPACES = (
    0x0009, 0x000A, 0x000B, 0x000C, 0x000D, 0x0085, 0x00A0, 0x1680, *range(0x2000, 0x200B), 0x2028, 0x2029,
    0x202F, 0x205F, 0x3000,
)  # fmt: skip
_CONTROLS = (*range(1, 9), *range(0x0E, 0x20), *range(0x7F, 0x85), *range(0x86, 0xA0))
_NO_LETTERS = (
    0xFDD0,
    0xFDEF,
    0xFFFE,
    0xFFFF,
    0x1FFFE,
    0x10FFFF,
    0xE000,
    0xF8FF,
    0xF0000,
    0x378,
    0xFFFD,
    0xFFFC,
)
_TURNED = str.maketrans("abcdefghijklmnopqrstuvwxyz", "ɐqɔpǝɟƃɥᴉɾʞlɯuodbɹsʇnʌʍxʎz")


def _piled() -> list[str]:
    """Letters under piles of combining marks."""
    piles = [1, 2, 5, 10, 20, 40, 90]
    return [
        "".join(
            letter + "".join(chr(0x300 + (n * 7 + k) % 0x6F) for k in range(n)) for letter in "iv"
        )
        for n in piles
    ] + ["\u0301", "\u0301Ilvo", "\u20dd", "\u0489" * 12, "e" + "\u0301" * 150]


def _styled() -> list[str]:
    """One name in the mathematical alphabets and in circles, squares and turned letters."""
    starts = [
        0x1D400,
        0x1D434,
        0x1D468,
        0x1D4D0,
        0x1D56C,
        0x1D5A0,
        0x1D5D4,
        0x1D608,
        0x1D63C,
        0x1D670,
    ]
    bold = ["".join(chr(start + ord(c) - ord("A")) for c in "ILVO") for start in starts]
    rings = [
        "".join(chr(start + ord(c) - ord("A")) for c in "ILVO")
        for start in (0x24B6, 0x1F130, 0x1F150)
    ]
    turned = [word.translate(_TURNED)[::-1] for word in ("ilvo tarn", "meruo poldis", "zef olbax")]
    return [*bold, *rings, *turned, "⒤⒧⒱⒪", "00˙Ɩ$-", "ılvo̲"]


def _long() -> list[str]:
    """About the longest name, a league's longest name, and a cell's longest text."""
    plain = [
        f"{'long ' * (n // 5)}{n:0>5}".strip()[:n].ljust(n, "x")
        for n in (80, 199, 200, 201, 400, 401, 2000)
    ]
    wide = ["찰" * 200, "찰" * 201, "👩‍👩‍👧‍👧" * 12, "W" * 9_999, "W" * 10_001]
    return [*plain, *wide]


@cache
def kinds() -> dict[str, tuple[str, ...]]:
    """Every kind with its strings, each string once in all."""
    made = {
        "reserved words": _RESERVED,
        "forms of numbers": _NUMBERS,
        "signs": _SIGNS,
        "letters of many scripts": _LETTERS,
        "emoji": _EMOJI,
        "right to left": _RIGHT_TO_LEFT,
        "piles of marks": _piled(),
        "other alphabets of one name": _styled(),
        "SQL": _SQL,
        "shell, formats, templates": _SHELL,
        "paths and devices": _PATHS,
        "formulas": _FORMULAS,
        "markup": _MARKUP,
        "scripts": [
            *_SCRIPTS,
            *(f"<{tag} src=x on{event}=alert(1)>" for tag in _TAGS for event in _HANDLERS[:3]),
            *(f"<x\\x{at:02x}on{event}=1>" for at, event in enumerate(_HANDLERS)),
            *(
                f"data:text/html;base64,{base64.b64encode(x).decode()}"
                for x in (b"<b>", b"<script>")
            ),
        ],
        "terminal codes": _TERMINAL,
        "nothing to see": _BLANK,
        "invisible letters": [f"Il{chr(code)}vo" for code in _HIDDEN],
        "direction marks": [
            f"{chr(code)}Ilvo" for code in (*range(0x202A, 0x202F), *range(0x2066, 0x206A))
        ],
        "spaces and line ends": [f"Il{chr(code)}vo {code:x}" for code in _SPACES],
        "control codes": [f"Il{chr(code)}vo" for code in _CONTROLS],
        "codes that are no letters": [f"Il{chr(code)}vo" for code in _NO_LETTERS],
        "byte order marks": ["\ufeffIlvo", "\ufffeIlvo", "ï»¿Ilvo", "þÿIlvo", "Ilvo\ufeff", "ÿþI"],
        "read wrong": [
            "JÃ¶rva",
            "Ã‡eno",
            "â€œIlvoâ€\u009d",
            "Ð˜Ð»Ð²Ð¾",
            "Jã¶Rva",
            "l'Ã©ta",
            "Ilvo ï¿½",
        ],
        "long": _long(),
    }
    seen: set[str] = set()
    once: dict[str, tuple[str, ...]] = {}
    for kind, strings in made.items():
        once[kind] = tuple(s for s in dict.fromkeys(strings) if s not in seen)
        seen.update(once[kind])
    return once


@cache
def hostile_names() -> tuple[str, ...]:
    """All of them, each once."""
    return tuple(name for strings in kinds().values() for name in strings)


def harmful(text: str, *, lines: bool = True) -> set[str]:
    """The characters of a text that no terminal, page or spreadsheet should ever get.

    Control codes, direction marks, invisible letters, separators of lines and codes that are no
    letters; line ends and tabs are a text's own where `lines` says so.
    """
    own = "\n" if lines else ""
    return {
        character
        for character in set(text)
        if character not in own
        and (
            unicodedata.category(character) in ("Cc", "Cf", "Cs", "Zl", "Zp")
            or ord(character) & 0xFFFE == 0xFFFE
            or 0xFDD0 <= ord(character) <= 0xFDEF
        )
    }


def visible(text: str) -> str:
    """What a person sees of a name: no blanks, nothing invisible, composed."""
    bare = "".join(
        c
        for c in text
        if unicodedata.category(c) not in ("Zs", "Zl", "Zp", "Cf")
        and c not in "\t\n\x0b\x0c\r\x85\u034f\u115f\u1160\u3164\uffa0\u17b4\u17b5"
        and not "\ufe00" <= c <= "\ufe0f"
        and not "\u180b" <= c <= "\u180f"
        and not "\u2060" <= c <= "\u206f"
        and not "\U000e0000" <= c <= "\U000e0fff"
    )
    return unicodedata.normalize("NFC", bare)
