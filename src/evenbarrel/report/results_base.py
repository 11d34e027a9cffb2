"""The base of everything the results file holds."""

from __future__ import annotations

from pydantic import ConfigDict

from evenbarrel.model.base import Frozen


class Published(Frozen):
    """Base of the published shapes: a sentence may be longer than any name or remark in it."""

    # A question names every barrel it is about: its text is as long as that takes.
    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False, str_max_length=None)
