"""Times the review's sums over receipt lines in DuckDB and pandas. `python3 benches/review_others.py BOOK`

Both get the lines from the SQLite book first (pandas through sqlite3, DuckDB from the pandas frame), because neither
reads it by itself without an extension; loading and summing are timed apart.
"""
import sqlite3
import statistics
import sys
import time

import duckdb
import pandas


def timed(work, rounds=5):
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times) * 1000


start = time.perf_counter()
lines = pandas.read_sql(
    "SELECT supplier_id, month, unit, as_ordered, arrived_u, rejected_u FROM receipt_lines",
    sqlite3.connect(sys.argv[1]),
)
print(f"pandas, loading the lines              {(time.perf_counter() - start) * 1000:7.1f} ms")
keys = ["supplier_id", "month", "unit", "as_ordered"]
print(f"pandas, the sums of the lines alone    "
      f"{timed(lambda: lines.groupby(keys)[['arrived_u', 'rejected_u']].agg(['count', 'sum'])):7.1f} ms")
con = duckdb.connect()
con.execute("CREATE TABLE l AS SELECT * FROM lines")
sums = ("SELECT supplier_id, month, unit, as_ordered, count(*), sum(arrived_u), sum(rejected_u) "
        "FROM l GROUP BY ALL")
print(f"DuckDB, the sums of the lines alone    {timed(lambda: con.execute(sums).fetchall()):7.1f} ms")
