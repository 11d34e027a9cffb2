"""What people decided: answers, deviations, limits, who runs what, proposal, sign-offs."""

from datetime import date as Date
from typing import Annotated, Literal, Self

from pydantic import ConfigDict, Field, field_validator, model_validator

from evenbarrel.model.base import LONGEST_NOTES, Frozen, Identifier, Notes, PlainData, Rows, refusal
from evenbarrel.model.limits import CRITERIA, LIMITS, RESIN_LIMITS
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.resin import ResidenceLimit

Role = Literal["purchase", "process_engineering", "maintenance", "safety"]


class Stood(Frozen):
    """The value that a datum of one thing had: of a screw, a unit, a bid or a job, by its id.

    `quantity` is a number as it was printed, `text` anything else; neither: nothing stood there.
    """

    of: Identifier
    quantity: Quantity | None = None
    text: str = ""


class QuestionState(Frozen):
    """What became of a question, who did it and when.

    `about` is what stood under the datum at that time: where it changes, the question is another.
    An answer replaces what was printed, which stays in `quantity` where it is one number, and for
    each screw in `replaced`. `answer_by` is the day until which an answer is wanted.
    """

    state: Literal["open", "asked", "answered", "accepted_as_is"] = "open"
    person: str = ""
    date: Date | None = None
    text: Notes = ""
    quantity: Quantity | None = None
    answer_by: Date | None = None
    about: Rows[Stood] = ()
    replaced: Rows[Stood] = ()


class Answer(QuestionState):
    """What became of a question last; `earlier` holds what became of it before, oldest first."""

    question: str
    datum: str | None = None
    earlier: Rows[QuestionState] = ()


class Deviation(Frozen):
    """A criterion that is outside and that a named person accepts, or `refused` to waive."""

    barrel: str
    job: str | None = None
    criterion: str
    reason: Notes = ""
    person: str = ""
    role: Role | None = None
    date: Date | None = None
    condition: Notes = ""
    until: Date | None = None
    refused: Literal[True] | None = None

    @field_validator("criterion")
    @classmethod
    def _known(cls, key: str) -> str:
        if key not in CRITERIA:
            raise refusal("criterion", "'{key}' is not a criterion", key=key)
        return key


LimitValue = float | str | Quantity | tuple[ResidenceLimit, ...] | tuple[str, ...]
"""What a limit may be: a number of the evaluation, or a datum of a resin."""


class ConfirmedLimit(Frozen):
    """A limit from memory that a named person stands by, for as long as it is `value`.

    `resin` is None for a limit of the evaluation itself; `field` is its name there.
    """

    resin: Identifier | None = None
    field: str
    value: LimitValue
    person: str = ""
    date: Date | None = None
    reason: Notes = ""

    @model_validator(mode="after")
    def _known(self) -> Self:
        if self.field not in (LIMITS if self.resin is None else RESIN_LIMITS):
            raise refusal("limit", "'{field}' is not a limit", field=self.field)
        return self


class Assignment(Frozen):
    """A job put on one copy of a barrel."""

    job: str
    barrel: str
    copy_number: Annotated[int, Field(ge=1)] = Field(default=1, alias="copy")


class JobOnBarrel(Frozen):
    """A job and a barrel that is to run it, or must not."""

    job: Identifier
    barrel: Identifier


class Proposal(Frozen):
    """Which barrels a person proposes to buy, and which jobs each of them runs."""

    barrels: Rows[Identifier] = ()
    jobs: Rows[JobOnBarrel] = ()
    reason: Notes = ""
    person: str = ""
    date: Date | None = None


class CoverOptions(Frozen):
    """What a cover may not do, and whether it may use cells that wait for somebody."""

    forbidden: Rows[JobOnBarrel] = ()
    waiting_fits: Literal[True] | None = None


class Measure(Frozen):
    """A measure by which offers are weighed; its weight marks one point among all weightings."""

    key: Literal["present_cost", "price", "delivery", "least_margin", "warranty"]
    weight: Annotated[float, Field(ge=0.0)] | None = None


class Carried(Frozen):
    """What an older signature stands for since its file was brought to a newer version."""

    scheme: str
    digest: str


class SignOff(Frozen):
    """A signature under one exact state of the evaluation.

    `carried` is set where the file was of an older version and the signature held then: it is
    judged by that digest from then on.
    """

    role: Role
    person: str = ""
    date: Date | None = None
    statement: Notes = ""
    conditions: Notes = ""
    scheme: str = "c1"
    digest: str = ""
    carried: Carried | None = None
    results_digest: str = ""
    program_version: str = ""


class SignedCell(Frozen):
    """What one cell came to when it was signed."""

    barrel: str
    job: str
    state: str
    binding: str | None = None
    margin: float | None = None


class SignedState(Frozen):
    """What a digest signed, kept once, so that what changed since can be listed.

    `evaluation` is the canonical form that the digest is of, `cells` what it came to.
    """

    # The longest notes have their place in it, and NFC makes a text three times as long at most.
    model_config = ConfigDict(str_max_length=3 * LONGEST_NOTES)

    digest: str
    evaluation: PlainData
    cells: Rows[SignedCell] = ()
