"""A resin as the evaluation knows it: copied in, so a later table never changes a signed file."""

from collections.abc import Mapping
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from evenbarrel.model.base import Frozen, Identifier, Rows, refusal
from evenbarrel.model.datum import Datum
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.trade.packages import Degree

ResinClass = Literal["general", "engineering"]
Structure = Literal["amorphous", "semi_crystalline"]
Origin = Literal["published", "common_practice", "from_memory"]
FactorRoute = Literal["trade_table", "melt_density", "data_sheet", "air_shot", "own"]

Share = Annotated[float, Field(ge=0.0, le=1.0)]


class AlternativeWindow(Frozen):
    """A share-of-volume window that is published or circulates; shown beside, never applied.

    `applies_to` says in words for which resins, `source` where it was found.
    """

    low: Share
    high: Share
    applies_to: str
    origin: Origin
    source: str


def _density(label: str, help_text: str, group: str) -> Datum:
    return Datum(label, help_text, group, ("density",), 300.0, 8000.0)


def _temperature(label: str, help_text: str = "", group: str = "process") -> Datum:
    return Datum(label, help_text, group, ("temperature",), 273.0, 723.0)


class OutputFactors(Frozen):
    """Grams delivered per cm3 swept, by the route each came by."""

    trade_table: Annotated[
        Quantity | None,
        _density(
            "Trade table", "Factor that circulates in the trade, no traceable source", "factor"
        ),
    ] = None
    melt_density: Annotated[
        Quantity | None,
        _density("Melt density", "Entered instead of melt density less leakage", "factor"),
    ] = None
    data_sheet: Annotated[
        Quantity | None,
        _density("Data sheet", "Entered instead of MFR / MVR less leakage", "factor"),
    ] = None
    air_shot: Annotated[
        Quantity | None, _density("Air shot", "Weighed air shots / swept volume", "factor")
    ] = None
    own: Annotated[
        Quantity | None, _density("Own", "Your plant's own factor for this resin", "factor")
    ] = None


class TaitSet(Frozen):
    """Coefficients of the Tait equation, bare SI numbers, with the range they were fitted in."""

    form: Literal["polynomial", "exponential", "exponential_kelvin", "power_kelvin"]
    coefficients: tuple[float, ...]
    t_low: Annotated[Quantity | None, _temperature("Lowest temperature")] = None
    t_high: Annotated[Quantity | None, _temperature("Highest temperature")] = None
    p_high: Annotated[
        Quantity | None, Datum("Highest pressure", kinds=("melt_pressure",), low=1e6, high=1e9)
    ] = None

    @model_validator(mode="after")
    def _complete(self) -> Self:
        needed, given = 5 if self.form == "polynomial" else 4, len(self.coefficients)
        if given != needed:
            raise refusal(
                "tait",
                "the {form} form takes {needed} coefficients, not {given}",
                form=self.form.replace("_", " "),
                needed=needed,
                given=given,
            )
        return self


class Filler(Frozen):
    """A filler by its share of the compound's mass."""

    name: str
    mass_share: Share
    density: Annotated[Quantity, _density("Density", "Solid density of the filler", "filler")]


class ResidenceLimit(Frozen):
    """How long the melt may stay at one temperature."""

    temperature: Annotated[Quantity, _temperature("Melt temperature")]
    time: Annotated[Quantity, Datum("Residence limit", kinds=("time",), low=10.0, high=36000.0)]


class PowerLaw(Frozen):
    """Power-law viscosity eta = k rate^(n-1) at one temperature; k in Pa s^n, bare SI numbers."""

    k: Annotated[float, Field(gt=0.0)]
    n: Annotated[float, Field(gt=0.0, le=1.5)]
    temperature: Annotated[Quantity, _temperature("Temperature of the fit")]
    temperature_coefficient: Annotated[float, Field(ge=0.0)] | None = None


class Resin(Frozen):
    """A resin that will be run, or that a supplier rates in."""

    id: Identifier
    name: Annotated[str, Datum("Name", group="identity")] = ""
    family: Annotated[str, Datum("Family", "Polymer family, such as PA or PE", "identity")] = ""
    resin_class: Annotated[
        ResinClass | None,
        Datum("Class", "Decides which share-of-volume rule applies to it", "identity"),
    ] = None
    structure: Annotated[Structure | None, Datum("Structure", group="identity")] = None
    hygroscopic: Annotated[Degree | None, Datum("Hygroscopic", group="identity")] = None
    abrasive: Annotated[
        Degree | None, Datum("Abrasive", "Abrasive wear on barrel and screw", "identity")
    ] = None
    corrosive: Annotated[
        Degree | None, Datum("Corrosive", "Chemical attack on barrel and screw", "identity")
    ] = None
    hazard_groups: Annotated[
        Rows[str],
        Datum("Hazard groups", "Halogenated and acetal must never meet on one machine", "identity"),
    ] = ()
    output_factor_route: Annotated[
        FactorRoute | None,
        Datum("Route used", "Which output factor the appraisal uses for this resin", "factor"),
    ] = None
    output_factors: OutputFactors = OutputFactors()
    utilisation_low: Annotated[
        Quantity | None,
        Datum(
            "Smallest share of volume",
            "Only if you accept a separate window for this resin",
            "window",
            ("share",),
            0.01,
            0.9,
        ),
    ] = None
    utilisation_high: Annotated[
        Quantity | None,
        Datum(
            "Largest share of volume",
            "Only if you accept a separate window for this resin",
            "window",
            ("share",),
            0.1,
            1.0,
        ),
    ] = None
    solid_density: Annotated[
        Quantity | None,
        _density("Solid density", "For comparison; never used for a shot", "density"),
    ] = None
    melt_density: Annotated[
        Quantity | None,
        _density("Melt density", "At the temperature and pressure below", "density"),
    ] = None
    melt_density_temperature: Annotated[
        Quantity | None, _temperature("Melt density at temperature", group="density")
    ] = None
    melt_density_pressure: Annotated[
        Quantity | None,
        Datum(
            "Melt density at pressure", "", "density", ("melt_pressure",), 0.0, 3e8, "non_negative"
        ),
    ] = None
    tait: TaitSet | None = None
    leak_share: Annotated[
        Share | None,
        Datum(
            "Leak share", "Share of the stroke lost past the check ring; 5 % if empty", "density"
        ),
    ] = None
    back_pressure: Annotated[
        Quantity | None,
        Datum(
            "Back pressure",
            "Melt pressure while the screw recovers; 10 MPa if empty",
            "density",
            ("melt_pressure",),
            0.0,
            5e7,
            "non_negative",
        ),
    ] = None
    fillers: Rows[Filler] = ()
    mfr: Annotated[
        Quantity | None,
        Datum("Melt mass-flow rate", "MFR, ISO 1133", "density", ("melt_mass_flow",)),
    ] = None
    mvr: Annotated[
        Quantity | None,
        Datum("Melt volume-flow rate", "MVR, same condition", "density", ("melt_volume_flow",)),
    ] = None
    flow_test_temperature: Annotated[
        Quantity | None, _temperature("Flow test temperature", group="density")
    ] = None
    flow_test_load: Annotated[
        Quantity | None, Datum("Flow test load", "", "density", ("mass",), 0.1, 30.0)
    ] = None
    enthalpy: Annotated[
        Quantity | None,
        Datum("Enthalpy to melt", "From 20 °C to melt", "process", ("enthalpy",), 5e4, 1.5e6),
    ] = None
    melt_temperature: Annotated[
        Quantity | None, _temperature("Melt temperature", "Usual melt temperature")
    ] = None
    peripheral_speed_limit: Annotated[
        Quantity | None,
        Datum(
            "Peripheral speed limit", "Of the screw", "process", ("peripheral_speed",), 0.02, 3.0
        ),
    ] = None
    residence_limits: Rows[ResidenceLimit] = ()
    diffusivity: Annotated[
        Quantity | None,
        Datum(
            "Thermal diffusivity",
            "Effective value over the cooling range",
            "process",
            ("diffusivity",),
            1e-8,
            5e-7,
        ),
    ] = None
    diffusivity_literature: Annotated[
        Quantity | None,
        Datum("Literature diffusivity", "", "process", ("diffusivity",), 1e-8, 5e-7),
    ] = None
    length_ratio_low: Annotated[
        Quantity | None, Datum("Least L/D", "", "process", ("ratio",), 8.0, 40.0)
    ] = None
    compression_low: Annotated[
        Quantity | None, Datum("Least compression ratio", "", "process", ("ratio",), 1.0, 6.0)
    ] = None
    compression_high: Annotated[
        Quantity | None, Datum("Greatest compression ratio", "", "process", ("ratio",), 1.0, 6.0)
    ] = None
    unsuited_rings: Rows[Literal["sliding", "ball", "smear_tip", "other"]] = ()
    mould_temperature: Annotated[Quantity | None, _temperature("Mould temperature")] = None
    ejection_temperature: Annotated[Quantity | None, _temperature("Ejection temperature")] = None
    price_per_kg: Annotated[
        Money | None,
        Datum("Price per kg", "For the resin wasted at a change of resin", "process"),
    ] = None
    power_law: PowerLaw | None = None
    origins: Mapping[str, Origin] = Field(default_factory=dict, max_length=1000)

    @model_validator(mode="after")
    def _no_more_filler_than_compound(self) -> Self:
        # A little over one is rounding of printed shares.
        if sum(filler.mass_share for filler in self.fillers) > 1.0 + 1e-9:
            raise PydanticCustomError("fillers", "the fillers make up more than the whole compound")
        return self
