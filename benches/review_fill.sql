-- A year of 1,000,000 receipt lines: 40 suppliers, 200,000 orders of 5 lines, one receipt each; 6 % of the receipts
-- are not as ordered, with a finding, and every tenth of those has a claim. Invented; the numbers come from a
-- multiplicative generator, so that the book is the same on every machine.
PRAGMA foreign_keys = OFF;
PRAGMA journal_mode = OFF;
PRAGMA synchronous = OFF;
BEGIN;
INSERT INTO documents (id, kind, number, file, sha256, text, recorded)
  VALUES (1, 'order', 'bench', 'bench', printf('%064d', 0), '', '2026-01-01T00:00:00Z');
WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 40)
INSERT INTO suppliers (id, code, name) SELECT i, printf('supplier-%02d', i), printf('Supplier %02d', i) FROM n;

CREATE TEMP TABLE deal AS
WITH RECURSIVE n(i, x) AS (
  SELECT 1, 48271 UNION ALL SELECT i + 1, x * 48271 % 2147483647 FROM n WHERE i < 200000)
SELECT i, x, 1 + x % 40 AS supplier, (x / 40) % 365 AS day, (x / 14600) % 100 < 6 AS bad,
  (x / 1460000) % 100 < 12 AS late
FROM n;

INSERT INTO orders (id, number, supplier_id, date, promised, currency, document, as_ordered, complete, claimable,
    first_date, completed, waiting, recorded)
  SELECT i, printf('PO-%06d', i), supplier, date('2025-04-01', printf('%d days', day - 20)),
    date('2025-04-01', printf('%d days', day - late * 3)), 'USD', 1, NOT bad, 1, bad,
    date('2025-04-01', printf('%d days', day)), CASE WHEN bad THEN NULL ELSE date('2025-04-01', printf('%d days', day)) END, bad,
    '2026-04-01T00:00:00Z'
  FROM deal;
INSERT INTO receipts (id, number, order_id, supplier_id, month, date, on_time, as_ordered, document, recorded)
  SELECT i, printf('RG-%06d', i), i, supplier, CAST(strftime('%Y%m', date('2025-04-01', printf('%d days', day))) AS INTEGER),
    date('2025-04-01', printf('%d days', day)), NOT late, NOT bad, 1, '2026-04-01T00:00:00Z'
  FROM deal;
INSERT INTO order_lines (id, order_id, place, line, item, unit, ordered, sets_ordered, sets_filled)
  SELECT (i - 1) * 5 + l, i, l, l, printf('ITEM-%d', l), CASE l WHEN 1 THEN 'sheet' WHEN 2 THEN 'each' WHEN 3 THEN 'bdft' ELSE 'sheet' END,
    '10', (l = 1 AND supplier % 10 = 0), (l = 1 AND supplier % 10 = 0 AND NOT bad)
  FROM deal, (SELECT 1 AS l UNION ALL SELECT 2 UNION ALL SELECT 3 UNION ALL SELECT 4 UNION ALL SELECT 5);
INSERT INTO receipt_lines (id, supplier_id, month, unit, as_ordered, arrived_u, rejected_u, receipt_id, place, order_line_id)
  SELECT l.id, r.supplier_id, r.month, l.unit, r.as_ordered OR l.place > 1, 10000000,
    (NOT r.as_ordered AND l.place = 1) * 2000000, r.id, l.place, l.id
  FROM receipts r JOIN order_lines l ON l.order_id = r.id;
INSERT INTO findings (supplier_id, month, aspect, kind, effect, unit, amount, amount_u, cost_cents, text, order_id,
    order_line_id, receipt_id, receipt_line_id)
  SELECT r.supplier_id, r.month, CASE r.id % 3 WHEN 0 THEN 'grade' WHEN 1 THEN 'condition' ELSE 'quantity' END,
    CASE r.id % 3 WHEN 0 THEN 'lower' WHEN 1 THEN 'damaged' ELSE 'short' END, 'claimed', 'sheet', '2', 2000000,
    100 * (50 + r.id % 400), 'invented', r.id, (r.id - 1) * 5 + 1, r.id, (r.id - 1) * 5 + 1
  FROM receipts r WHERE NOT r.as_ordered;
INSERT INTO claims (number, order_id, supplier_id, party, state, drafted, sent, notify_by, answer_by, closed, currency,
    value, answer, asked, recorded)
  SELECT printf('PO-%06d-C1', r.id), r.id, r.supplier_id, 'supplier', CASE WHEN r.id % 4 THEN 'made right' ELSE 'sent' END,
    r.date, r.date, date(r.date, '3 days'), date(r.date, '10 days'), CASE WHEN r.id % 4 THEN date(r.date, printf('%d days', 5 + r.id % 40)) END,
    'USD', printf('%d.00', 50 + r.id % 400), '{}', '{"parts":[],"costs":[]}', '2026-04-01T00:00:00Z'
  FROM receipts r WHERE NOT r.as_ordered AND r.id % 10 = 0;
INSERT INTO claim_receipts (claim_id, receipt_id, document) SELECT id, order_id, 1 FROM claims;
DROP TABLE deal;
COMMIT;
ANALYZE;
