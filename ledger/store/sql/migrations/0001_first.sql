-- All tables of the ledger. The large ones (attempt, tag, agreed, sighting) carry no index: a bulk
-- import of a million rows would pay for it, and every read of theirs is a scan; `check` proves that
-- their ids are unique.

CREATE TABLE ledger_meta (key VARCHAR PRIMARY KEY, value VARCHAR NOT NULL);
CREATE TABLE migration (number INTEGER PRIMARY KEY, name VARCHAR NOT NULL, applied_at TIMESTAMP NOT NULL);

CREATE TABLE source (
    id INTEGER PRIMARY KEY, kind VARCHAR NOT NULL, file VARCHAR NOT NULL, sha256 VARCHAR, content_hash VARCHAR,
    size_bytes BIGINT, rows INTEGER NOT NULL, stored INTEGER NOT NULL, rejected INTEGER NOT NULL,
    skipped INTEGER NOT NULL, already_there INTEGER NOT NULL, contradicting INTEGER NOT NULL,
    attempts_stored INTEGER NOT NULL, tags_stored INTEGER NOT NULL, fields_filled INTEGER NOT NULL,
    drawn BOOLEAN NOT NULL, mapping VARCHAR NOT NULL, reasons VARCHAR NOT NULL, warnings VARCHAR NOT NULL,
    who VARCHAR NOT NULL, at_time TIMESTAMP NOT NULL, taken_back TIMESTAMP
);
CREATE TABLE refused_row (
    source_id INTEGER NOT NULL, line INTEGER NOT NULL, column_name VARCHAR, value VARCHAR,
    reason VARCHAR NOT NULL, fix VARCHAR
);
-- What every record of every source came to. `given` holds the record as JSON wherever it is not simply
-- the attempt as it stands: that is what an undo rebuilds attempts from.
CREATE TABLE sighting (
    source_id INTEGER NOT NULL, line INTEGER NOT NULL, attempt_id BIGINT NOT NULL, outcome VARCHAR NOT NULL,
    given VARCHAR
);

CREATE TABLE league (id INTEGER PRIMARY KEY, name VARCHAR NOT NULL, normal_form VARCHAR NOT NULL, same_as INTEGER);
CREATE TABLE season (id INTEGER PRIMARY KEY, label VARCHAR NOT NULL, normal_form VARCHAR NOT NULL, start_year INTEGER NOT NULL);
CREATE TABLE team (id INTEGER PRIMARY KEY, league_id INTEGER NOT NULL, name VARCHAR NOT NULL, normal_form VARCHAR NOT NULL, same_as INTEGER);
CREATE TABLE player (
    id INTEGER PRIMARY KEY, league_id INTEGER NOT NULL, name VARCHAR NOT NULL, normal_form VARCHAR NOT NULL,
    position VARCHAR, height_cm DOUBLE, mass_kg DOUBLE, birth_year INTEGER, hand VARCHAR, same_as INTEGER
);
CREATE TABLE roster (
    player_id INTEGER NOT NULL, team_id INTEGER NOT NULL, season_id INTEGER NOT NULL, number VARCHAR,
    from_date DATE, to_date DATE, source_id INTEGER NOT NULL
);
CREATE TABLE league_alias (league_id INTEGER NOT NULL, file_id VARCHAR, as_written VARCHAR NOT NULL, normal_form VARCHAR NOT NULL, source_id INTEGER NOT NULL);
CREATE TABLE team_alias (team_id INTEGER NOT NULL, league_id INTEGER NOT NULL, file_id VARCHAR, as_written VARCHAR NOT NULL, normal_form VARCHAR NOT NULL, source_id INTEGER NOT NULL);
CREATE TABLE player_alias (player_id INTEGER NOT NULL, league_id INTEGER NOT NULL, file_id VARCHAR, as_written VARCHAR NOT NULL, normal_form VARCHAR NOT NULL, source_id INTEGER NOT NULL);

CREATE TABLE game (
    id INTEGER PRIMARY KEY, league_id INTEGER NOT NULL, season_id INTEGER NOT NULL, date DATE NOT NULL,
    stage VARCHAR NOT NULL, home_team_id INTEGER, away_team_id INTEGER, label VARCHAR, file_id VARCHAR,
    video VARCHAR, board_type VARCHAR, source_id INTEGER NOT NULL
);
CREATE TABLE attempt (
    id BIGINT NOT NULL, game_id INTEGER NOT NULL, player_id INTEGER NOT NULL, team_id INTEGER NOT NULL,
    opponent_id INTEGER, period SMALLINT, clock_s DOUBLE, order_in_game INTEGER, shot VARCHAR NOT NULL,
    spot VARCHAR, x_m DOUBLE, y_m DOUBLE, trip_shot TINYINT, trip_of TINYINT, trip_kind VARCHAR,
    trip_derived BOOLEAN NOT NULL, trip_incomplete BOOLEAN NOT NULL, ended_by VARCHAR, made BOOLEAN NOT NULL,
    rebound_by VARCHAR, file_id VARCHAR, source_id INTEGER NOT NULL, removed BOOLEAN NOT NULL
);
CREATE TABLE season_total (
    id BIGINT NOT NULL, player_id INTEGER NOT NULL, team_id INTEGER, league_id INTEGER NOT NULL,
    season_id INTEGER NOT NULL, shot VARCHAR NOT NULL, made INTEGER NOT NULL, attempts INTEGER NOT NULL,
    source_id INTEGER NOT NULL, line INTEGER NOT NULL, removed BOOLEAN NOT NULL
);
CREATE TABLE technique (id INTEGER PRIMARY KEY, name VARCHAR NOT NULL, uses_board BOOLEAN NOT NULL, groups VARCHAR NOT NULL, rule_note VARCHAR, place INTEGER NOT NULL);
CREATE TABLE tag (
    id BIGINT NOT NULL, attempt_id BIGINT NOT NULL, tagger VARCHAR NOT NULL, tagged_at TIMESTAMP NOT NULL,
    technique_id INTEGER, technique_as_written VARCHAR, first_contact VARCHAR, contact_height VARCHAR,
    contact_side VARCHAR, down_at_board VARCHAR, release_angle_deg DOUBLE, backspin VARCHAR, miss_depth VARCHAR,
    miss_side VARCHAR, rebound_zone VARCHAR, rebound_x_m DOUBLE, rebound_y_m DOUBLE, confidence VARCHAR,
    adjudicated BOOLEAN NOT NULL, unclear BOOLEAN NOT NULL, picked_for VARCHAR, video_s DOUBLE, note VARCHAR,
    source_id INTEGER NOT NULL, line INTEGER NOT NULL, removed BOOLEAN NOT NULL
);
CREATE TABLE double_tag (attempt_id BIGINT NOT NULL, seed INTEGER NOT NULL, drawn_at TIMESTAMP NOT NULL);
-- One row for each attempt with a live tag; technique_id empty where the tags name none or disagree.
CREATE TABLE agreed (attempt_id BIGINT NOT NULL, technique_id INTEGER, tags INTEGER NOT NULL, disputed BOOLEAN NOT NULL, unclear BOOLEAN NOT NULL, picked_for VARCHAR);

CREATE TABLE word (field VARCHAR NOT NULL, text VARCHAR NOT NULL, normal_form VARCHAR NOT NULL, value VARCHAR NOT NULL, who VARCHAR NOT NULL, at_time TIMESTAMP NOT NULL);
CREATE TABLE profile (id INTEGER PRIMARY KEY, name VARCHAR NOT NULL, body VARCHAR NOT NULL, who VARCHAR NOT NULL, at_time TIMESTAMP NOT NULL);
-- A saved random list: everybody of its frame, place 1.. for those drawn, empty for the others.
CREATE TABLE lot (id INTEGER PRIMARY KEY, name VARCHAR NOT NULL, league_id INTEGER NOT NULL, season_id INTEGER NOT NULL, seed BIGINT NOT NULL, who VARCHAR NOT NULL, at_time TIMESTAMP NOT NULL);
CREATE TABLE lot_player (lot_id INTEGER NOT NULL, player_id INTEGER NOT NULL, attempts INTEGER NOT NULL, place INTEGER);
CREATE TABLE shortlist (id INTEGER PRIMARY KEY, name VARCHAR NOT NULL, at_time TIMESTAMP NOT NULL);
CREATE TABLE shortlist_entry (shortlist_id INTEGER NOT NULL, player_id INTEGER NOT NULL, note VARCHAR, source_id INTEGER, at_time TIMESTAMP NOT NULL, dropped TIMESTAMP);
CREATE TABLE rumour (id INTEGER PRIMARY KEY, text VARCHAR NOT NULL, season_id INTEGER NOT NULL, league_id INTEGER, player_id INTEGER, seen DATE, place VARCHAR, who VARCHAR NOT NULL, at_time TIMESTAMP NOT NULL);
CREATE TABLE trial (id INTEGER PRIMARY KEY, name VARCHAR NOT NULL, player_id INTEGER NOT NULL, technique_a INTEGER NOT NULL, technique_b INTEGER NOT NULL, sessions INTEGER NOT NULL, per_session INTEGER NOT NULL, practice_only INTEGER NOT NULL, seed BIGINT NOT NULL, who VARCHAR NOT NULL, at_time TIMESTAMP NOT NULL);
CREATE TABLE trial_session (trial_id INTEGER NOT NULL, session INTEGER NOT NULL, game_id INTEGER NOT NULL, counted BOOLEAN NOT NULL);
CREATE TABLE consent (id INTEGER PRIMARY KEY, player_id INTEGER NOT NULL, given_by VARCHAR NOT NULL, given_on DATE NOT NULL, until DATE, purpose VARCHAR NOT NULL, who VARCHAR NOT NULL, at_time TIMESTAMP NOT NULL);
CREATE TABLE note (id INTEGER PRIMARY KEY, player_id INTEGER, date DATE, text VARCHAR NOT NULL, who VARCHAR NOT NULL, at_time TIMESTAMP NOT NULL);
CREATE TABLE decision (id INTEGER PRIMARY KEY, player_id INTEGER NOT NULL, choice VARCHAR NOT NULL, why VARCHAR NOT NULL, review DATE, who VARCHAR NOT NULL, at_time TIMESTAMP NOT NULL);
CREATE TABLE deck_item (id INTEGER PRIMARY KEY, place INTEGER NOT NULL, question VARCHAR NOT NULL, asked VARCHAR NOT NULL, at_time TIMESTAMP NOT NULL);
CREATE TABLE journal (
    id BIGINT NOT NULL, at_time TIMESTAMP NOT NULL, who VARCHAR NOT NULL, action VARCHAR NOT NULL,
    table_name VARCHAR, row_id BIGINT, field VARCHAR, old_value VARCHAR, new_value VARCHAR, why VARCHAR, source_id INTEGER
);

INSERT INTO technique VALUES
    (1, 'straight', false, '', NULL, 1),
    (2, 'board', true, '', NULL, 2),
    (3, 'underhand', false, '', NULL, 3),
    (4, 'other', false, '', NULL, 4);
INSERT INTO ledger_meta VALUES ('format_version', '1'), ('changes', '0');
