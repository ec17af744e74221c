-- The book, second edition: what a receipt changes on its order is small, so that recording one writes few pages.

-- How many lines wait for goods, counted with claims made right, now stands for every order; so does whether all
-- has come or was made right. Both stood partly in the lines before.
UPDATE orders SET
  complete = complete = 1 OR waiting IS 0,
  waiting = coalesce(waiting, (SELECT count(*) FROM order_lines l WHERE l.order_id = orders.id AND l.filled IS NULL));

-- Nothing reads these: each receipt's lots say what came, and `check` works the standing of a line out.
ALTER TABLE order_lines DROP COLUMN description;
ALTER TABLE order_lines DROP COLUMN arrived;
ALTER TABLE order_lines DROP COLUMN conforming;
ALTER TABLE order_lines DROP COLUMN back_ordered;
ALTER TABLE order_lines DROP COLUMN unit_price;
ALTER TABLE order_lines DROP COLUMN per;
ALTER TABLE order_lines DROP COLUMN as_ordered;
ALTER TABLE order_lines DROP COLUMN promised;
ALTER TABLE order_lines DROP COLUMN first_date;
ALTER TABLE order_lines DROP COLUMN last_date;
ALTER TABLE order_lines DROP COLUMN filled;

-- An order that is not complete is found by that; the other index has those alone that would not be found.
DROP INDEX orders_open;
CREATE INDEX orders_open ON orders (promised, number) WHERE complete = 0;
DROP INDEX orders_differing;
CREATE INDEX orders_differing ON orders (number) WHERE complete = 1 AND claimable = 1;

-- The days goods came change with every receipt; a review walks over all orders instead.
DROP INDEX orders_for_review;

-- No question is asked that these would answer.
DROP INDEX orders_by_supplier;
DROP INDEX documents_by_number;
DROP INDEX receipt_lines_held;
DROP INDEX leaves_by_flitch;
