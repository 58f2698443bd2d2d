#!/usr/bin/env python3
"""Verifies an exported log by its description alone; shares nothing with the program that wrote it.

Usage: check_export.py FILE. Prints the head of every chain; exits 1 and names the first wrong line otherwise.
"""
import hashlib
import json
import sys

TAG = b"slabside event 1\n"


def check(path):
    known = {}   # (origin, oseq) -> hashes of the events that stand there, several where a chain forked
    ids = {}
    last = ("", 0, "")
    with open(path, "rb") as file:
        for number, raw in enumerate(file, 1):
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
            known.setdefault((origin, oseq), []).append(bytes.fromhex(digest.decode()))
    for origin in sorted({key[0] for key in known}):
        oseq = max(key[1] for key in known if key[0] == origin)
        print(origin, oseq, " ".join(hash.hex() for hash in known[(origin, oseq)]))
    print(len(ids), "events verified")
    return ""


if __name__ == "__main__":
    problem = check(sys.argv[1])
    if problem:
        print(problem)
        sys.exit(1)
