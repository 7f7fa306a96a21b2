#!/usr/bin/env python3
"""validate.py SCHEMA FILE...: JSON files against a schema; one line for each that does not fit."""
import json
import sys

from jsonschema import Draft202012Validator

with open(sys.argv[1], encoding="utf-8") as f:
    schema = json.load(f)
Draft202012Validator.check_schema(schema)
validator = Draft202012Validator(schema)
bad = 0
for name in sys.argv[2:]:
    with open(name, encoding="utf-8") as f:
        for error in validator.iter_errors(json.load(f)):
            where = "/".join(str(p) for p in error.absolute_path)
            print(f"{name}: {where}: {error.message[:200]}")
            bad = 1
sys.exit(bad)
