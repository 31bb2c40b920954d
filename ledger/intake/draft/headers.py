"""What a column may hold by the words of its header, in the languages the trade writes them.

A header is taken apart into plain words; a meaning is a field of the ledger or one of the
drafter's own (`pair`, `percent`, `text`, `given`, `family`, `home_text`, ...). Words only
propose: the values of the column decide (`evidence`).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping

# Meaning to headers that say it by themselves: lower case, no accents, words by one blank.
_WHOLE: dict[str, str] = {
    "player": """player|player name|shooter|shooter name|athlete|name|full name|players|spieler|
        spielername|jugador|jugadora|nombre|joueur|joueuse|nom|giocatore|jogador|atleta|oyuncu|
        zawodnik|igrac|hrac|zaidejas|speler|spelare|pelaaja|선수|선수명|이름|選手|選手名|球员|
        球員|παικτης|игрок|who|by whom|p|thrower""",
    "player_id": """player id|playerid|id player|person id|shooter id|athlete id|player code|
        player key|spieler id|id jugador|선수 id|pid""",
    "family": """last name|lastname|surname|family name|family|nachname|apellido|cognome|
        nazwisko""",
    "given": "first name|firstname|given name|given|vorname|nombre de pila|prenom|imie",
    "number": """#|no|nr|num|number|shirt|shirt number|shirt no|jersey|jersey number|jersey no|
        bib|trikot|ruckennummer|dorsal|maillot|maglia|numero|forma no|등번호|배번|背番号|号码""",
    "team": """team|team name|club|squad|side|tm|mannschaft|verein|team code|t|equipo|equipe|
        squadra|time|takim|druzyna|ekipa|klub|komanda|tym|ploeg|lag|joukkue|팀|팀명|소속|チーム|
        球队|球隊|ομαδα|команда""",
    "team_id": "team id|teamid|club id|id team|id equipo|team key",
    "opponent": """opponent|against|facing|opposing team|opp|vs|gegner|rival|oponente|adversaire|
        avversario|adversario|rakip|rywal|protivnik|상대|상대팀|対戦相手|对手|соперник""",
    "home": """home|home team|hometeam|home club|home name|heim|heimteam|heimmannschaft|local|
        equipo local|domicile|casa|squadra casa|mandante|ev sahibi|gospodarz|domacin|홈|홈팀|
        ホーム|主队|хозяева""",
    "away": """away|away team|awayteam|visitor|visitors|visiting team|visitor team|guest|guests|
        guest team|away name|gast|gastteam|gaste|visitante|equipo visitante|exterieur|visiteur|
        ospite|ospiti|trasferta|deplasman|goscie|gosc|gost|원정|원정팀|アウェイ|客队|гости""",
    "date": """date|d|when|game date|gamedate|match date|day|played on|datum|spieldatum|tag|
        spieltag datum|fecha|data|tarih|dzien|data meczu|datum utakmice|kuupaev|날짜|경기일|일자|
        日付|試合日|日期|ημερομηνια|дата""",
    "game": """game|game id|gameid|game no|game number|game code|match|match id|matchid|match no|
        match number|match code|fixture|fixture id|spiel|spiel nr|spielnummer|spiel id|partido|
        id partido|rencontre|gara|partita|jogo|mac|mac no|mecz|utakmica|경기|경기번호|試合|比赛|
        игра|матч|fixture no|game label""",
    "season": """season|season name|saison|temporada|stagione|epoca|sezon|sezona|kausi|sesong|
        sasong|시즌|シーズン|赛季|σεζον|сезон""",
    "league": """league|league name|competition|competition name|comp|division|tournament|liga|
        wettbewerb|competicion|ligue|lega|campionato|campeonato|lig|rozgrywki|takmicenje|리그|
        대회|リーグ|大会|联赛|лига""",
    "stage": """stage|phase|part of season|season type|game type|fase|abschnitt|runde typ|etap""",
    "period": """period|pr|quarter|qtr|q|per|pd|viertel|abschnitt nr|cuarto|periodo|periode|
        quart temps|quarto|ceyrek|kwarta|cetvrtina|쿼터|피리어드|ピリオド|クォーター|节|节次|
        период""",
    "clock": """clock|s|sec|secs|seconds|game clock|time|time left|time remaining|remaining|
        remaining time|period clock|left|zeit|restzeit|spielzeit|tiempo|tiempo restante|temps|
        tempo|minuto|reloj|sure|czas|vrijeme|시간|남은 시간|残り時間|时间|время""",
    "elapsed": """elapsed|played|min played|time elapsed|elapsed time|time played|secs elapsed|
        seconds elapsed""",
    "period_clock": "period clock time|period and clock|quarter time|q time|qtr time",
    "order": """order|seq|sequence|sequence number|event num|event no|event number|action number|
        action no|play no|play number|play id|event id|row|idx|index|line|lfd nr|orden|순서|
        番号""",
    "attempt_id": "attempt id|shot id|throw id|id|uid|uuid|event uuid",
    "made": """made|ok|result ok|result|outcome|success|successful|scored|converted|good|hit|in|
        make|made missed|result of shot|shot result|ft result|ergebnis|treffer ja nein|getroffen|
        resultado|acierto|resultat|reussi|esito|canestro|sonuc|wynik rzutu|rezultat|ishod|결과|
        성공여부|成否|結果|结果|результат|res|is made""",
    "attempts": """attempts|attempted|att|versuche|intentos|tentatives|tentativi|tentativas|시도|
        試投|заброшено из""",
    "trip_pair": """trip|n of m|attempt of|shot of|throw of|of trip|ft n of m|wurf von|tiro de|
        series|which""",
    "trip_shot": """trip shot|throw number|trip number|ft n|shot no in trip|ft num|n|shot number|
        throw no|attempt no|wurf nr|ft no|ft number|throw""",
    "trip_of": """trip of|of|throws of|ft of|m|trip size|trip length|fts in trip|total fts|anzahl|
        von""",
    "event": """event|event type|action|action type|play type|type|kind|code|event code|aktion|
        ereignis|accion|tipo|evento|jugada|azione|olay|akcja|dogadaj|이벤트|プレー|动作|событие|
        what""",
    "subtype": "subtype|sub type|action sub type|detail|qualifier",
    "text": """text|txt|msg|message|description|event text|play|play by play|details|comment|
        narration|event description|what happened|beschreibung|kommentar|descripcion|texto|
        descrizione|aciklama|opis|내용|설명|説明|说明|описание|play description""",
    "home_text": """home text|home description|home event|home play|home action|home plays|
        heim aktion|texto local""",
    "away_text": """away text|away description|visitor description|away event|visitor event|
        away play|away action|visitor text|guest text|guest action|away plays|visitor plays|
        gast aktion|texto visitante""",
    "shot": """shot|shot type|kind of shot|attempt type|wurfart|tipo de tiro|tipo tiro|
        type de tir|shot kind|points worth|value|pts type|pts|points|worth|punkte|puntos""",
    "x_m": "x m",
    "y_m": "y m",
    "x": "x|x coord|coord x|pos x|loc x",
    "y": "y|y coord|coord y|pos y|loc y",
    "spot": "spot|zone|area|location|shot zone|where",
    "rebound_by": "rebound by|rebound|rebounded by|rebounder",
    "trip_kind": "trip kind|foul type|foul kind|foul",
    "position": "position|pos|posicion|poste|ruolo|포지션|ポジション|位置",
    "height_cm": "height cm|height|grosse|altura|taille|altezza|키|신장|身長",
    "mass_kg": "mass kg|weight|weight kg|mass|gewicht|peso|poids|체중|体重",
    "birth_year": """birth year|born|year of birth|jahrgang|geburtsjahr|nacimiento|naissance|
        출생""",
    "hand": "hand|shooting hand|handed|wurfhand|mano",
    "note": "note|remark|remarks|bemerkung|observaciones",
    "technique": "technique|how|method|style|technik|tecnica",
    "tagger": "tagger|watched by|seen by|scout|observer",
    "games_played": """g|gp|games|games played|spiele|partidos|pj|mj|matchs|gare|경기수|試合数|
        sp""",
    "minutes": "min|mins|minutes|mp|minuten|minutos|minuti|出場時間|출전시간|dk",
}
_FREE_THROW = re.compile(
    r"^(?:ft|fts|free|frees|freethrow|freethrows|throw|throws|tl|lf|fw|ll|tiro|tiros|libre|libres|"
    r"lancers?|francs?|freiwurf|freiwurfe|liberi|libero|tiri|lances?|livres?|serbest|atis|sa|"
    r"rzuty?|wolne|slobodna|bacanja|sb|baudos|자유투|フリースロー|罚球|罰球|штрафные|штр|βολες|β|from|"
    r"the|line|1|1p|1pt|shots?)$"
)
_MADE = re.compile(
    r"^(?:m|made|makes|make|in|good|hit|hits|scored|c|convertidos|convertis|anotados|aciertos|"
    r"encestados|r|reussis|marques|treffer|getroffen|erzielt|segnati|realizzati|convertidos|"
    r"isabet|basarili|celne|trafione|pogodjeno|ubacena|성공|成功|命中|забито|ευστοχες|metti)$"
)
_TRIED = re.compile(
    r"^(?:a|att|atts|attempt|attempts|attempted|tried|taken|i|intentados|intentos|lanzados|"
    r"t|tentes|tentatives|versuche|v|geworfen|tentati|tentativi|tentados|tentativas|deneme|"
    r"proby|oddane|pokusaji|upuceno|시도|試投|出手|брошено|of|προσπαθειες)$"
)
_PERCENT = re.compile(r"^(?:%|pct|perc|percent|percentage|rate|quote|prozent|yuzde|성공률|率)$")
_SURE_FT = re.compile(
    r"^(?:ft|fts|free|frees|freethrows?|tl|lf|fw|libres?|francs?|freiw\w*|liberi|libero|livres?|"
    r"serbest|wolne|slobodna|자유투|フリースロー|罚球|罰球|штрафные|штр|βολες|1p|1pt)$"
)
_GLUED = re.compile(
    r"^(ft|tl|lf|fw|자유투|フリースロー|罚球)(made|makes|att|attempts|attempted|pct|m|a|c|i|r|t|v|%|"
    r"성공|시도|성공률|成功|試投|率|命中|出手)$"
)
_SIDE = re.compile(
    r"^(?:(home|heim|local|casa|domicile|h)|(away|visitor|visitors|guest|gast|visitante|ospite|"
    r"exterieur|v|road))$"
)


def _compiled() -> dict[str, str]:
    return {
        form: meaning
        for meaning, forms in _WHOLE.items()
        for form in (" ".join(part.split()) for part in forms.split("|"))
    }


_BY_FORM: Mapping[str, str] = _compiled()


def plain(text: str) -> str:
    """A header as plain words: lower case, no accents, camel case and signs as blanks.

    >>> plain("gameDate"), plain("T.L. Intentados"), plain("FT%")
    ('game date', 'tl intentados', 'ft %')
    """
    spaced = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", text.strip())
    spaced = re.sub(r"\b(\w)\.(?=\w\.)", r"\1", spaced)
    bare = unicodedata.normalize("NFKD", spaced.casefold().replace("ı", "i").replace("ł", "l"))
    bare = "".join(c for c in bare if not unicodedata.combining(c))
    bare = unicodedata.normalize("NFC", bare).replace("%", " % ").replace("#", " # ")
    return " ".join(re.sub(r"[^\w%#]+|_", " ", bare).split())


def meaning(header: str) -> str | None:
    """What a header says its column holds, `None` where the words are unknown.

    A dotted header of a JSON record (`shooter.name`) is read as a whole, then without the general
    word at its end, then by its last part.

    >>> meaning("FTA"), meaning("Tiros libres convertidos"), meaning("shooter.name")
    ('ft_attempts', 'ft_made', 'player')
    """
    words = plain(header)
    if words in _BY_FORM:
        return _BY_FORM[words]
    counted = _free_throws(words)
    if counted is not None:
        return counted
    if "." in header or "$" in header:
        return _of_path(header)
    for tail in (" name", " nm"):
        if words.endswith(tail) and words.removesuffix(tail) in _BY_FORM:
            return _BY_FORM[words.removesuffix(tail)]
    return None


def _of_path(header: str) -> str | None:
    parts = [plain(part) for part in header.split(".") if plain(part)]
    if not parts:
        return None
    if len(parts) > 1:
        pair = " ".join(parts[-2:])
        if pair in _BY_FORM:
            return _BY_FORM[pair]
        owner = parts[-2].removesuffix("s")
        if parts[-1] in ("name", "code", "label", "title", "short", "full name", "display name"):
            # Of a team's or a game's name only the owner says whose it is.
            return _BY_FORM.get(owner) or _BY_FORM.get(parts[-2])
        if parts[-1] == "id":
            return _BY_FORM.get(f"{owner} id")
    return _BY_FORM.get(parts[-1]) or _free_throws(parts[-1])


def _free_throws(words: str) -> str | None:
    """`ft_made`, `ft_attempts`, `ft_pair`, `percent` for columns that count free throws."""
    split = [p for word in words.split() for p in _unglued(word)]
    if not any(_SURE_FT.match(word) for word in split):
        return None
    rest = [word for word in split if not _FREE_THROW.match(word)]
    if any(_PERCENT.match(word) for word in rest):
        return "percent"
    made = [word for word in rest if _MADE.match(word)]
    tried = [word for word in rest if _TRIED.match(word)]
    if len(made) + len(tried) != len(rest):
        return None
    if made and tried:
        return "ft_pair"
    return "ft_made" if made else "ft_attempts" if tried else "ft"


def _unglued(word: str) -> list[str]:
    match = _GLUED.match(word)
    return [match[1], match[2]] if match else [word]


def side(header: str) -> tuple[str, str] | None:
    """`home` or `away` and the rest of the header, where it names a side.

    >>> side("Home FTM"), side("away_player"), side("team")
    (('home', 'ftm'), ('away', 'player'), None)
    """
    words = plain(header).split()
    if len(words) == 1:
        glued = re.match(r"^(home|visitor|away|guest|heim|gast)(\w{3,})$", words[0])
        if glued:
            words = [glued[1], glued[2]]
    for at, word in enumerate(words):
        match = _SIDE.match(word)
        if match and len(words) > 1:
            rest = " ".join(words[:at] + words[at + 1 :])
            return ("home" if match[1] else "away"), rest
    return None


def is_percent(header: str) -> bool:
    """Whether a header names a rate, which is never read as makes."""
    return any(_PERCENT.match(word) for word in plain(header).split())
