PRAGMA application_id = 1634955122;
PRAGMA user_version = 1;
PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
CREATE TABLE documents (
  id       INTEGER PRIMARY KEY,
  kind     TEXT NOT NULL CHECK (kind IN ('shop', 'supplier', 'order', 'receipt', 'invoice')),
  number   TEXT NOT NULL,
  file     TEXT NOT NULL,
  sha256   TEXT NOT NULL CHECK (length(sha256) = 64),
  text     TEXT NOT NULL,
  recorded TEXT NOT NULL
) STRICT;
INSERT INTO documents VALUES(1,'supplier','quillfeather','./suppliers/quillfeather.yaml','8e138161c65ebb662c337da4b09a8d3d0833d1622461d26a81fec916f47d425d',replace('supplier: quillfeather\nname: Quillfeather Veneers\ncontact: {name: Claims desk, email: claims@quillfeather.example}\naddress: ["40 Slicer Road", "North Pell, VT 05000"]\nnotice: {visible: 2 business days, concealed: 5 business days, shortage: 5 business days}\nreply: 10 days\nitems: {Q-8841: RWO-48x120, Q-7702: WAL-48x96}\n','\n',char(10)),'2026-11-25T10:40:26Z');
INSERT INTO documents VALUES(2,'shop','shop','./shop.yaml','30866b2fa106884cf383ed3130db24281b06a356e67ab1036b46b0637e5ebeb1',replace('# The shop of the demo. Everything in this folder is invented.\nname: Marrow Lane Millwork\naddress: ["17 Marrow Lane", "Eastwick Harbor, ME 04000"]\nsigns: {name: Ines Okafor, role: Owner}\ncurrency: USD\nholidays: [2026-01-01, 2026-01-19, 2026-02-16, 2026-05-25, 2026-06-19, 2026-07-03, 2026-09-07, 2026-11-26, 2026-12-25]\nlabour_rate: 85.00\nlocale: en-US\n# The password is never kept: it comes from ASORDERED_MAIL_PASSWORD or from `password_command`.\nmail: {server: mail.marrowlane.example, port: 587, security: starttls, user: claims, from: claims@marrowlane.example}\n','\n',char(10)),'2026-11-25T10:40:26Z');
INSERT INTO documents VALUES(3,'order','PO-2107','orders/PO-2107.yaml','76a4f3a9459b4b6f801a49ca4d449e949de1d72d701ccbad5233198c44ae5a8e',replace('# Two veneers on one order. The quantities of the two lines come exchanged, and the oak does not follow on.\norder: PO-2107\nsupplier: quillfeather\ndate: 2026-03-02\npromised: 2026-03-20\ncurrency: USD\njob: Lantern Street library\nfreight: destination\nlines:\n  - line: 1\n    item: RWO-48x120\n    description: Rift white oak veneer, paper-backed\n    quantity: 8 sheet\n    unit_price: 212.50\n    grade: A\n    scale: hp1-face\n    size: 48 in x 120 in\n    finish: {cut: rift}\n    sequence: {sets: [4, 4]}\n  - line: 2\n    item: WAL-48x96\n    description: Walnut veneer, flat cut, paper-backed\n    quantity: 6 sheet\n    unit_price: 168.00\n    grade: A\n    scale: hp1-face\n    size: 48 in x 96 in\n    finish: {cut: flat}\n    sequence: {sets: [6]}\n','\n',char(10)),'2026-11-25T10:40:26Z');
INSERT INTO documents VALUES(4,'supplier','bramblegate','./suppliers/bramblegate.yaml','a3c2b1bacf89b14b7e495cfa312cf5a4c306e1038790b13eb837e83ca52fc4e2',replace('supplier: bramblegate\nname: Bramblegate Panel Supply\ncontact: {name: Customer service, email: service@bramblegate.example}\naddress: ["8 Mill Race", "Dunning, NH 03000"]\nnotice: {visible: 3 business days, shortage: 3 business days}\nreply: 7 days\ngrades: {Cabinet: B-2, Architect: A-1}\n','\n',char(10)),'2026-11-25T10:40:26Z');
INSERT INTO documents VALUES(5,'order','PO-2112','orders/PO-2112.yaml','69c2dc41adbd8f966f925038f54838ab13fd815e340fa46bf69f3ed2ba1404ec',replace('# Plywood by grade: face A with back 1. Part of it comes one grade lower.\norder: PO-2112\nsupplier: bramblegate\ndate: 2026-03-04\npromised: 2026-03-13\ncurrency: USD\njob: Fifer house kitchen\nlines:\n  - line: 1\n    item: MPL-A1-34\n    description: Maple plywood 3/4 in, A-1\n    quantity: 20 sheet\n    unit_price: 94.00\n    grade: A-1\n    scale: hp1\n    size: 48 in x 96 in x 3/4 in\n    size_tolerance: {under: 1/16 in, over: 1/16 in}\n  - line: 2\n    item: MPL-B2-34\n    description: Maple plywood 3/4 in, B-2\n    quantity: 10 sheet\n    unit_price: 71.00\n    grade: B-2\n    scale: hp1\n    size: 48 in x 96 in x 3/4 in\n    size_tolerance: {under: 1/16 in, over: 1/16 in}\n','\n',char(10)),'2026-11-25T10:40:26Z');
INSERT INTO documents VALUES(6,'supplier','copperfinch','./suppliers/copperfinch.yaml','1ab62958da8e360d1cf29c46a02e4b824e296d08e8420160242c4e4c3f33868b',replace('supplier: copperfinch\nname: Copperfinch Hardware\ncontact: {name: Returns, email: returns@copperfinch.example}\naddress: ["212 Hasp Street", "Gableton, NY 12000"]\nnotice: {visible: 5 business days, shortage: 2 business days}\nreply: 7 days\n','\n',char(10)),'2026-11-25T10:40:26Z');
INSERT INTO documents VALUES(7,'order','PO-2115','orders/PO-2115.yaml','94b1d6463a808fb2cb275e2e77aa1c7a189c4da4e7852e87d254014f3a46a4f0',replace('# A clean delivery.\norder: PO-2115\nsupplier: copperfinch\ndate: 2026-03-05\npromised: 2026-03-12\ncurrency: USD\njob: Fifer house kitchen\nlines:\n  - line: 1\n    item: HNG-110-SC\n    description: Concealed hinge, 110 degrees, soft close\n    quantity: 4 box\n    pack: 50 each\n    unit_price: 137.50\n    finish: {finish: nickel}\n  - line: 2\n    item: SLD-21\n    description: Drawer slide, 21 in, full extension\n    quantity: 24 pair\n    unit_price: 18.40\n','\n',char(10)),'2026-11-25T10:40:26Z');
INSERT INTO documents VALUES(8,'order','PO-2118','orders/PO-2118.yaml','48ccc6a06e270247b06381180e50c9933ebd7cc11069dde109c23ee3ad0402a0',replace('# The slip is wrong, the goods are right: there is nothing to claim.\norder: PO-2118\nsupplier: bramblegate\ndate: 2026-03-06\npromised: 2026-03-17\ncurrency: USD\njob: Lantern Street library\nlines:\n  - line: 1\n    item: MDF-34\n    description: MDF core panel 3/4 in\n    quantity: 30 sheet\n    unit_price: 38.20\n    size: 49 in x 97 in x 3/4 in\n    requires: [TSCA Title VI label]\n','\n',char(10)),'2026-11-25T10:40:26Z');
INSERT INTO documents VALUES(9,'supplier','tallowmere','./suppliers/tallowmere.yaml','4d703fecc5a89ca652cbd74150f48fcb5db93d6e2e45bddf4f1bfa284aedd1ea',replace('supplier: tallowmere\nname: Tallowmere Lumber\ncontact: {name: Yard office, email: yard@tallowmere.example}\naddress: ["1 Kiln Siding", "Lower Tallow, PA 15000"]\nreply: 10 days\n','\n',char(10)),'2026-11-25T10:40:26Z');
INSERT INTO documents VALUES(10,'order','PO-2120','orders/PO-2120.yaml','60a891c6166e6cb0a6a71b1c2038b0ca294faaa19268adca7de571ccac8e8660',replace('# Lumber in two deliveries: the slip declares the rest, and the rest comes.\norder: PO-2120\nsupplier: tallowmere\ndate: 2026-03-06\npromised: 2026-03-25\ncurrency: USD\njob: Lantern Street library\nlines:\n  - line: 1\n    item: WO-54-FAS\n    description: White oak, rift, kiln dried\n    quantity: 60 board\n    unit_price: 41.00\n    grade: FAS\n    scale: nhla\n  - line: 2\n    item: POP-44-1C\n    description: Poplar, kiln dried\n    quantity: 40 board\n    unit_price: 14.50\n    grade: 1C & better\n    scale: nhla\n','\n',char(10)),'2026-11-25T10:40:26Z');
INSERT INTO documents VALUES(11,'order','PO-2128','orders/PO-2128.yaml','177bcfbd1a8caf79f75caf4fb8359e8987827548d9bcf4a0d5f1432b5de8155f',replace('# Leaves without marks: the figure puts them in order.\norder: PO-2128\nsupplier: quillfeather\ndate: 2026-03-11\npromised: 2026-03-30\ncurrency: USD\njob: Pell Street clinic\nlines:\n  - line: 1\n    item: CHR-14x100\n    description: Cherry leaves, flat cut, figured\n    quantity: 8 leaf\n    unit_price: 31.00\n    size: 14 in x 100 in\n    sequence: {sets: [{face: nurse station, leaves: 4, match: book}, {face: door, leaves: 4, match: book}]}\n','\n',char(10)),'2026-11-25T10:40:26Z');
INSERT INTO documents VALUES(12,'receipt','RG-311','receipts/RG-311.yaml','6e36d341bc5f2b31f55802b18dfcabe002a440dc7004cc116a5d684b97280903',replace('receipt: RG-311\norder: PO-2107\ndate: 2026-03-19\nby: bench\npacking_slip: "88213"\nplace: veneer rack 4\nlines:\n  - line: 1\n    item: RWO-48x120\n    slip: 8 sheet\n    quantity: 6 sheet\n    grade: A\n    size: 48 in x 120 in\n    finish: {cut: rift}\n    leaves: "3318: 14-17, 21-22"\n  - line: 2\n    item: Q-7702\n    slip: 6 sheet\n    quantity: 8 sheet\n    grade: A\n    size: 48 in x 96 in\n    finish: {cut: flat}\n    leaves: "W-77: 3-10"\n','\n',char(10)),'2026-11-25T10:40:26Z');
INSERT INTO documents VALUES(13,'receipt','RG-314','receipts/RG-314.yaml','ea373d5a0f55487c88e1ddb5c35dbd1d1a7a5c2c36d529ba51a68fdb70dbd022',replace('receipt: RG-314\norder: PO-2112\ndate: 2026-03-13\nby: dock\npacking_slip: "B-5560"\nplace: panel rack, bay 2\nlines:\n  - line: 1\n    item: MPL-A1-34\n    slip: 20 sheet\n    quantity: 14 sheet\n    grade: Architect\n    size: 48 in x 96 in x 3/4 in\n  - line: 1\n    quantity: 6 sheet\n    grade: Cabinet\n    size: 48 in x 96 in x 3/4 in\n    note: bundle tag says Cabinet\n  - line: 2\n    item: MPL-B2-34\n    slip: 10 sheet\n    quantity: 10 sheet\n    grade: Cabinet\n    size: 48 in x 96 in x 3/4 in\n','\n',char(10)),'2026-11-25T10:40:26Z');
INSERT INTO documents VALUES(14,'receipt','RG-315','receipts/RG-315.yaml','e73d14947e02c2c91fbd87b652df97931981077b772362d35085ec0499c58f73',replace('receipt: RG-315\norder: PO-2115\ndate: 2026-03-12\nby: dock\npacking_slip: "C-30117"\nlines:\n  - {line: 1, item: HNG-110-SC, slip: 4 box, quantity: 4 box, finish: {finish: nickel}}\n  - {line: 2, item: SLD-21, slip: 24 pair, quantity: 24 pair}\n','\n',char(10)),'2026-11-25T10:40:26Z');
INSERT INTO documents VALUES(15,'receipt','RG-318','receipts/RG-318.yaml','5ca91df76b777d482ab5fbc25306c433cb47f1e04cfcd1e9b1ed8bb99335d618',replace('receipt: RG-318\norder: PO-2118\ndate: 2026-03-17\nby: dock\npacking_slip: "B-5581"\nlines:\n  - line: 1\n    item: MDF-34\n    slip: 28 sheet\n    quantity: 30 sheet\n    size: 49 in x 97 in x 3/4 in\n    papers: [TSCA Title VI label]\n    note: slip says 28; counted twice, 30\n','\n',char(10)),'2026-11-25T10:40:26Z');
INSERT INTO documents VALUES(16,'receipt','RG-320','receipts/RG-320.yaml','68cd699b1c1330a64d46730222b910b3d0165f0b5cdf36db61060d6edd20217b',replace('receipt: RG-320\norder: PO-2120\ndate: 2026-03-23\nby: dock\npacking_slip: "T-1190"\nlines:\n  - {line: 1, item: WO-54-FAS, slip: 42 board, quantity: 42 board, back_order: 18 board, grade: FAS}\n  - {line: 2, item: POP-44-1C, slip: 40 board, quantity: 40 board, grade: FAS}\n','\n',char(10)),'2026-11-25T10:40:26Z');
INSERT INTO documents VALUES(17,'receipt','RG-327','receipts/RG-327.yaml','14b091e395b37490a6ec5312aa54de193f91334a46f93c810268574ebfe2cb92',replace('receipt: RG-327\norder: PO-2120\ndate: 2026-03-24\nby: dock\npacking_slip: "T-1204"\nlines:\n  - {line: 1, item: WO-54-FAS, slip: 18 board, quantity: 18 board, grade: FAS}\n','\n',char(10)),'2026-11-25T10:40:26Z');
INSERT INTO documents VALUES(18,'order','ST-21','situations/21-invoice-differs/order.yaml','074d7e7ee6fb4fa7b18de50529eecb8dfc7159e0aee594c7a783fb9ebdd28e61',replace('# The goods are right, the invoice is not.\norder: ST-21\nsupplier: bramblegate\ndate: 2026-04-01\npromised: 2026-04-10\nlines:\n  - {line: 1, item: MDF-34, description: MDF panel 3/4 in, quantity: 30 sheet, unit_price: 38.20}\n','\n',char(10)),'2026-11-25T10:40:35Z');
INSERT INTO documents VALUES(19,'receipt','SR-21','situations/21-invoice-differs/receipt.yaml','d22a60b94680af9ea0cd073e7e53b9be31d0a0ce5982f4a0c5be60f75278b3f3',replace('receipt: SR-21\norder: ST-21\ndate: 2026-04-10\nlines:\n  - {line: 1, item: MDF-34, quantity: 30 sheet}\n','\n',char(10)),'2026-11-25T10:40:43Z');
INSERT INTO documents VALUES(20,'invoice','INV-21','situations/21-invoice-differs/invoice.yaml','a56884796d08a7f2d2f3a08a7258f83a7afd477d4e89c9e5b196082ccbf947a1',replace('invoice: INV-21\norder: ST-21\ndate: 2026-04-11\nlines:\n  - {line: 1, quantity: 30 sheet, unit_price: 41.70, amount: 1251.00}\nfreight: 60.00\ntotal: 1311.00\n','\n',char(10)),'2026-11-25T10:40:43Z');
CREATE TABLE suppliers (
  id       INTEGER PRIMARY KEY,
  code     TEXT NOT NULL UNIQUE,
  name     TEXT,
  document INTEGER REFERENCES documents (id)
) STRICT;
INSERT INTO suppliers VALUES(1,'quillfeather','Quillfeather Veneers',1);
INSERT INTO suppliers VALUES(2,'bramblegate','Bramblegate Panel Supply',4);
INSERT INTO suppliers VALUES(3,'copperfinch','Copperfinch Hardware',6);
INSERT INTO suppliers VALUES(4,'tallowmere','Tallowmere Lumber',9);
CREATE TABLE shop (
  id       INTEGER PRIMARY KEY CHECK (id = 1),
  document INTEGER NOT NULL REFERENCES documents (id)
) STRICT;
INSERT INTO shop VALUES(1,2);
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
INSERT INTO orders VALUES(1,'PO-2107',1,'2026-03-02','2026-03-20','USD','Lantern Street library',3,1,2,0,0,1,'2026-03-19',NULL,NULL,0,'2026-11-25T10:40:26Z');
INSERT INTO orders VALUES(2,'PO-2112',2,'2026-03-04','2026-03-13','USD','Fifer house kitchen',5,4,2,0,1,1,'2026-03-13',NULL,0,1,'2026-11-25T10:40:26Z');
INSERT INTO orders VALUES(3,'PO-2115',3,'2026-03-05','2026-03-12','USD','Fifer house kitchen',7,6,2,1,1,0,'2026-03-12','2026-03-12',NULL,0,'2026-11-25T10:40:26Z');
INSERT INTO orders VALUES(4,'PO-2118',2,'2026-03-06','2026-03-17','USD','Lantern Street library',8,4,2,1,1,0,'2026-03-17','2026-03-17',NULL,0,'2026-11-25T10:40:26Z');
INSERT INTO orders VALUES(5,'PO-2120',4,'2026-03-06','2026-03-25','USD','Lantern Street library',10,9,2,1,1,0,'2026-03-23','2026-03-24',NULL,0,'2026-11-25T10:40:26Z');
INSERT INTO orders VALUES(6,'PO-2128',1,'2026-03-11','2026-03-30','USD','Pell Street clinic',11,1,2,0,0,0,NULL,NULL,NULL,0,'2026-11-25T10:40:26Z');
INSERT INTO orders VALUES(7,'ST-21',2,'2026-04-01','2026-04-10','USD',NULL,18,4,2,0,1,1,'2026-04-10','2026-04-10',NULL,0,'2026-11-25T10:40:35Z');
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
INSERT INTO order_lines VALUES(1,1,0,'1','RWO-48x120','Rift white oak veneer, paper-backed','sheet','8','6','6','0','212.5','sheet',0,2,1,'2026-03-20','2026-03-19','2026-03-19',NULL);
INSERT INTO order_lines VALUES(2,1,1,'2','WAL-48x96','Walnut veneer, flat cut, paper-backed','sheet','6','8','8','0','168','sheet',0,1,1,'2026-03-20','2026-03-19','2026-03-19','2026-03-19');
INSERT INTO order_lines VALUES(3,2,0,'1','MPL-A1-34','Maple plywood 3/4 in, A-1','sheet','20','20','14','0','94','sheet',0,0,0,'2026-03-13','2026-03-13','2026-03-13',NULL);
INSERT INTO order_lines VALUES(4,2,1,'2','MPL-B2-34','Maple plywood 3/4 in, B-2','sheet','10','10','10','0','71','sheet',1,0,0,'2026-03-13','2026-03-13','2026-03-13','2026-03-13');
INSERT INTO order_lines VALUES(5,3,0,'1','HNG-110-SC','Concealed hinge, 110 degrees, soft close','box','4','4','4','0','137.5','box',1,0,0,'2026-03-12','2026-03-12','2026-03-12','2026-03-12');
INSERT INTO order_lines VALUES(6,3,1,'2','SLD-21','Drawer slide, 21 in, full extension','pair','24','24','24','0','18.4','pair',1,0,0,'2026-03-12','2026-03-12','2026-03-12','2026-03-12');
INSERT INTO order_lines VALUES(7,4,0,'1','MDF-34','MDF core panel 3/4 in','sheet','30','30','30','0','38.2','sheet',1,0,0,'2026-03-17','2026-03-17','2026-03-17','2026-03-17');
INSERT INTO order_lines VALUES(8,5,0,'1','WO-54-FAS','White oak, rift, kiln dried','board','60','60','60','0','41','board',1,0,0,'2026-03-25','2026-03-23','2026-03-24','2026-03-24');
INSERT INTO order_lines VALUES(9,5,1,'2','POP-44-1C','Poplar, kiln dried','board','40','40','40','0','14.5','board',1,0,0,'2026-03-25','2026-03-23','2026-03-23','2026-03-23');
INSERT INTO order_lines VALUES(10,6,0,'1','CHR-14x100','Cherry leaves, flat cut, figured','leaf','8','0','0','0','31','leaf',0,2,0,'2026-03-30',NULL,NULL,NULL);
INSERT INTO order_lines VALUES(11,7,0,'1','MDF-34','MDF panel 3/4 in','sheet','30','30','30','0','38.2','sheet',0,0,0,'2026-04-10','2026-04-10','2026-04-10','2026-04-10');
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
INSERT INTO receipts VALUES(1,'RG-311',1,1,202603,'2026-03-19','bench','88213',NULL,'veneer rack 4',1,0,12,'2026-11-25T10:40:26Z');
INSERT INTO receipts VALUES(2,'RG-314',2,2,202603,'2026-03-13','dock','B-5560',NULL,'panel rack, bay 2',1,0,13,'2026-11-25T10:40:26Z');
INSERT INTO receipts VALUES(3,'RG-315',3,3,202603,'2026-03-12','dock','C-30117',NULL,NULL,1,1,14,'2026-11-25T10:40:26Z');
INSERT INTO receipts VALUES(4,'RG-318',4,2,202603,'2026-03-17','dock','B-5581',NULL,NULL,1,1,15,'2026-11-25T10:40:26Z');
INSERT INTO receipts VALUES(5,'RG-320',5,4,202603,'2026-03-23','dock','T-1190',NULL,NULL,1,1,16,'2026-11-25T10:40:26Z');
INSERT INTO receipts VALUES(6,'RG-327',5,4,202603,'2026-03-24','dock','T-1204',NULL,NULL,1,1,17,'2026-11-25T10:40:26Z');
INSERT INTO receipts VALUES(7,'SR-21',7,2,202604,'2026-04-10',NULL,NULL,NULL,NULL,1,1,19,'2026-11-25T10:40:43Z');
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
INSERT INTO receipt_lines VALUES(1,1,202603,'sheet',0,6000000,0,1,1,1,'RWO-48x120','veneer rack 4',NULL);
INSERT INTO receipt_lines VALUES(2,1,202603,'sheet',0,8000000,0,1,2,2,'Q-7702','veneer rack 4',NULL);
INSERT INTO receipt_lines VALUES(6,3,202603,'box',1,4000000,0,3,1,5,'HNG-110-SC',NULL,NULL);
INSERT INTO receipt_lines VALUES(7,3,202603,'pair',1,24000000,0,3,2,6,'SLD-21',NULL,NULL);
INSERT INTO receipt_lines VALUES(8,2,202603,'sheet',1,30000000,0,4,1,7,'MDF-34',NULL,NULL);
INSERT INTO receipt_lines VALUES(9,4,202603,'board',1,42000000,0,5,1,8,'WO-54-FAS',NULL,NULL);
INSERT INTO receipt_lines VALUES(10,4,202603,'board',1,40000000,0,5,2,9,'POP-44-1C',NULL,NULL);
INSERT INTO receipt_lines VALUES(11,4,202603,'board',1,18000000,0,6,1,8,'WO-54-FAS',NULL,NULL);
INSERT INTO receipt_lines VALUES(12,2,202603,'sheet',1,14000000,0,2,1,3,'MPL-A1-34','panel rack, bay 2',NULL);
INSERT INTO receipt_lines VALUES(13,2,202603,'sheet',0,6000000,6000000,2,2,3,NULL,'panel rack, bay 2','6 sheets of grade B-2, lower than A-1 as ordered');
INSERT INTO receipt_lines VALUES(14,2,202603,'sheet',1,10000000,0,2,3,4,'MPL-B2-34','panel rack, bay 2',NULL);
INSERT INTO receipt_lines VALUES(15,2,202604,'sheet',1,30000000,0,7,1,11,'MDF-34',NULL,NULL);
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
INSERT INTO line_months VALUES(1,202603,'sheet',0,2,14000000,0);
INSERT INTO line_months VALUES(2,202603,'sheet',0,1,6000000,6000000);
INSERT INTO line_months VALUES(2,202603,'sheet',1,3,54000000,0);
INSERT INTO line_months VALUES(2,202604,'sheet',1,1,30000000,0);
INSERT INTO line_months VALUES(3,202603,'box',1,1,4000000,0);
INSERT INTO line_months VALUES(3,202603,'pair',1,1,24000000,0);
INSERT INTO line_months VALUES(4,202603,'board',1,3,100000000,0);
CREATE TABLE leaves (
  id              INTEGER PRIMARY KEY,
  receipt_line_id INTEGER NOT NULL REFERENCES receipt_lines (id),
  flitch          TEXT,
  number          INTEGER,
  mark            TEXT,
  defects         INTEGER NOT NULL
) STRICT;
INSERT INTO leaves VALUES(1,1,'3318',14,NULL,0);
INSERT INTO leaves VALUES(2,1,'3318',15,NULL,0);
INSERT INTO leaves VALUES(3,1,'3318',16,NULL,0);
INSERT INTO leaves VALUES(4,1,'3318',17,NULL,0);
INSERT INTO leaves VALUES(5,1,'3318',21,NULL,0);
INSERT INTO leaves VALUES(6,1,'3318',22,NULL,0);
INSERT INTO leaves VALUES(7,2,'W-77',3,NULL,0);
INSERT INTO leaves VALUES(8,2,'W-77',4,NULL,0);
INSERT INTO leaves VALUES(9,2,'W-77',5,NULL,0);
INSERT INTO leaves VALUES(10,2,'W-77',6,NULL,0);
INSERT INTO leaves VALUES(11,2,'W-77',7,NULL,0);
INSERT INTO leaves VALUES(12,2,'W-77',8,NULL,0);
INSERT INTO leaves VALUES(13,2,'W-77',9,NULL,0);
INSERT INTO leaves VALUES(14,2,'W-77',10,NULL,0);
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
INSERT INTO invoices VALUES(1,2,'INV-21',7,'2026-04-11','1311.00',20,'2026-11-25T10:40:43Z');
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
INSERT INTO findings VALUES(1,1,202603,'quantity','short','claimed','sheet','2',2000000,42500,'short by 2 sheets: 8 sheets ordered, 6 arrived',1,1,1,NULL);
INSERT INTO findings VALUES(2,1,202603,'sequence','sets-missing','claimed','set','1',1000000,NULL,'1 of 2 sets cannot be made: set 2 (4 leaves) needs leaves of one flitch that follow on; the longest run left is 2, flitch 3318: 21-22',1,1,1,1);
INSERT INTO findings VALUES(3,1,202603,'quantity','slip-differs','informs','sheet','2',2000000,42500,'the slip says 8 sheets, counted 6',1,1,1,NULL);
INSERT INTO findings VALUES(4,1,202603,'quantity','over','claimed','sheet','2',2000000,33600,'over by 2 sheets: 6 sheets ordered, 8 arrived',1,2,1,NULL);
INSERT INTO findings VALUES(5,1,202603,'quantity','slip-differs','informs','sheet','2',2000000,33600,'the slip says 6 sheets, counted 8',1,2,1,NULL);
INSERT INTO findings VALUES(7,2,202603,'quantity','slip-differs','informs','sheet','2',2000000,7640,'the slip says 28 sheets, counted 30',4,7,4,NULL);
INSERT INTO findings VALUES(8,4,202603,'quantity','back-ordered','informs','board','18',18000000,73800,'18 boards to follow: the slip says so',5,8,5,NULL);
INSERT INTO findings VALUES(9,2,202603,'grade','lower','claimed','sheet','6',6000000,56400,'6 sheets of grade B-2, lower than A-1 as ordered',2,3,2,13);
INSERT INTO findings VALUES(10,2,202604,'price','above','claimed','sheet','30',30000000,114600,'INV-21 bills 30 sheets at 41.70 for one sheet, ordered at 38.20: 105.00 too much',7,11,NULL,NULL);
CREATE TABLE evidence (
  id         INTEGER PRIMARY KEY,
  receipt_id INTEGER NOT NULL REFERENCES receipts (id),
  path       TEXT NOT NULL,
  sha256     TEXT NOT NULL CHECK (length(sha256) = 64),
  size       INTEGER NOT NULL,
  recorded   TEXT NOT NULL,
  UNIQUE (receipt_id, path)
) STRICT;
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
INSERT INTO claims VALUES(1,'PO-2107-C1',1,1,'supplier','drafted','2026-03-25',NULL,'2026-03-23','2026-04-04',NULL,'USD','425.00','{"order":"PO-2107","supplier":"quillfeather","receipts":["RG-311"],"as_ordered":false,"lines":[{"line":"1","item":"RWO-48x120","as_ordered":false,"ordered":"8","arrived":"6","conforming":"6","rejected":"0","usable":"4","open":"0","unit":"sheet","findings":[{"aspect":"quantity","kind":"short","amount":"2","unit":"sheet","text":"short by 2 sheets: 8 sheets ordered, 6 arrived","wanted":"8 sheets","found":"6 sheets","about":null,"receipts":["RG-311"],"leaves":[],"advice":null},{"aspect":"quantity","kind":"slip-differs","amount":"2","unit":"sheet","text":"the slip says 8 sheets, counted 6","wanted":"8 sheets","found":"6 sheets","about":null,"receipts":["RG-311"],"leaves":[],"advice":null},{"aspect":"sequence","kind":"sets-missing","amount":"1","unit":"set","text":"1 of 2 sets cannot be made: set 2 (4 leaves) needs leaves of one flitch that follow on; the longest run left is 2, flitch 3318: 21-22","wanted":"sets of 4, 4","found":"sets of 4","about":null,"receipts":["RG-311"],"leaves":["3318/21","3318/22"],"advice":null}],"sequence":{"wanted":[4,4],"faces":[null,null],"filled":[{"size":4,"flitch":"3318","leaves":["14","15","16","17"],"set":1}],"spare":[{"flitch":"3318","leaves":["21","22"]}],"unfit":[],"missing":[4],"would_complete":[{"flitch":"3318","leaves":["23","24"],"option":1},{"flitch":"3318","leaves":["19","20"],"option":2}],"new_sets":[4],"clear":null,"worked_out":[],"unmarked":null,"proven":true,"most_proven":true},"lots":[{"receipt":"RG-311","receipt_line":1,"amount":"6","rejected":"0","place":"veneer rack 4","paired_by":null,"measured":null,"held_for":["1 of 2 sets cannot be made: set 2 (4 leaves) needs leaves of one flitch that follow on; the longest run left is 2, flitch 3318: 21-22"],"advice":[]}]},{"line":"2","item":"WAL-48x96","as_ordered":false,"ordered":"6","arrived":"8","conforming":"8","rejected":"0","usable":"6","open":"0","unit":"sheet","findings":[{"aspect":"quantity","kind":"over","amount":"2","unit":"sheet","text":"over by 2 sheets: 6 sheets ordered, 8 arrived","wanted":"6 sheets","found":"8 sheets","about":null,"receipts":["RG-311"],"leaves":[],"advice":"set the excess apart unused; it goes back, or is kept at the order price"},{"aspect":"quantity","kind":"slip-differs","amount":"2","unit":"sheet","text":"the slip says 6 sheets, counted 8","wanted":"6 sheets","found":"8 sheets","about":null,"receipts":["RG-311"],"leaves":[],"advice":null}],"sequence":{"wanted":[6],"faces":[null],"filled":[{"size":6,"flitch":"W-77","leaves":["3","4","5","6","7","8"],"set":1}],"spare":[{"flitch":"W-77","leaves":["9","10"]}],"unfit":[],"missing":[],"would_complete":[],"new_sets":[],"clear":null,"worked_out":[],"unmarked":null,"proven":true,"most_proven":true},"lots":[{"receipt":"RG-311","receipt_line":2,"amount":"8","rejected":"0","place":"veneer rack 4","paired_by":null,"measured":null,"held_for":[],"advice":[]}]}],"not_ordered":[],"causes":[{"kind":"exchanged","lines":["1","2"],"text":"the quantities of lines 1 and 2 look exchanged (line 1: 6 sheets for 8 sheets; line 2: 8 sheets for 6 sheets)","advice":null}],"claim":{"notify_by":"2026-03-23","value":"425.00","currency":"USD"},"billing":null,"notes":[],"left_out":[]}','{"party":"supplier","carrier":null,"parts":[{"place":"1","line":"1","item":"RWO-48x120","description":"Rift white oak veneer, paper-backed","remedy":"send-leaves","amount":"2","unit":"sheet","value":"425.00","arithmetic":"2 sheets at 212.50 = 425.00","findings":[{"aspect":"quantity","kind":"short","amount":"2","unit":"sheet","text":"short by 2 sheets: 8 sheets ordered, 6 arrived","receipts":[],"about":null,"leaves":[]},{"aspect":"sequence","kind":"sets-missing","amount":"1","unit":"set","text":"1 of 2 sets cannot be made: set 2 (4 leaves) needs leaves of one flitch that follow on; the longest run left is 2, flitch 3318: 21-22","receipts":["RG-311"],"about":null,"leaves":["3318/21","3318/22"]}]},{"place":"2","line":"2","item":"WAL-48x96","description":"Walnut veneer, flat cut, paper-backed","remedy":"collect","amount":"2","unit":"sheet","value":"0.00","arithmetic":"no money is asked for goods that are to be collected","findings":[{"aspect":"quantity","kind":"over","amount":"2","unit":"sheet","text":"over by 2 sheets: 6 sheets ordered, 8 arrived","receipts":[],"about":null,"leaves":[]}]}],"costs":[],"unpriced":[],"notify_why":"the supplier''s terms, 2 business days for what can be seen","follow_up":[],"also_told":null,"wishes":{"remedies":[],"also":[],"return_freight":null,"labour_hours":null}}','2026-11-25T10:40:26Z');
INSERT INTO claims VALUES(2,'PO-2112-C1',2,2,'supplier','made right','2026-03-25','2026-03-25','2026-03-18','2026-04-01','2026-04-01','USD','564.00','{"order":"PO-2112","supplier":"bramblegate","receipts":["RG-314"],"as_ordered":false,"lines":[{"line":"1","item":"MPL-A1-34","as_ordered":false,"ordered":"20","arrived":"20","conforming":"14","rejected":"6","usable":"14","open":"0","unit":"sheet","findings":[{"aspect":"grade","kind":"lower","amount":"6","unit":"sheet","text":"6 sheets of grade B-2, lower than A-1 as ordered","wanted":"A-1","found":"B-2","about":"hp1","receipts":["RG-314"],"leaves":[],"advice":null}],"sequence":null,"lots":[{"receipt":"RG-314","receipt_line":1,"amount":"14","rejected":"0","place":"panel rack, bay 2","paired_by":null,"measured":null,"held_for":[],"advice":[]},{"receipt":"RG-314","receipt_line":2,"amount":"6","rejected":"6","place":"panel rack, bay 2","paired_by":null,"measured":null,"held_for":["6 sheets of grade B-2, lower than A-1 as ordered"],"advice":[]}]},{"line":"2","item":"MPL-B2-34","as_ordered":true,"ordered":"10","arrived":"10","conforming":"10","rejected":"0","usable":"10","open":"0","unit":"sheet","findings":[],"sequence":null,"lots":[{"receipt":"RG-314","receipt_line":3,"amount":"10","rejected":"0","place":"panel rack, bay 2","paired_by":null,"measured":null,"held_for":[],"advice":[]}]}],"not_ordered":[],"causes":[],"claim":{"notify_by":"2026-03-18","value":"564.00","currency":"USD"},"billing":null,"notes":[],"left_out":[]}','{"party":"supplier","carrier":null,"parts":[{"place":"1","line":"1","item":"MPL-A1-34","description":"Maple plywood 3/4 in, A-1","remedy":"replace","amount":"6","unit":"sheet","value":"564.00","arithmetic":"6 sheets at 94.00 = 564.00","findings":[{"aspect":"grade","kind":"lower","amount":"6","unit":"sheet","text":"6 sheets of grade B-2, lower than A-1 as ordered","receipts":["RG-314"],"about":"hp1","leaves":[]}]}],"costs":[],"unpriced":[],"notify_why":"the supplier''s terms, 3 business days for what can be seen","follow_up":[],"also_told":null,"wishes":{"remedies":[],"also":[],"return_freight":null,"labour_hours":null}}','2026-11-25T10:40:26Z');
CREATE TABLE claim_receipts (
  claim_id   INTEGER NOT NULL REFERENCES claims (id),
  receipt_id INTEGER NOT NULL REFERENCES receipts (id),
  document   INTEGER NOT NULL REFERENCES documents (id),
  PRIMARY KEY (claim_id, receipt_id)
) STRICT, WITHOUT ROWID;
INSERT INTO claim_receipts VALUES(1,1,12);
INSERT INTO claim_receipts VALUES(2,2,13);
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
INSERT INTO letters VALUES(1,1,'notice','Order PO-2107: goods not as ordered (our claim PO-2107-C1)',replace('Marrow Lane Millwork\n17 Marrow Lane\nEastwick Harbor, ME 04000\nclaims@marrowlane.example\n\nMarch 25, 2026\n\nQuillfeather Veneers\nClaims desk\n40 Slicer Road\nNorth Pell, VT 05000\nclaims@quillfeather.example\n\nOrder PO-2107: goods not as ordered (our claim PO-2107-C1)\n\nDear Claims desk,\n\nThis is to notify you that the goods delivered on order PO-2107 are not as\nordered in 3 respects, each stated below with what we ask of you.\n\nOrder PO-2107 of March 2, 2026, for Lantern Street library.\nReceived March 19, 2026: our receipt RG-311, your packing slip 88213.\n\nLine  Ordered         Received        Difference        Item\n1     8 sheets        6 sheets        2 short           RWO-48x120\n2     6 sheets        8 sheets        2 over            WAL-48x96\n\n1. The quantities of lines 1 and 2 look exchanged (line 1: 6 sheets for 8\n   sheets; line 2: 8 sheets for 6 sheets).\n\n   Line 1 (RWO-48x120, Rift white oak veneer, paper-backed):\n   - Short by 2 sheets: 8 sheets ordered, 6 arrived.\n   - 1 of 2 sets cannot be made: set 2 (4 leaves) needs leaves of one flitch\n     that follow on; the longest run left is 2, flitch 3318: 21-22. [flitch\n     3318, leaves 21 and 22]\n   Please send leaves 23 and 24 of flitch 3318, which with the leaves that are\n   here complete the set of 4.\n   Leaves 19 and 20 of flitch 3318 would do as well.\n   If they cannot be had from that flitch, please send a new set of 4 leaves\n   that follow each other from one flitch, against return of the leaves that\n   make no set, at your cost.\n   If nothing can be sent, please credit the 2 sheets.\n   Value: 2 sheets at 212.50 = 425.00.\n\n   Line 2 (WAL-48x96, Walnut veneer, flat cut, paper-backed):\n   - Over by 2 sheets: 6 sheets ordered, 8 arrived.\n   Please collect the 2 sheets that were not ordered, at your cost.\n   If you prefer, tell us that we may keep them at the order price.\n\nIn all: 425.00 USD. Each amount is rounded to cents.\n\nWe hold:\n   - 2 sheets of line 1, at veneer rack 4\n   - 2 sheets of line 2, at veneer rack 4\nThey are set apart and kept with reasonable care, not cut, pressed or\notherwise used, at your disposal and at your risk.\n\nPlease answer by April 4, 2026 and tell us when we can expect what we ask.\n\nWe reserve all our rights and remedies under the contract and the law. Nothing\nthat we keep, use or pay meanwhile accepts what is stated here, and we may\nnotify what else is found.\n\nSincerely,\n\nInes Okafor\nOwner, Marrow Lane Millwork\n','\n',char(10)),replace('<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<meta name="viewport" content="width=device-width, initial-scale=1">\n<title>Order PO-2107: goods not as ordered (our claim PO-2107-C1)</title>\n<style>\n  @page { size: letter; margin: 14mm 19mm; }\n  body { font: 10.5pt/1.38 Georgia, "Times New Roman", serif; color: #1a1a1a; max-width: 44rem; margin: 2rem auto; padding: 0 1rem; overflow-wrap: anywhere; }\n  p { margin: 0 0 .5em; }\n  .from { border-bottom: 1px solid #999; padding-bottom: .5em; margin-bottom: 1em; }\n  .from strong { font-size: 1.25em; }\n  .to { margin: .8em 0; }\n  h1 { font-size: 1.1em; margin: 1em 0 .6em; }\n  table { border-collapse: collapse; width: 100%; margin: .4em 0 .9em; font-size: .95em; }\n  th, td { text-align: left; vertical-align: top; padding: .2em .6em .2em 0; border-bottom: 1px solid #ccc; }\n  th { font-weight: normal; color: #555; border-bottom-color: #777; }\n  ol { padding-left: 1.4em; margin: .2em 0 .6em; }\n  ol > li { margin-bottom: .6em; break-inside: avoid; }\n  ul { padding-left: 1.2em; margin: .1em 0 .3em; }\n  .small { color: #555; font-size: .9em; }\n  .money { font-variant-numeric: tabular-nums; }\n  .sign { margin-top: 2.6em; break-inside: avoid; }\n  .hash { font: .75em/1.2 ui-monospace, Consolas, monospace; color: #555; }\n  @media print { body { font-size: 10pt; line-height: 1.3; max-width: none; margin: 0; padding: 0; } .sign { margin-top: 2em; } }\n</style>\n</head>\n<body>\n<div class="from"><strong>Marrow Lane Millwork</strong><br>17 Marrow Lane, Eastwick Harbor, ME 04000<br>claims@marrowlane.example</div>\n<p>March 25, 2026</p>\n<div class="to">Quillfeather Veneers<br>Claims desk<br>40 Slicer Road<br>North Pell, VT 05000<br>claims@quillfeather.example</div>\n<h1>Order PO-2107: goods not as ordered (our claim PO-2107-C1)</h1>\n<p>Dear Claims desk,</p>\n<p>This is to notify you that the goods delivered on order PO-2107 are not as ordered in 3 respects, each stated below with what we ask of you.</p>\n<p>Order PO-2107 of March 2, 2026, for Lantern Street library.\n<br>Received March 19, 2026: our receipt RG-311, your packing slip 88213.\n</p>\n<table>\n<thead><tr><th>Line</th><th>Item</th><th>Ordered</th><th>Received</th><th>Difference</th></tr></thead>\n<tbody>\n<tr><td>1</td><td>RWO-48x120</td><td>8 sheets</td><td>6 sheets</td><td>2 short</td></tr>\n<tr><td>2</td><td>WAL-48x96</td><td>6 sheets</td><td>8 sheets</td><td>2 over</td></tr>\n</tbody>\n</table>\n<ol>\n<li><p>The quantities of lines 1 and 2 look exchanged (line 1: 6 sheets for 8 sheets; line 2: 8 sheets for 6 sheets).</p>\n<p><strong>Line 1</strong> (RWO-48x120, Rift white oak veneer, paper-backed)</p>\n<ul>\n<li>Short by 2 sheets: 8 sheets ordered, 6 arrived.</li>\n<li>1 of 2 sets cannot be made: set 2 (4 leaves) needs leaves of one flitch that follow on; the longest run left is 2, flitch 3318: 21-22. <span class="small">[flitch 3318, leaves 21 and 22]</span></li>\n</ul>\n<p>Please send leaves 23 and 24 of flitch 3318, which with the leaves that are here complete the set of 4. Leaves 19 and 20 of flitch 3318 would do as well. If they cannot be had from that flitch, please send a new set of 4 leaves that follow each other from one flitch, against return of the leaves that make no set, at your cost. If nothing can be sent, please credit the 2 sheets.<br><span class="small money">Value: 2 sheets at 212.50 &#x3D; 425.00.</span></p>\n<p><strong>Line 2</strong> (WAL-48x96, Walnut veneer, flat cut, paper-backed)</p>\n<ul>\n<li>Over by 2 sheets: 6 sheets ordered, 8 arrived.</li>\n</ul>\n<p>Please collect the 2 sheets that were not ordered, at your cost. If you prefer, tell us that we may keep them at the order price.</p>\n</li>\n</ol>\n<p class="money">In all: <strong>425.00 USD</strong>. Each amount is rounded to cents.</p>\n<p>We hold: 2 sheets of line 1, at veneer rack 4; 2 sheets of line 2, at veneer rack 4. They are set apart and kept with reasonable care, not cut, pressed or otherwise used, at your disposal and at your risk.</p>\n<p>Please answer by <strong>April 4, 2026</strong> and tell us when we can expect what we ask.</p>\n<p>We reserve all our rights and remedies under the contract and the law. Nothing that we keep, use or pay meanwhile accepts what is stated here, and we may notify what else is found.</p>\n<p>Sincerely,</p>\n<p class="sign">Ines Okafor<br>Owner, Marrow Lane Millwork</p>\n</body>\n</html>\n','\n',char(10)),'7c3595e49b3ba22d0c7e977abf043d2fb6bfdfcdf7be2a06b8c1180965d681fc',0,'2026-11-25T10:40:26Z');
INSERT INTO letters VALUES(2,2,'notice','Order PO-2112: goods not as ordered (our claim PO-2112-C1)',replace('Marrow Lane Millwork\n17 Marrow Lane\nEastwick Harbor, ME 04000\nclaims@marrowlane.example\n\nMarch 25, 2026\n\nBramblegate Panel Supply\nCustomer service\n8 Mill Race\nDunning, NH 03000\nservice@bramblegate.example\n\nOrder PO-2112: goods not as ordered (our claim PO-2112-C1)\n\nDear Customer service,\n\nThis is to notify you that the goods delivered on order PO-2112 are not as\nordered in one respect, stated below with what we ask of you.\n\nOrder PO-2112 of March 4, 2026, for Fifer house kitchen.\nReceived March 13, 2026: our receipt RG-314, your packing slip B-5560.\n\nLine  Ordered         Received        Difference        Item\n1     20 sheets       20 sheets       none in number    MPL-A1-34\n\n1. Line 1 (MPL-A1-34, Maple plywood 3/4 in, A-1):\n   - 6 sheets of grade B-2, lower than A-1 as ordered. [grade scale ANSI/HPVA\n     HP-1]\n   Please replace the 6 sheets with goods as ordered, and collect what came,\n   at your cost.\n   If they cannot be replaced in time, please credit them in full.\n   Value: 6 sheets at 94.00 = 564.00.\n\nIn all: 564.00 USD. Each amount is rounded to cents.\n\nWe hold:\n   - 6 sheets of line 1, at panel rack, bay 2\nThey are set apart and kept with reasonable care, not cut, pressed or\notherwise used, at your disposal and at your risk.\n\nPlease answer by April 1, 2026 and tell us when we can expect what we ask.\n\nWe reserve all our rights and remedies under the contract and the law. Nothing\nthat we keep, use or pay meanwhile accepts what is stated here, and we may\nnotify what else is found.\n\nSincerely,\n\nInes Okafor\nOwner, Marrow Lane Millwork\n','\n',char(10)),replace('<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<meta name="viewport" content="width=device-width, initial-scale=1">\n<title>Order PO-2112: goods not as ordered (our claim PO-2112-C1)</title>\n<style>\n  @page { size: letter; margin: 14mm 19mm; }\n  body { font: 10.5pt/1.38 Georgia, "Times New Roman", serif; color: #1a1a1a; max-width: 44rem; margin: 2rem auto; padding: 0 1rem; overflow-wrap: anywhere; }\n  p { margin: 0 0 .5em; }\n  .from { border-bottom: 1px solid #999; padding-bottom: .5em; margin-bottom: 1em; }\n  .from strong { font-size: 1.25em; }\n  .to { margin: .8em 0; }\n  h1 { font-size: 1.1em; margin: 1em 0 .6em; }\n  table { border-collapse: collapse; width: 100%; margin: .4em 0 .9em; font-size: .95em; }\n  th, td { text-align: left; vertical-align: top; padding: .2em .6em .2em 0; border-bottom: 1px solid #ccc; }\n  th { font-weight: normal; color: #555; border-bottom-color: #777; }\n  ol { padding-left: 1.4em; margin: .2em 0 .6em; }\n  ol > li { margin-bottom: .6em; break-inside: avoid; }\n  ul { padding-left: 1.2em; margin: .1em 0 .3em; }\n  .small { color: #555; font-size: .9em; }\n  .money { font-variant-numeric: tabular-nums; }\n  .sign { margin-top: 2.6em; break-inside: avoid; }\n  .hash { font: .75em/1.2 ui-monospace, Consolas, monospace; color: #555; }\n  @media print { body { font-size: 10pt; line-height: 1.3; max-width: none; margin: 0; padding: 0; } .sign { margin-top: 2em; } }\n</style>\n</head>\n<body>\n<div class="from"><strong>Marrow Lane Millwork</strong><br>17 Marrow Lane, Eastwick Harbor, ME 04000<br>claims@marrowlane.example</div>\n<p>March 25, 2026</p>\n<div class="to">Bramblegate Panel Supply<br>Customer service<br>8 Mill Race<br>Dunning, NH 03000<br>service@bramblegate.example</div>\n<h1>Order PO-2112: goods not as ordered (our claim PO-2112-C1)</h1>\n<p>Dear Customer service,</p>\n<p>This is to notify you that the goods delivered on order PO-2112 are not as ordered in one respect, stated below with what we ask of you.</p>\n<p>Order PO-2112 of March 4, 2026, for Fifer house kitchen.\n<br>Received March 13, 2026: our receipt RG-314, your packing slip B-5560.\n</p>\n<table>\n<thead><tr><th>Line</th><th>Item</th><th>Ordered</th><th>Received</th><th>Difference</th></tr></thead>\n<tbody>\n<tr><td>1</td><td>MPL-A1-34</td><td>20 sheets</td><td>20 sheets</td><td>none in number</td></tr>\n</tbody>\n</table>\n<ol>\n<li>\n<p><strong>Line 1</strong> (MPL-A1-34, Maple plywood 3/4 in, A-1)</p>\n<ul>\n<li>6 sheets of grade B-2, lower than A-1 as ordered. <span class="small">[grade scale ANSI/HPVA HP-1]</span></li>\n</ul>\n<p>Please replace the 6 sheets with goods as ordered, and collect what came, at your cost. If they cannot be replaced in time, please credit them in full.<br><span class="small money">Value: 6 sheets at 94.00 &#x3D; 564.00.</span></p>\n</li>\n</ol>\n<p class="money">In all: <strong>564.00 USD</strong>. Each amount is rounded to cents.</p>\n<p>We hold: 6 sheets of line 1, at panel rack, bay 2. They are set apart and kept with reasonable care, not cut, pressed or otherwise used, at your disposal and at your risk.</p>\n<p>Please answer by <strong>April 1, 2026</strong> and tell us when we can expect what we ask.</p>\n<p>We reserve all our rights and remedies under the contract and the law. Nothing that we keep, use or pay meanwhile accepts what is stated here, and we may notify what else is found.</p>\n<p>Sincerely,</p>\n<p class="sign">Ines Okafor<br>Owner, Marrow Lane Millwork</p>\n</body>\n</html>\n','\n',char(10)),'611f387cd9e99f5d01bbae56b33d3bf03dc5b6f2333c89872602091e647a0d4c',0,'2026-11-25T10:40:26Z');
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
INSERT INTO messages VALUES(1,2,2,'-','service@bramblegate.example','611f387cd9e99f5d01bbae56b33d3bf03dc5b6f2333c89872602091e647a0d4c','told','told by telephone','2026-11-25T10:40:35Z','2026-11-25T10:40:35Z','2026-03-25');
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
INSERT INTO settlements VALUES(1,2,'2026-04-01','credit',NULL,'564.00','CN-1',1,'1: 564.00 credited instead of goods','2026-11-25T10:40:35Z');
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
INSERT INTO journal VALUES(1,'2026-11-25T10:40:26Z','supplier''s file kept','quillfeather',NULL,NULL,1,NULL,'');
INSERT INTO journal VALUES(2,'2026-11-25T10:40:26Z','shop''s file kept','shop.yaml',NULL,NULL,2,NULL,'');
INSERT INTO journal VALUES(3,'2026-11-25T10:40:26Z','order added','PO-2107',1,NULL,3,NULL,'');
INSERT INTO journal VALUES(4,'2026-11-25T10:40:26Z','supplier''s file kept','bramblegate',NULL,NULL,4,NULL,'');
INSERT INTO journal VALUES(5,'2026-11-25T10:40:26Z','order added','PO-2112',2,NULL,5,NULL,'');
INSERT INTO journal VALUES(6,'2026-11-25T10:40:26Z','supplier''s file kept','copperfinch',NULL,NULL,6,NULL,'');
INSERT INTO journal VALUES(7,'2026-11-25T10:40:26Z','order added','PO-2115',3,NULL,7,NULL,'');
INSERT INTO journal VALUES(8,'2026-11-25T10:40:26Z','order added','PO-2118',4,NULL,8,NULL,'');
INSERT INTO journal VALUES(9,'2026-11-25T10:40:26Z','supplier''s file kept','tallowmere',NULL,NULL,9,NULL,'');
INSERT INTO journal VALUES(10,'2026-11-25T10:40:26Z','order added','PO-2120',5,NULL,10,NULL,'');
INSERT INTO journal VALUES(11,'2026-11-25T10:40:26Z','order added','PO-2128',6,NULL,11,NULL,'');
INSERT INTO journal VALUES(12,'2026-11-25T10:40:26Z','receipt added','RG-311',1,NULL,12,NULL,'');
INSERT INTO journal VALUES(13,'2026-11-25T10:40:26Z','receipt added','RG-314',2,NULL,13,NULL,'');
INSERT INTO journal VALUES(14,'2026-11-25T10:40:26Z','receipt added','RG-315',3,NULL,14,NULL,'');
INSERT INTO journal VALUES(15,'2026-11-25T10:40:26Z','receipt added','RG-318',4,NULL,15,NULL,'');
INSERT INTO journal VALUES(16,'2026-11-25T10:40:26Z','receipt added','RG-320',5,NULL,16,NULL,'');
INSERT INTO journal VALUES(17,'2026-11-25T10:40:26Z','receipt added','RG-327',5,NULL,17,NULL,'');
INSERT INTO journal VALUES(18,'2026-11-25T10:40:26Z','claim drafted','PO-2107-C1',1,1,NULL,NULL,'');
INSERT INTO journal VALUES(19,'2026-11-25T10:40:26Z','claim drafted','PO-2112-C1',2,2,NULL,NULL,'');
INSERT INTO journal VALUES(20,'2026-11-25T10:40:35Z','sending begun','PO-2112-C1',2,2,NULL,NULL,'-');
INSERT INTO journal VALUES(21,'2026-11-25T10:40:35Z','told by other means','PO-2112-C1',2,2,NULL,NULL,'told by telephone');
INSERT INTO journal VALUES(22,'2026-11-25T10:40:35Z','claim made right','PO-2112-C1',2,2,NULL,NULL,'1: 564.00 credited instead of goods');
INSERT INTO journal VALUES(23,'2026-11-25T10:40:35Z','order added','ST-21',7,NULL,18,NULL,'');
INSERT INTO journal VALUES(24,'2026-11-25T10:40:43Z','receipt added','SR-21',7,NULL,19,NULL,'');
INSERT INTO journal VALUES(25,'2026-11-25T10:40:43Z','invoice added','INV-21',7,NULL,20,NULL,'');
CREATE INDEX documents_by_number ON documents (kind, number);
CREATE INDEX orders_by_supplier ON orders (supplier_id, date);
CREATE INDEX orders_for_review ON orders (supplier_id, promised, first_date, completed);
CREATE INDEX orders_open ON orders (promised, number) WHERE complete = 0 AND waiting IS NOT 0;
CREATE INDEX orders_pickup ON orders (number) WHERE pickup = 1;
CREATE INDEX orders_differing ON orders (number) WHERE claimable = 1;
CREATE INDEX order_lines_with_sets ON order_lines (order_id, sets_ordered, sets_filled) WHERE sets_ordered > 0;
CREATE INDEX receipts_by_order ON receipts (order_id, date, number);
CREATE INDEX receipts_by_month ON receipts (supplier_id, month, as_ordered, on_time);
CREATE INDEX receipt_lines_by_order_line ON receipt_lines (order_line_id);
CREATE INDEX receipt_lines_held ON receipt_lines (receipt_id) WHERE held IS NOT NULL;
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
CREATE INDEX leaves_by_receipt_line ON leaves (receipt_line_id);
CREATE INDEX leaves_by_flitch ON leaves (flitch, number);
CREATE INDEX invoices_by_order ON invoices (order_id, date);
CREATE INDEX findings_for_review ON findings (supplier_id, month, aspect, kind, unit);
CREATE INDEX findings_by_order ON findings (order_id);
CREATE INDEX findings_by_order_line ON findings (order_line_id);
CREATE INDEX findings_by_receipt ON findings (receipt_id);
CREATE INDEX findings_by_receipt_line ON findings (receipt_line_id);
CREATE INDEX claims_by_order ON claims (order_id);
CREATE INDEX claims_by_supplier ON claims (supplier_id, drafted);
CREATE INDEX claims_by_state ON claims (state);
CREATE INDEX claim_receipts_by_receipt ON claim_receipts (receipt_id);
CREATE INDEX letters_by_claim ON letters (claim_id, kind);
CREATE INDEX messages_by_claim ON messages (claim_id);
CREATE INDEX messages_by_letter ON messages (letter_id);
CREATE INDEX answers_by_claim ON answers (claim_id);
CREATE INDEX settlements_by_claim ON settlements (claim_id);
CREATE INDEX settlements_by_receipt ON settlements (receipt_id);
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
COMMIT;
