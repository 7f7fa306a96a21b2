#!/usr/bin/env python3
"""Published figures and cases (tests/published/*.csv) through `bedtally sum ... --format json`.

    published_sums.py PROGRAM FILE.csv ...

Figures are turned into the unit of the row by the table below, not by the program's own. `ratio` is
one row's figure over another's; `refused` wants the sum refused and the text in the message. Ends with
"N passed, N failed"."""

import csv
import json
import subprocess
import sys

G = {"g": 1, "kg": 1e3, "t": 1e6, "mg": 1e-3, "oz": 28.349523125, "lb": 453.59237, "ton": 907184.74}
M2 = {"m2": 1, "ha": 1e4, "sq ft": 0.09290304, "100 sq ft": 9.290304, "1000 sq ft": 92.90304,
      "sq yd": 0.83612736, "ac": 4046.8564224}
M3 = {"m3": 1, "L": 1e-3, "mL": 1e-6, "cm3": 1e-6, "1000 L": 1, "cu in": 1.6387064e-5, "cu ft": 0.028316846592,
      "cu yd": 0.764554857984, "gal": 3.785411784e-3, "1000 gal": 3.785411784, "cup": 2.365882365e-4,
      "tbsp": 1.47867647825e-5, "tsp": 4.92892159375e-6, "bu": 0.03523907016688, "acre in": 102.79015312896}
M = {"m": 1, "cm": 0.01, "mm": 0.001, "in": 0.0254, "ft": 0.3048, "yd": 0.9144, "100 ft": 30.48}
SHARE = {"": 1, "%": 0.01, "ppm": 1e-6}
KINDS = {"mass": G, "area": M2, "volume": M3, "length": M, "share": SHARE}


def unit(text):
    """(factor, what it measures) of a unit."""
    if text.startswith("1/"):
        factor, kind = unit(text[2:])
        return 1 / factor, "per " + kind
    above, slash, below = text.partition("/")
    for kind, table in KINDS.items():
        if above in table and not slash:
            return table[above], kind
    above, kind = unit(above)
    below, other = unit(below)
    return above / below, "share" if kind == other else f"{kind} per {other}"


def run(program, row):
    typed = [part.strip() for part in row["given"].split(";")]
    made = subprocess.run([program, "sum", row["sum"], *typed, "--format", "json"],
                          capture_output=True, text=True, check=False)
    return made.returncode, made.stdout, made.stderr


def figure(program, row):
    """The row's figure in its unit; raises ValueError with what is wrong."""
    status, out, messages = run(program, row)
    if status != 0:
        raise ValueError(f"exit {status}: {messages}")
    answer = json.loads(out)
    assert answer["schema"] == "bedtally-sum-1" and answer["sum"] == row["sum"] and answer["source"]
    for result in answer["results"]:
        if result["name"] == row["result"]:
            got, kind = unit(result["unit"])
            want, other = unit(row["unit"])
            if kind != other:
                raise ValueError(f"{result['unit']} is no {row['unit']}")
            assert result["p05"] <= result["value"] <= result["p95"]
            return result["value"] * got / want
    raise ValueError(f"no result \"{row['result']}\" in {[r['name'] for r in answer['results']]}")


def check(program, row, rows):
    if row["result"] == "refused":
        status, out, messages = run(program, row)
        return None if status == 2 and not out and row["want"] in messages else f"not refused so: {messages}"
    if row["sum"] == "ratio":
        upper, lower = (figure(program, rows[part.strip()]) for part in row["given"].split(";"))
        got = upper / lower
    else:
        got = figure(program, row)
    want = float(row["want"])
    if abs(got - want) <= abs(want) * float(row["tolerance_percent"]) / 100 * (1 + 1e-9):
        return None
    return f"{got:.6g}, wanted {want:g} {row['unit']} within {row['tolerance_percent']} %"


def main(program, *files):
    rows = {}
    for name in files:
        with open(name, encoding="utf-8", newline="") as f:
            rows.update((row["id"], row) for row in csv.DictReader(f))
    failed = 0
    for row in rows.values():
        try:
            wrong = check(program, row, rows) if row["sum"] else f"no sum: {row['note']}"
        except (ValueError, KeyError) as error:
            wrong = str(error)
        if wrong:
            failed += 1
            print(f"FAILED  {row['id']}: {wrong}")
    print(f"{len(rows) - failed} passed, {failed} failed")
    return failed != 0


sys.exit(main(*sys.argv[1:]))
