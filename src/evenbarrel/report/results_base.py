"""The base of everything the results file holds."""

from __future__ import annotations

from pydantic import ConfigDict

from evenbarrel.model.base import Frozen


class Published(Frozen):
    """Base of the published shapes."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)
