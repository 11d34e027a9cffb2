"""What is said where people decide: other rules, trials, deviations, signatures, exports."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.comparison import ChangedCell
from evenbarrel.appraisal.references import CriterionRef
from evenbarrel.appraisal.results import Fit
from evenbarrel.wording.sentences.cells import fit_word, listed
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.criteria import CRITERION_WORDS, criterion_label
from evenbarrel.wording.words.names import barrel_name, full_name, job_name, supplier_name

NOT_JUDGED_HERE = (
    "Not judged here: clamp force, tie bars, mould height, opening stroke, nozzle and ejector fit, "
    "heating of the mould, drying, automation; gas injection, foaming, thermosets and rubber."
)
NOT_JUDGED = f"A screening by calculation, not a guarantee. {NOT_JUDGED_HERE}"
APART_BECAUSE = (
    "Halogenated resin and acetal react violently; purging does not make it safe. Follow ISO "
    "20430 and the machine's manual; leave the work to trained people."
)
ALL_JOBS = "all jobs"
NO_DEVIATIONS = (
    "No deviation is accepted or refused. Decide on many cells at once under Rules, or on one cell "
    "on the Fit page."
)
RULES_INTRODUCTION = (
    "Cells that are outside by a rule of thumb wait for an engineer, who accepts or refuses them; "
    "what is beyond a resin's limit is shut until it is accepted. It stays outside and is printed "
    "as such. Physics and hazards can never be accepted."
)
NOTHING_TO_DECIDE = "No cell is outside by a rule or by a resin's limit that a person may accept."
LIMITS_INTRODUCTION = (
    "Limits from memory that a planned shot exceeds. The barrel waits until a person "
    "confirms or changes them. Choose one or several, and confirm them in one step."
)
NO_WAITING_LIMITS = "No barrel waits for a limit to be confirmed."
NO_CONFIRMED_LIMITS = "No limit is confirmed by a named person yet."
PINS_INTRODUCTION = (
    "A pinned job runs only on the barrels named, and no other barrel's gate counts it. "
    "If a programme needs two machines, pin each job to one of them."
)
NO_JOBS = "No job is planned yet: enter jobs on the Shots page."
ANY_BARREL = "any barrel"
NOTHING_STANDS = "Nothing stands in the way of this barrel."
CHOOSE_BARREL = "Choose a barrel above to see here what stands in its way, and the way out of each."
CHOOSE_LIMITS = "Choose one limit or several."
CHOOSE_READING = (
    "Which reading of this barrel's size is right? One click decides; what was printed stays "
    "as it is."
)
WHY_ACCEPTED = "Why it may run although it is outside"
WHY_REFUSED = "Why the rule is not waived"
WHY_CONFIRMED = "What the limit was checked against"
NO_SIGN_OFFS = "Nobody has signed yet. A signature applies to exactly what is in the evaluation."
SIGNING = (
    "You sign exactly what is in the evaluation now. After a later change the signature is "
    "shown as stale, with what changed. It records who agreed; it is not an electronic "
    "signature."
)
NOTHING_PROPOSED_TO_SIGN = "Nothing is proposed yet: a signature now makes no choice."
WHO_SIGNS = "Who signs"
STATEMENT_FOLLOWS = "Choose a role to see here what it answers for; the wording may be changed."
EXPORTS_INTRODUCTION = (
    "PDF: two pages for the people who decide, with lines for signatures, then the evidence. "
    "Workbook: barrels, jobs, claims, fit, questions and offers as numbers to filter. "
    "Results: every number at full precision. What would flip the choice is included once it "
    "has been found under Flips."
)
WITH_WORKINGS = "with an appendix: how the &numbers were calculated"
NOT_ACCEPTABLE = "Nothing here can be accepted: physics and hazards never can."
PERSON_WANTED = "Enter a name: who decides this?"
CRITERION_WANTED = "Choose the criterion."
SCOPE_WANTED = "Choose whether it is accepted for this job or for all."
ROLE_WANTED = "Choose a role."
NAMING = "Whose decision is it, and why? What was decided stays as it is."
REASON_WANTED = "Enter a reason: why is this decided?"
NUMBER_WANTED = "enter a number; its own button brings the usual value back."
POSITIVE_WANTED = "it must be above zero."
CHOOSE_CELL = "Choose a cell of the grid or a mark of the picture: one barrel, one job."
FIT_EMPTY = (
    "Enter planned jobs on the Shots page and offers on the Bids page: every barrel is then "
    "compared with every job here."
)
WINDOW_AS_IT_STANDS = "the limits as they stand"
WINDOW_TIP = "Shows what another published or common window would change; nothing is changed."
CRITERIA_OF_LIMITS: Mapping[str, str] = {
    "general_low": "General resins, smallest share of volume",
    "general_high": "General resins, largest share of volume",
    "engineering_low": "Engineering resins, smallest share of volume",
    "engineering_high": "Engineering resins, largest share of volume",
    "stroke_low": "Shot stroke, smallest",
    "stroke_comfort_low": "Shot stroke, comfortable from",
    "stroke_comfort_high": "Shot stroke, comfortable up to",
    "stroke_high": "Shot stroke, largest",
    "ring_share": "Ring travel, largest share of shot stroke",
    "recovery_share": "Recovery, comfortable share of the window",
    "pressure_share": "Pressure, comfortable share of the quoted pressure",
    "rate_share": "Injection rate, comfortable share of the quoted rate",
    "rated_basis": "Rated basis, agreement of an implied factor",
    "force_agreement": "Common drive force, agreement of the screws",
}
"""A label for each limit of an evaluation."""

HALF_WIDTHS: Mapping[str, str] = {
    "output_factor": "Output factor",
    "part_mass": "Part and runner mass",
    "plasticising_rate": "Plasticising rate",
    "cooling_window": "Cooling window",
    "required_pressure": "Required pressure",
    "melt_inventory": "Melt inventory",
    "cycle_time": "Cycle time",
}
"""A label for each kind of input that has a half-width."""


def confirming(limits: str, number: int) -> str:
    """Return what confirming limits says: that they are right as they stand."""
    return f"Confirms {limits}, right as {'it stands' if number == 1 else 'they stand'}."


def limit_label(name: str) -> str:
    """Return the label of a limit."""
    return CRITERIA_OF_LIMITS.get(name) or name.replace("_", " ").capitalize()


def half_width_label(quantity: str, route: str) -> str:
    """Return the label of a half-width: its quantity and route."""
    return f"{HALF_WIDTHS[quantity]}, {route_word(quantity, route)}"


def route_word(quantity: str, route: str) -> str:
    """Return the word for the route or the standing an input of that quantity came by."""
    routes = labels.INVENTORY_ROUTES if quantity == "melt_inventory" else labels.ROUTES
    return routes.get(route) or labels.STANDINGS.get(route, route)


def in_diameters(limit: str) -> bool:
    """Say whether a limit is in screw diameters; the others are shares."""
    return limit.startswith("stroke_")


def verdict_text(fit: Fit) -> str:
    """Return a cell's verdict with what binds: "outside by rule, share"."""
    word = fit_word(fit)
    return word if fit.binding is None else f"{word}, {CRITERION_WORDS[fit.binding].short}"


def changed_line(changed: Sequence[ChangedCell], total: int) -> str:
    """Return how many cells change, and from what to what."""
    if not changed:
        return f"No verdict of {total} cells would change."
    moves = Counter((fit_word(c.before), fit_word(c.after)) for c in changed)
    text = "; ".join(f"{n} from {old} to {new}" for (old, new), n in moves.most_common())
    return f"{len(changed)} of {total} verdicts would change: {text}."


def changed_sheet(appraisal: Appraisal, changed: Sequence[ChangedCell]) -> Sheet:
    """Return every changed cell, old verdict beside new."""
    headings = (
        Heading("Supplier"),
        Heading("Barrel"),
        Heading("Job"),
        Heading("Verdict now"),
        Heading("Verdict then"),
    )
    rows = tuple(
        (
            Cell(supplier_name(appraisal, cell.barrel)),
            Cell(barrel_name(appraisal, cell.barrel)),
            Cell(job_name(appraisal, cell.job)),
            Cell(
                verdict_text(cell.before),
                state=cell.before.state,
                reference=CriterionRef(cell.barrel, cell.job, cell.before.binding or "capacity"),
            ),
            Cell(verdict_text(cell.after), state=cell.after.state),
        )
        for cell in changed
    )
    return Sheet("changed", "Verdicts that would change", headings, rows)


def usual_again(label: str) -> str:
    """Return the name of the step back to the usual value."""
    return f"{label} as usual"


def read_as(text: str) -> str:
    """Return what was understood."""
    return f"read as {text}"


def deviation_question(appraisal: Appraisal, fit: Fit) -> str:
    """Return which cell a deviation is accepted for, what accepting means, and what stays."""
    cell = f"{full_name(appraisal, fit.barrel)}, for {job_name(appraisal, fit.job)}."
    means = f"{cell} It stays outside and is printed as such"
    never = [_criterion_word(key) for key in fit.unaccepted if key not in fit.acceptable]
    if never:
        return f"{means}; the gate stays shut: nobody can accept {listed(never)}."
    if len(fit.acceptable) > 1:
        each = listed([_criterion_word(key) for key in fit.acceptable])
        return f"{means}. The gate stays as it is until each of these is accepted: {each}."
    return f"{means}; it no longer stands in the way of the gate."


def _criterion_word(key: str) -> str:
    return criterion_label(key).lower()


def incompatible_lines(appraisal: Appraisal) -> tuple[str, ...]:
    """Return which jobs must never meet on one machine, and who purges."""
    return tuple(
        f"Never on one machine: {job_name(appraisal, one)} and {job_name(appraisal, other)}. "
        f"{APART_BECAUSE}"
        for one, other in appraisal.incompatible_pairs
    )
