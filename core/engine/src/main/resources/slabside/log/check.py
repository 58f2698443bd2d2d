#!/usr/bin/env python3
"""Verifies a studio's log by its description alone; shares nothing with the program that wrote it.

Usage: check.py FILE            for a log as it is exported: hash, tab, event on every line
       check.py LOG HASHES      for a log as it is archived: an event on every line, their hashes in a file beside it
       check.py FOLDER          for a whole archive: its log up to the heads it had, and every photo and memo it names
Prints the head of every chain; exits 1 and names the first wrong line or file otherwise.
"""
import hashlib
import itertools
import json
import os
import sys

TAG = b"slabside event 1\n"


def lines(path, hashes):
    """Every line with its hash, joined by a tab, whether they stand in one file or in two."""
    with open(path, "rb") as file:
        if hashes is None:
            yield from file
            return
        with open(hashes, "rb") as beside:
            for line, digest in itertools.zip_longest(file, beside, fillvalue=b""):
                yield digest.rstrip(b"\n") + b"\t" + line


def check(path, hashes=None, attached=None, heads=None):
    known = {}   # (origin, oseq) -> hashes of the events that stand there, several where a chain forked
    ids = {}
    last = ("", 0, "")
    for number, raw in enumerate(lines(path, hashes), 1):
        if not raw.endswith(b"\n"):
            return f"line {number}: cut off"
        digest, tab, line = raw[:-1].partition(b"\t")
        try:
            event = json.loads(line.decode("utf-8"))
            origin, oseq, name = event["origin"], event["oseq"], event["id"]
            for field in ("happened", "recorded", "hlc", "actor", "type", "version", "about", "body"):
                event[field]
        except (ValueError, KeyError) as wrong:
            return f"line {number}: not an event ({wrong})"
        if (origin, oseq, digest.decode()) <= last:
            return f"line {number}: out of order"
        last = (origin, oseq, digest.decode())
        before = [b"\0" * 32] if oseq == 1 else known.get((origin, oseq - 1), [])
        if not any(hashlib.sha256(TAG + b + line).hexdigest().encode() == digest for b in before):
            return f"line {number}: does not follow from the event before it in chain {origin}"
        if name in ids and ids[name] != line:
            return f"line {number}: the id {name} stands for two events"
        ids[name] = line
        if attached is not None and event["type"] == "log.attached":
            attached.append((event["body"]["sha256"], event["body"]["size"]))
        known.setdefault((origin, oseq), []).append(bytes.fromhex(digest.decode()))
    for origin in sorted({key[0] for key in known}):
        oseq = max(key[1] for key in known if key[0] == origin)
        for digest in known[(origin, oseq)]:
            print(origin, oseq, digest.hex())
            if heads is not None:
                heads.append(f"{origin} {oseq} {digest.hex()}")
    print(len(ids), "events verified")
    return ""


def folder(path):
    attached, heads = [], []
    problem = check(os.path.join(path, "log.jsonl"), os.path.join(path, "log.hashes"), attached, heads)
    if problem:
        return problem
    with open(os.path.join(path, "heads.txt"), encoding="utf-8") as file:
        for head in file.read().split("\n"):
            if head and head not in heads:
                return f"heads.txt: the log does not reach {head}"
    gone = 0
    names = {name.partition(".")[0]: name for name in os.listdir(os.path.join(path, "attached"))}
    for sha, size in attached:
        if sha not in names:
            gone += 1
            print(f"attached {sha}: not in this archive")
            continue
        with open(os.path.join(path, "attached", names[sha]), "rb") as file:
            if hashlib.sha256(file.read()).hexdigest() != sha:
                return f"attached/{names[sha]}: is not what the log names"
    print(len(attached) - gone, "photos and memos verified,", gone, "named and not here")
    return ""


if __name__ == "__main__":
    if len(sys.argv) == 2 and os.path.isdir(sys.argv[1]):
        problem = folder(sys.argv[1])
    else:
        problem = check(*sys.argv[1:3])
    if problem:
        print(problem)
        sys.exit(1)
