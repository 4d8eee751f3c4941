-- A records file of version 3 with an entry of each kind. It says what such files hold and is never edited.
PRAGMA application_id = 1398231619;
CREATE TABLE lot (
id INTEGER PRIMARY KEY AUTOINCREMENT, line TEXT NOT NULL, started_ms REAL NOT NULL, details TEXT NOT NULL,
written_by TEXT NOT NULL, written_role TEXT NOT NULL, written_ms REAL NOT NULL
) STRICT;
CREATE INDEX lot_by_time ON lot (started_ms);
CREATE TABLE lot_end (
id INTEGER PRIMARY KEY AUTOINCREMENT, lot INTEGER NOT NULL UNIQUE REFERENCES lot (id),
ended_ms REAL NOT NULL, written_by TEXT NOT NULL, written_role TEXT NOT NULL, written_ms REAL NOT NULL
) STRICT;
CREATE TABLE shift (
id INTEGER PRIMARY KEY AUTOINCREMENT, line TEXT NOT NULL, started_ms REAL NOT NULL, details TEXT NOT NULL,
written_by TEXT NOT NULL, written_role TEXT NOT NULL, written_ms REAL NOT NULL
) STRICT;
CREATE INDEX shift_by_time ON shift (started_ms);
CREATE TABLE shift_end (
id INTEGER PRIMARY KEY AUTOINCREMENT, shift INTEGER NOT NULL UNIQUE REFERENCES shift (id),
ended_ms REAL NOT NULL, written_by TEXT NOT NULL, written_role TEXT NOT NULL, written_ms REAL NOT NULL
) STRICT;
CREATE TABLE mark (
id INTEGER PRIMARY KEY AUTOINCREMENT, line TEXT NOT NULL, time_ms REAL NOT NULL, details TEXT NOT NULL, written_by TEXT NOT NULL, written_role TEXT NOT NULL, written_ms REAL NOT NULL
) STRICT;
CREATE INDEX mark_by_time ON mark (time_ms);
CREATE TABLE hand_sample (
id INTEGER PRIMARY KEY AUTOINCREMENT, line TEXT NOT NULL, time_ms REAL NOT NULL, details TEXT NOT NULL, written_by TEXT NOT NULL, written_role TEXT NOT NULL, written_ms REAL NOT NULL
) STRICT;
CREATE INDEX hand_sample_by_time ON hand_sample (time_ms);
CREATE TABLE alarm_transition (
id INTEGER PRIMARY KEY AUTOINCREMENT, alarm TEXT NOT NULL, line TEXT NOT NULL, time_ms REAL NOT NULL,
written_by TEXT, details TEXT NOT NULL
) STRICT;
CREATE INDEX alarm_transition_by_time ON alarm_transition (time_ms);
CREATE TABLE alarm_standing (alarm TEXT PRIMARY KEY, details TEXT NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE command (
id INTEGER PRIMARY KEY AUTOINCREMENT, kind TEXT NOT NULL, details TEXT NOT NULL, refused TEXT, written_by TEXT NOT NULL, written_role TEXT NOT NULL, written_ms REAL NOT NULL
) STRICT;
CREATE INDEX command_by_time ON command (written_ms);

INSERT INTO lot (line, started_ms, details, written_by, written_role, written_ms) VALUES
('line-1', 1789365600000, '{"line":"line-1","number":"QM-0417","crop":"soybean","massKgPlanned":40000,"testWeightKgPerHl":72.5,"route":"all machines","treatmentPlan":"Coat A","products":[{"name":"Coat A","doseMlPerBu":60,"labelMlPerBuMin":50,"labelMlPerBuMax":null}]}', 'Ada', 'operator', 1789365600000),
('line-1', 1789369200000, '{"line":"line-1","number":"QM-0418","crop":"wheat","massKgPlanned":null,"testWeightKgPerHl":null,"route":"all machines","treatmentPlan":"none","products":[]}', 'Ben', 'operator', 1789369200000);
INSERT INTO lot_end (lot, ended_ms, written_by, written_role, written_ms) VALUES (1, 1789369200000, 'Ben', 'operator', 1789369200000);
INSERT INTO shift (line, started_ms, details, written_by, written_role, written_ms) VALUES
('line-1', 1789365600000, '{"line":"line-1","name":"early"}', 'Ada', 'operator', 1789365600000);
INSERT INTO mark (line, time_ms, details, written_by, written_role, written_ms) VALUES
('line-1', 1789366000000, '{"line":"line-1","machine":"gravity-table","kind":"setting","timeMs":1789366000000,"text":"Side tilt 2.0 to 2.3 degrees"}', 'Ada', 'operator', 1789366060000);
INSERT INTO hand_sample (line, time_ms, details, written_by, written_role, written_ms) VALUES
('line-1', 1789366000000, '{"line":"line-1","stream":"clean","lot":"QM-0417","takenMs":1789366000000,"results":{"moisture":{"value":0.122,"unit":"1"}},"note":""}', 'Ada', 'operator', 1789366060000);
INSERT INTO alarm_transition (alarm, line, time_ms, written_by, details) VALUES
('line-1.destoner.stopped', 'line-1', 1789366000000, NULL, '{"alarm":"line-1.destoner.stopped","line":"line-1","timeMs":1789366000000,"from":"normal","to":"unacknowledged","code":"machine-stopped","priority":"high","by":null,"params":{"machine":"destoner"}}');
INSERT INTO alarm_standing (alarm, details) VALUES
('line-1.destoner.stopped', '{"id":"line-1.destoner.stopped","line":"line-1","machine":"destoner","subject":"line-1.destoner.running","code":"machine-stopped","params":{"machine":"destoner"},"priority":"high","state":"unacknowledged","raisedMs":1789366000000,"clearedMs":null,"acknowledged":null,"consequences":[]}');
INSERT INTO command (kind, details, refused, written_by, written_role, written_ms) VALUES
('end-lot', '{"kind":"end-lot","line":"line-2"}', 'COMMAND_REFUSED lot: got none', 'Ada', 'operator', 1789366000000);
CREATE TRIGGER lot_is_not_changed BEFORE UPDATE ON lot BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: lot'); END;
CREATE TRIGGER lot_is_not_removed BEFORE DELETE ON lot BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: lot'); END;
CREATE TRIGGER lot_is_not_replaced BEFORE INSERT ON lot WHEN EXISTS (SELECT 1 FROM lot WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: lot'); END;
CREATE TRIGGER lot_end_is_not_changed BEFORE UPDATE ON lot_end BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: lot_end'); END;
CREATE TRIGGER lot_end_is_not_removed BEFORE DELETE ON lot_end BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: lot_end'); END;
CREATE TRIGGER lot_end_is_not_replaced BEFORE INSERT ON lot_end WHEN EXISTS (SELECT 1 FROM lot_end WHERE id = NEW.id OR lot = NEW.lot) BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: lot_end'); END;
CREATE TRIGGER shift_is_not_changed BEFORE UPDATE ON shift BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: shift'); END;
CREATE TRIGGER shift_is_not_removed BEFORE DELETE ON shift BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: shift'); END;
CREATE TRIGGER shift_is_not_replaced BEFORE INSERT ON shift WHEN EXISTS (SELECT 1 FROM shift WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: shift'); END;
CREATE TRIGGER shift_end_is_not_changed BEFORE UPDATE ON shift_end BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: shift_end'); END;
CREATE TRIGGER shift_end_is_not_removed BEFORE DELETE ON shift_end BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: shift_end'); END;
CREATE TRIGGER shift_end_is_not_replaced BEFORE INSERT ON shift_end WHEN EXISTS (SELECT 1 FROM shift_end WHERE id = NEW.id OR shift = NEW.shift) BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: shift_end'); END;
CREATE TRIGGER mark_is_not_changed BEFORE UPDATE ON mark BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: mark'); END;
CREATE TRIGGER mark_is_not_removed BEFORE DELETE ON mark BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: mark'); END;
CREATE TRIGGER mark_is_not_replaced BEFORE INSERT ON mark WHEN EXISTS (SELECT 1 FROM mark WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: mark'); END;
CREATE TRIGGER hand_sample_is_not_changed BEFORE UPDATE ON hand_sample BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: hand_sample'); END;
CREATE TRIGGER hand_sample_is_not_removed BEFORE DELETE ON hand_sample BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: hand_sample'); END;
CREATE TRIGGER hand_sample_is_not_replaced BEFORE INSERT ON hand_sample WHEN EXISTS (SELECT 1 FROM hand_sample WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: hand_sample'); END;
CREATE TRIGGER alarm_transition_is_not_changed BEFORE UPDATE ON alarm_transition BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: alarm_transition'); END;
CREATE TRIGGER alarm_transition_is_not_removed BEFORE DELETE ON alarm_transition BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: alarm_transition'); END;
CREATE TRIGGER alarm_transition_is_not_replaced BEFORE INSERT ON alarm_transition WHEN EXISTS (SELECT 1 FROM alarm_transition WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: alarm_transition'); END;
CREATE TRIGGER command_is_not_changed BEFORE UPDATE ON command BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: command'); END;
CREATE TRIGGER command_is_not_removed BEFORE DELETE ON command BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: command'); END;
CREATE TRIGGER command_is_not_replaced BEFORE INSERT ON command WHEN EXISTS (SELECT 1 FROM command WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: command'); END;
CREATE INDEX alarm_transition_by_alarm ON alarm_transition (alarm, time_ms, id);
PRAGMA user_version = 3;
