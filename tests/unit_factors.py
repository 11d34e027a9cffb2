"""Writes the factors of all units to SI that the program keeps, as pint makes them.

    python tests/unit_factors.py

To be run after a change of `resources/units.txt` or of the units in `units.py`: `test_units.py`
says so.
"""

from __future__ import annotations

import json
from pathlib import Path

from evenbarrel.units import factors_by_pint

KEPT = Path(__file__).parent.parent / "resources" / "unit_factors.json"


def main() -> None:
    """Write every unit's factor and offset, one unit a line."""
    rows = (f" {json.dumps(unit)}: {json.dumps(row)}" for unit, row in factors_by_pint().items())
    KEPT.write_text("{\n" + ",\n".join(rows) + "\n}\n", encoding="utf-8")


if __name__ == "__main__":
    main()
