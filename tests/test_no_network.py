"""A whole journey without a window opens no socket and unpickles nothing."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

JOURNEY = """
import json, sys

seen = []


def watch(event, arguments):
    if event.startswith("socket.") or event == "pickle.find_class":
        seen.append(event)


sys.addaudithook(watch)
from evenbarrel.__main__ import main

codes = [
    main(["appraise", "--sample", "--json", sys.argv[1] + "/results.json"]),
    main(["report", "--sample", "-o", sys.argv[1] + "/evaluation.pdf"]),
    main(["report", "--sample", "-o", sys.argv[1] + "/evaluation.xlsx"]),
]
journey = list(seen)
import pickle, socket

socket.socket().close()
pickle.loads(b"cbuiltins\\nlen\\n.")
print(json.dumps({"codes": codes, "journey": journey, "watched": seen}))
"""


def test_a_whole_journey_opens_no_socket_and_unpickles_nothing(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", JOURNEY, str(tmp_path)],
        capture_output=True,
        check=True,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[1] / "src")},
    )
    told = json.loads(done.stdout)
    assert told["codes"] == [0, 0, 0]
    assert told["journey"] == []
    # The watch itself sees what it watches for.
    assert {"socket.__new__", "pickle.find_class"} <= set(told["watched"])
