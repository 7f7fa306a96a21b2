#!/usr/bin/env python3
"""The checksum of each table named, and of all together, as an answer gives them.

    tests/tables_checksums.py FOLDER TABLE ...
"""
import pathlib
import sys

MASK = (1 << 64) - 1


def checksum(data):
    """FNV-1a, its bits mixed as splitmix64 ends."""
    h = 14695981039346656037
    for byte in data:
        h = ((h ^ byte) * 1099511628211) & MASK
    for shift, factor in ((30, 0xBF58476D1CE4E5B9), (27, 0x94D049BB133111EB)):
        h = ((h ^ (h >> shift)) * factor) & MASK
    return h ^ (h >> 31)


folder = pathlib.Path(sys.argv[1])
sums = []
for name in sys.argv[2:]:
    data = (folder / f"{name}.csv").read_bytes()
    sums.append(checksum(data))
    print(f"{name} {sums[-1]:016x}")
print(f"all {checksum(b''.join(s.to_bytes(8, 'little') for s in sums)):016x}")
