"""Writes business_days.csv and business_days_holidays.csv beside this script.

Run: python3 tests/reference/business_days.py   (numpy, holidays)
A start that is no business day counts from the business day before it (roll="backward"), so that the first
business day after it is day 1.
"""
import datetime, pathlib
import holidays, numpy

here = pathlib.Path(__file__).parent
us = sorted(day for day in holidays.US(years=[2026, 2027, 2028, 2029]))
(here / "business_days_holidays.csv").write_text("".join(f"{day}\n" for day in us))
rows = ["start,1,2,3,5,10,30"]
day = datetime.date(2026, 1, 1)
while day <= datetime.date(2028, 12, 31):
    ends = [str(numpy.busday_offset(day, n, roll="backward", holidays=us)) for n in (1, 2, 3, 5, 10, 30)]
    rows.append(",".join([str(day), *ends]))
    day += datetime.timedelta(days=1)
(here / "business_days.csv").write_text("\n".join(rows) + "\n")
