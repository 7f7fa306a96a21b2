"""Copies a garden and gives everything in it that has a name a hostile one: tags, quotes, formulas,
line breaks, writing from right to left, emoji, a thousand characters. Usage: hostile_garden.py FROM TO"""

import csv
import os
import shutil
import sys

EVIL = "<script>alert(\"1\")</script> & 'q' \u05e9\u05dc\u05d5\u05dd \u202eRTL\u202c \U0001f33d "
COMPOST = '=1+1 <script>compost</script> "q" | *b* [l](u)'


def rows_of(path):
    with open(path, newline="", encoding="utf-8") as f:
        return list(csv.reader(f))


def write(path, rows):
    with open(path, "w", newline="", encoding="utf-8") as f:
        csv.writer(f).writerows(rows)


def main(source, target):
    shutil.copytree(source, target, ignore=shutil.ignore_patterns("expected"))
    table = {name: rows_of(os.path.join(target, name)) for name in os.listdir(target) if name.endswith(".csv")}
    new = {
        "name": "=1+1 " + EVIL + "x" * 850,
        "place": "line one\nline two <b>bold</b>",
        "prepared_by": "@SUM(A1) `tick` *star* _u_ | pipe",
    }
    for row in table["garden.csv"]:
        row[1] = new.get(row[0], row[1])
    table["garden.csv"].append(["grant", "-2+3 ]]> <!-- --> </style>"])
    table["garden.csv"].append(["funder", "+cmd|' /C calc'!A0"])
    beds = table["beds.csv"]
    beds[1][1] = '=HYPERLINK("x","y")<img src=x onerror=alert(1)>'
    beds[2][1] = EVIL
    beds[3][1] = "a tab\there\nand a line"
    for name, column in (("materials.csv", 0), ("applications.csv", 2), ("purchases.csv", 3)):
        for row in table[name]:
            row[column] = COMPOST if row[column] == "town compost" else row[column]
    for row in table["purchases.csv"][1:]:
        row[1] = "@supplier <i>x</i>"
        row[2] = "-1+1"
    for row in table["harvests.csv"][1:]:
        row[4] = "=to <u>pantry</u>\nsecond line"
    table["soil_tests.csv"][1][0] = "=A1 <script>"
    for name, rows in table.items():
        write(os.path.join(target, name), rows)


if __name__ == "__main__":
    main(*sys.argv[1:])
