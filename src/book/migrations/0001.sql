-- The book, first edition. Dates are local dates (2026-03-19); stamps are UTC (2026-03-19T14:02:11Z).
-- Exact amounts and money are decimal text. Columns that end in _u are whole millionths of the unit beside them,
-- so that SQL can add them; columns that end in _cents are whole cents.

-- Every document that was ever recorded, word for word. Rows are worked out from it; it is never changed.
CREATE TABLE documents (
  id       INTEGER PRIMARY KEY,
  kind     TEXT NOT NULL CHECK (kind IN ('shop', 'supplier', 'order', 'receipt', 'invoice')),
  number   TEXT NOT NULL,
  file     TEXT NOT NULL,
  sha256   TEXT NOT NULL CHECK (length(sha256) = 64),
  text     TEXT NOT NULL,
  recorded TEXT NOT NULL
) STRICT;
CREATE INDEX documents_by_number ON documents (kind, number);

CREATE TABLE suppliers (
  id       INTEGER PRIMARY KEY,
  code     TEXT NOT NULL UNIQUE,
  name     TEXT,
  document INTEGER REFERENCES documents (id)
) STRICT;

CREATE TABLE shop (
  id       INTEGER PRIMARY KEY CHECK (id = 1),
  document INTEGER NOT NULL REFERENCES documents (id)
) STRICT;

-- waiting: how many lines still wait for goods once claims made right are counted in, NULL where none is made right.
-- pickup: goods stand here to be collected though their claim is made right.
-- supplier_document and shop_document are the files that the rows of the order were worked out with.
CREATE TABLE orders (
  id                INTEGER PRIMARY KEY,
  number            TEXT NOT NULL UNIQUE,
  supplier_id       INTEGER NOT NULL REFERENCES suppliers (id),
  date              TEXT NOT NULL,
  promised          TEXT,
  currency          TEXT NOT NULL,
  job               TEXT,
  document          INTEGER NOT NULL REFERENCES documents (id),
  supplier_document INTEGER REFERENCES documents (id),
  shop_document     INTEGER REFERENCES documents (id),
  as_ordered        INTEGER NOT NULL CHECK (as_ordered IN (0, 1)),
  complete          INTEGER NOT NULL CHECK (complete IN (0, 1)),
  claimable         INTEGER NOT NULL CHECK (claimable IN (0, 1)),
  first_date        TEXT,
  completed         TEXT,
  waiting           INTEGER,
  pickup            INTEGER NOT NULL DEFAULT 0 CHECK (pickup IN (0, 1)),
  recorded          TEXT NOT NULL
) STRICT;
CREATE INDEX orders_by_supplier ON orders (supplier_id, date);
CREATE INDEX orders_for_review ON orders (supplier_id, promised, first_date, completed);
CREATE INDEX orders_open ON orders (promised, number) WHERE complete = 0 AND waiting IS NOT 0;
CREATE INDEX orders_pickup ON orders (number) WHERE pickup = 1;
CREATE INDEX orders_differing ON orders (number) WHERE claimable = 1;

-- first_date: the first receipt that brought something. filled: the date of the receipt with which all that was
-- ordered had come and conformed; NULL while something is owed.
CREATE TABLE order_lines (
  id           INTEGER PRIMARY KEY,
  order_id     INTEGER NOT NULL REFERENCES orders (id),
  place        INTEGER NOT NULL,
  line         TEXT NOT NULL,
  item         TEXT,
  description  TEXT,
  unit         TEXT NOT NULL,
  ordered      TEXT NOT NULL,
  arrived      TEXT NOT NULL,
  conforming   TEXT NOT NULL,
  back_ordered TEXT NOT NULL,
  unit_price   TEXT,
  per          TEXT NOT NULL,
  as_ordered   INTEGER NOT NULL CHECK (as_ordered IN (0, 1)),
  sets_ordered INTEGER NOT NULL,
  sets_filled  INTEGER NOT NULL,
  promised     TEXT,
  first_date   TEXT,
  last_date    TEXT,
  filled       TEXT,
  UNIQUE (order_id, line)
) STRICT;
CREATE INDEX order_lines_with_sets ON order_lines (order_id, sets_ordered, sets_filled) WHERE sets_ordered > 0;

-- as_ordered: whether the delivery, judged with what had come before it, was as ordered.
CREATE TABLE receipts (
  id           INTEGER PRIMARY KEY,
  number       TEXT NOT NULL UNIQUE,
  order_id     INTEGER NOT NULL REFERENCES orders (id),
  supplier_id  INTEGER NOT NULL REFERENCES suppliers (id),
  month        INTEGER NOT NULL,
  date         TEXT NOT NULL,
  by           TEXT,
  packing_slip TEXT,
  carrier      TEXT,
  place        TEXT,
  on_time      INTEGER CHECK (on_time IN (0, 1)),
  as_ordered   INTEGER NOT NULL CHECK (as_ordered IN (0, 1)),
  document     INTEGER NOT NULL REFERENCES documents (id),
  recorded     TEXT NOT NULL
) STRICT;
CREATE INDEX receipts_by_order ON receipts (order_id, date, number);
CREATE INDEX receipts_by_month ON receipts (supplier_id, month, as_ordered, on_time);

-- One lot as it was judged on the day it came, with what had come before it. month is 202603 for March 2026.
-- rejected_u <= arrived_u; as_ordered: nothing of it rejected and nothing found that can be claimed or must be
-- looked at again; unit is that of the order line, or of the count where no line asked for it.
CREATE TABLE receipt_lines (
  id            INTEGER PRIMARY KEY,
  supplier_id   INTEGER NOT NULL,
  month         INTEGER NOT NULL,
  unit          TEXT NOT NULL,
  as_ordered    INTEGER NOT NULL CHECK (as_ordered IN (0, 1)),
  arrived_u     INTEGER NOT NULL,
  rejected_u    INTEGER NOT NULL,
  receipt_id    INTEGER NOT NULL REFERENCES receipts (id),
  place         INTEGER NOT NULL,
  order_line_id INTEGER REFERENCES order_lines (id),
  item          TEXT,
  stands        TEXT,
  held          TEXT,
  CHECK (rejected_u BETWEEN 0 AND arrived_u),
  UNIQUE (receipt_id, place)
) STRICT;
CREATE INDEX receipt_lines_by_order_line ON receipt_lines (order_line_id);
CREATE INDEX receipt_lines_held ON receipt_lines (receipt_id) WHERE held IS NOT NULL;

-- The lots added up month by month for the review, kept right by the triggers below, whoever writes the lots: a
-- review then costs the same in a book of a thousand lines and of millions. `verify` adds them up anew.
CREATE TABLE line_months (
  supplier_id INTEGER NOT NULL,
  month       INTEGER NOT NULL,
  unit        TEXT NOT NULL,
  as_ordered  INTEGER NOT NULL,
  lines       INTEGER NOT NULL,
  arrived_u   INTEGER NOT NULL,
  rejected_u  INTEGER NOT NULL,
  PRIMARY KEY (supplier_id, month, unit, as_ordered)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER line_months_in AFTER INSERT ON receipt_lines
BEGIN
  INSERT INTO line_months
    VALUES (NEW.supplier_id, NEW.month, NEW.unit, NEW.as_ordered, 1, NEW.arrived_u, NEW.rejected_u)
    ON CONFLICT DO UPDATE SET lines = lines + 1, arrived_u = arrived_u + NEW.arrived_u,
      rejected_u = rejected_u + NEW.rejected_u;
END;
CREATE TRIGGER line_months_out AFTER DELETE ON receipt_lines
BEGIN
  UPDATE line_months SET lines = lines - 1, arrived_u = arrived_u - OLD.arrived_u,
      rejected_u = rejected_u - OLD.rejected_u
    WHERE supplier_id = OLD.supplier_id AND month = OLD.month AND unit = OLD.unit AND as_ordered = OLD.as_ordered;
END;
CREATE TRIGGER line_months_over
AFTER UPDATE OF supplier_id, month, unit, as_ordered, arrived_u, rejected_u ON receipt_lines
BEGIN
  UPDATE line_months SET lines = lines - 1, arrived_u = arrived_u - OLD.arrived_u,
      rejected_u = rejected_u - OLD.rejected_u
    WHERE supplier_id = OLD.supplier_id AND month = OLD.month AND unit = OLD.unit AND as_ordered = OLD.as_ordered;
  INSERT INTO line_months
    VALUES (NEW.supplier_id, NEW.month, NEW.unit, NEW.as_ordered, 1, NEW.arrived_u, NEW.rejected_u)
    ON CONFLICT DO UPDATE SET lines = lines + 1, arrived_u = arrived_u + NEW.arrived_u,
      rejected_u = rejected_u + NEW.rejected_u;
END;

CREATE TABLE leaves (
  id              INTEGER PRIMARY KEY,
  receipt_line_id INTEGER NOT NULL REFERENCES receipt_lines (id),
  flitch          TEXT,
  number          INTEGER,
  mark            TEXT,
  defects         INTEGER NOT NULL
) STRICT;
CREATE INDEX leaves_by_receipt_line ON leaves (receipt_line_id);
CREATE INDEX leaves_by_flitch ON leaves (flitch, number);

CREATE TABLE invoices (
  id          INTEGER PRIMARY KEY,
  supplier_id INTEGER NOT NULL REFERENCES suppliers (id),
  number      TEXT NOT NULL,
  order_id    INTEGER NOT NULL REFERENCES orders (id),
  date        TEXT NOT NULL,
  total       TEXT,
  document    INTEGER NOT NULL REFERENCES documents (id),
  recorded    TEXT NOT NULL,
  UNIQUE (supplier_id, number)
) STRICT;
CREATE INDEX invoices_by_order ON invoices (order_id, date);

-- What each receipt brought to light: receipt_line_id is NULL where it is no single lot's (short, sets missing).
-- Findings of the bills have order_id alone. cost_cents: amount at the order's price, NULL where none is known.
CREATE TABLE findings (
  id              INTEGER PRIMARY KEY,
  supplier_id     INTEGER NOT NULL,
  month           INTEGER NOT NULL,
  aspect          TEXT NOT NULL,
  kind            TEXT NOT NULL,
  effect          TEXT NOT NULL CHECK (effect IN ('claimed', 'look-again', 'informs', 'logged')),
  unit            TEXT NOT NULL,
  amount          TEXT NOT NULL,
  amount_u        INTEGER NOT NULL,
  cost_cents      INTEGER,
  text            TEXT NOT NULL,
  order_id        INTEGER NOT NULL REFERENCES orders (id),
  order_line_id   INTEGER REFERENCES order_lines (id),
  receipt_id      INTEGER REFERENCES receipts (id),
  receipt_line_id INTEGER REFERENCES receipt_lines (id)
) STRICT;
CREATE INDEX findings_for_review ON findings (supplier_id, month, aspect, kind, unit);
CREATE INDEX findings_by_order ON findings (order_id);
CREATE INDEX findings_by_order_line ON findings (order_line_id);
CREATE INDEX findings_by_receipt ON findings (receipt_id);
CREATE INDEX findings_by_receipt_line ON findings (receipt_line_id);

-- Photographs and other evidence: the files stay in the shop's folder, their hashes here.
CREATE TABLE evidence (
  id         INTEGER PRIMARY KEY,
  receipt_id INTEGER NOT NULL REFERENCES receipts (id),
  path       TEXT NOT NULL,
  sha256     TEXT NOT NULL CHECK (length(sha256) = 64),
  size       INTEGER NOT NULL,
  recorded   TEXT NOT NULL,
  UNIQUE (receipt_id, path)
) STRICT;

-- answer: the whole answer as JSON on the day the claim was drafted. asked: what is asked for, as JSON.
CREATE TABLE claims (
  id          INTEGER PRIMARY KEY,
  number      TEXT NOT NULL UNIQUE,
  order_id    INTEGER NOT NULL REFERENCES orders (id),
  supplier_id INTEGER NOT NULL REFERENCES suppliers (id),
  party       TEXT NOT NULL CHECK (party IN ('supplier', 'carrier')),
  state       TEXT NOT NULL,
  drafted     TEXT NOT NULL,
  sent        TEXT,
  notify_by   TEXT,
  answer_by   TEXT,
  closed      TEXT,
  currency    TEXT NOT NULL,
  value       TEXT,
  answer      TEXT NOT NULL,
  asked       TEXT NOT NULL,
  recorded    TEXT NOT NULL
) STRICT;
CREATE INDEX claims_by_order ON claims (order_id);
CREATE INDEX claims_by_supplier ON claims (supplier_id, drafted);
CREATE INDEX claims_by_state ON claims (state);

CREATE TABLE claim_receipts (
  claim_id   INTEGER NOT NULL REFERENCES claims (id),
  receipt_id INTEGER NOT NULL REFERENCES receipts (id),
  document   INTEGER NOT NULL REFERENCES documents (id),
  PRIMARY KEY (claim_id, receipt_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX claim_receipts_by_receipt ON claim_receipts (receipt_id);

-- Every wording of every letter; the newest of a kind is the one that goes out.
CREATE TABLE letters (
  id       INTEGER PRIMARY KEY,
  claim_id INTEGER NOT NULL REFERENCES claims (id),
  kind     TEXT NOT NULL,
  subject  TEXT NOT NULL,
  text     TEXT NOT NULL,
  html     TEXT,
  sha256   TEXT NOT NULL CHECK (length(sha256) = 64),
  edited   INTEGER NOT NULL CHECK (edited IN (0, 1)),
  recorded TEXT NOT NULL
) STRICT;
CREATE INDEX letters_by_claim ON letters (claim_id, kind);

-- The intent to send is written before, the result after: a row that still says `going` may have gone.
CREATE TABLE messages (
  id         INTEGER PRIMARY KEY,
  claim_id   INTEGER NOT NULL REFERENCES claims (id),
  letter_id  INTEGER NOT NULL REFERENCES letters (id),
  message_id TEXT NOT NULL,
  recipients TEXT NOT NULL,
  sha256     TEXT NOT NULL CHECK (length(sha256) = 64),
  result     TEXT NOT NULL CHECK (result IN ('going', 'sent', 'not-sent', 'may-have-gone', 'written', 'told')),
  detail     TEXT,
  intended   TEXT NOT NULL,
  ended      TEXT,
  day        TEXT
) STRICT;
CREATE INDEX messages_by_claim ON messages (claim_id);
CREATE INDEX messages_by_letter ON messages (letter_id);

CREATE TABLE answers (
  id       INTEGER PRIMARY KEY,
  claim_id INTEGER NOT NULL REFERENCES claims (id),
  date     TEXT NOT NULL,
  kind     TEXT NOT NULL CHECK (kind IN ('replacement', 'credit', 'collection', 'refused')),
  by       TEXT,
  amount   TEXT,
  note     TEXT,
  recorded TEXT NOT NULL
) STRICT;
CREATE INDEX answers_by_claim ON answers (claim_id);

CREATE TABLE settlements (
  id         INTEGER PRIMARY KEY,
  claim_id   INTEGER NOT NULL REFERENCES claims (id),
  date       TEXT NOT NULL,
  kind       TEXT NOT NULL CHECK (kind IN ('replacement', 'credit', 'collection', 'enough')),
  receipt_id INTEGER REFERENCES receipts (id),
  amount     TEXT,
  paper      TEXT,
  made_right INTEGER NOT NULL CHECK (made_right IN (0, 1)),
  judged     TEXT NOT NULL,
  recorded   TEXT NOT NULL
) STRICT;
CREATE INDEX settlements_by_claim ON settlements (claim_id);
CREATE INDEX settlements_by_receipt ON settlements (receipt_id);

-- What was done, when. Nothing is ever taken out of it.
CREATE TABLE journal (
  id       INTEGER PRIMARY KEY,
  at       TEXT NOT NULL,
  what     TEXT NOT NULL,
  subject  TEXT NOT NULL,
  order_id INTEGER REFERENCES orders (id),
  claim_id INTEGER REFERENCES claims (id),
  document INTEGER REFERENCES documents (id),
  replaced INTEGER REFERENCES documents (id),
  detail   TEXT NOT NULL
) STRICT;
CREATE INDEX journal_by_order ON journal (order_id, id);
CREATE INDEX journal_by_claim ON journal (claim_id, id);

CREATE TRIGGER journal_is_kept_1 BEFORE UPDATE ON journal
BEGIN SELECT RAISE(ABORT, 'the journal is only added to'); END;
CREATE TRIGGER journal_is_kept_2 BEFORE DELETE ON journal
BEGIN SELECT RAISE(ABORT, 'the journal is only added to'); END;
CREATE TRIGGER journal_is_kept_3 BEFORE INSERT ON journal
WHEN NEW.id IS NOT NULL AND EXISTS (SELECT 1 FROM journal WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'the journal is only added to'); END;
CREATE TRIGGER documents_are_kept_1 BEFORE UPDATE ON documents
BEGIN SELECT RAISE(ABORT, 'documents are kept word for word'); END;
CREATE TRIGGER documents_are_kept_2 BEFORE DELETE ON documents
BEGIN SELECT RAISE(ABORT, 'documents are kept word for word'); END;
CREATE TRIGGER documents_are_kept_3 BEFORE INSERT ON documents
WHEN NEW.id IS NOT NULL AND EXISTS (SELECT 1 FROM documents WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'documents are kept word for word'); END;
