#!/usr/bin/env python3
"""validate.py FOLDER FILE...: JSON files against the schemas of FOLDER, each by its own "schema" (bedtally-NAME-1
is FOLDER/NAME.json); one line for each that does not fit.

--strict FOLDER FILE...: besides, each schema is used, and none lets a member through that it does not name, in
whatever object of theirs one is put."""
import json
import os
import sys

from jsonschema import Draft202012Validator


def read(name):
    with open(name, encoding="utf-8") as f:
        return json.load(f)


def validators(folder):
    found = {}
    for name in sorted(os.listdir(folder)):
        schema = read(os.path.join(folder, name))
        Draft202012Validator.check_schema(schema)
        found[schema["properties"]["schema"]["const"]] = Draft202012Validator(schema)
    return found


def objects(value, path=()):
    """The paths of all objects in value."""
    if isinstance(value, dict):
        yield path
        for key, inner in value.items():
            yield from objects(inner, path + (key,))
    elif isinstance(value, list):
        for k, inner in enumerate(value):
            yield from objects(inner, path + (k,))


def pruned(value, path):
    """A copy with one item left of each list: the one on the path, else the first."""
    if isinstance(value, dict):
        return {k: pruned(v, path[1:] if path[:1] == (k,) else ()) for k, v in value.items()}
    if isinstance(value, list):
        return [pruned(value[path[0] if path else 0], path[1:])] if value else []
    return value


def at(value, path):
    for step in path:
        value = value[0] if isinstance(step, int) else value[step]
    return value


def loose(validator, document, seen):
    """Where an unforeseen member goes through."""
    for path in objects(document):
        kind = tuple("*" if isinstance(p, int) else p for p in path)
        # blocks of a report differ by their kind
        kind += (at(pruned(document, path), path).get("kind"),)
        if kind in seen:
            continue
        seen.add(kind)
        changed = pruned(document, path)
        if not validator.is_valid(changed):
            yield f"{'/'.join(map(str, path))}: does not fit by itself"
            continue
        at(changed, path)["unforeseen"] = {}
        if validator.is_valid(changed):
            yield f"{'/'.join(map(str, path))}: an unforeseen member goes through"


def main(words):
    strict = words[0] == "--strict"
    folder, *names = words[1:] if strict else words
    known = validators(folder)
    bad, used, seen = 0, set(), {}
    for name in names:
        document = read(name)
        kind = document.get("schema") if isinstance(document, dict) else None
        if kind not in known:
            print(f"{name}: schema: no schema for {kind}")
            bad = 1
            continue
        used.add(kind)
        for error in known[kind].iter_errors(document):
            where = "/".join(str(p) for p in error.absolute_path)
            print(f"{name}: {where}: {error.message[:200]}")
            bad = 1
        for fault in loose(known[kind], document, seen.setdefault(kind, set())) if strict else ():
            print(f"{name}: {fault}")
            bad = 1
    for kind in sorted(set(known) - used if strict else ()):
        print(f"{kind}: no output was held against it")
        bad = 1
    return bad


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
