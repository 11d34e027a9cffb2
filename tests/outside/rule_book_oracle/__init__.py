"""A second, independent implementation of the rules of calculation: an oracle for the tests.

Written from the rule book, the contract and the file format alone; it imports nothing of the
program. Plain scalar Python, one loop a thing, no speed: every bound is found at the corners of
the box of its inputs, so that no direction of growth is declared. `results_of` takes an evaluation
as filed (version 2, absent is null) and returns the results by the contract's names.

Read as
-------
Where the rule book is silent or may be read in several ways, this is what is read here.

Numbers
- `half_width` of a datum, and `uncertainty`, are shares of the number. The datum's own stands
  before `uncertainty`, that before the default. For `data_sheet` the larger of the two per cent
  (or what stands in its place) and the printed digits counts.
- `confirmed` part masses count as `quoted`. Ring travel, cushion, scatter, quoted pressure, rate
  and power have no half-width.
- An output factor that is entered is taken as it is: the leak share is taken off computed ones
  only. An entered `melt_density` is the compound's: fillers are mixed in with Tait alone.
- A shot without a runner mass is computed without one, whatever the runner's kind.
- A share of volume from a rated mass without a quoted factor in the job's own resin: the output
  factor cancels and is counted nowhere, as the example "0.75 with 0.73-0.87" has it.
- The estimated pressure takes the required rate, else V_shot over fill time, over the cavities.
  A required rate that the job states replaces V_shot over fill time in `rate` and `power` too.
- A cylinder's wall is its diameter; Fo is taken on the half wall, or the radius; no shape: plate.
- Only the pressure kind `oil` is multiplied by the ratio; unstated is melt.
- Screw channel: annulus of each zone, depth falling evenly, open by 1 - flight/pitch; without L/D
  the screw's geometry cannot be used.

- Capacity with V alone is soft for the stroke it assumes; where the shot alone is larger than V,
  all of its interval, no stroke is assumed and it is outside by physics.

Window
- One motion is one number: cap and opening take the same end of it at every corner.
- By formula, the window may be as long as the cycle leaves; a wall that is cold before hold ends
  gives no window, and only the cap counts.
- Only the cap known: recovery and screw speed alike are outside at the cap or not stated.
- With `pi D n_max` within the limit the comfort edge is the limit itself: nothing that is inside
  lies beyond its comfort.
- No window left: value unbounded (null), margin -1.

States
- `soft` is true for a stated criterion that is not outside where an assumed demand, or an
  unconfirmed edge of it, bears on it; for `screw_geometry` where it held the state.
- `beyond_unconfirmed` only where the whole interval lies beyond; crossing is `uncertainty` alone.
- `compression_low`, `compression_high`, `length_ratio_low`, `unsuited_rings` each have their own
  origin: one that a person entered is hard although the others are from memory.
- `open` holds what is not stated but lower bounds whose data are there; a lower bound for want of
  the hot runner's volume is open.
- Disputed is laid on the worst end of each reading, before the readings are joined; edges and
  margins of a joined criterion are the worst reading's.
- Margins that differ by rounding are ties; an edge is touched within 1e-12.
- A unit whose kind the method does not know: not stated, no reasons, and claims of volume and
  rated mass alone; its numbers are not compared.

Readings
- A slip of V is the reading as printed; a neighbour's number gives no reading of its own.
- The reading as printed is spanned, plausible or not.
- A barrel's own volume interval is the hull of its readings.

Claims
- The slips of `rated_mass_basis` but solid density, and the claims `length_ratio`,
  `peripheral_speed`, `plasticising_energy` are not made here: the rules name them, no more; of
  `common_stroke` only the stroke that no screw of its diameter has. L/D is never beyond a query in
  the program: 12 to 30 is no more than usual, and nobody's rule.
- A size number takes the barrel's own stroke, printed or given by D and V; its gap is not compared.
- A screw without a pressure has the drive's force for its size number; not stated without F* too.
- It joins a group of screws whose mean it meets within 5 %; F* is the screws' mean.
- A rate is held against those of the unit's other screws at speeds of one kind: alike in a turn and
  cubed diameters within 1.7 times. A column in kg/h that is above 0.085 throughout is queried.
- A smaller screw with the very pressure, not round, of a larger one that bears the force within 1 %
  is queried, without a cause.
- A quoted `reference_factor` that the rated mass meets ends `rated_mass_basis`: agrees. One that
  contradicts the named resin's factor, as its solid density does, vouches for nothing.
- A rated mass is held against the volume as settled.
- Quoted injection power and p Q are both held against the drive; the worse counts. The query of an
  overloaded drive is shown and no supplier is asked, as the rules say.
- `injection_speed` compares the speed with rate / A. A corrected pressure must leave size number
  and drive power at peace. A decimal shift that is a unit's factor too is that unit's slip.
- A one-sided claim is explained by a slip that mends any failed two-sided claim about its datum,
  or, where none about it failed, by a unit's factor alone.
- "A query that names a cause" is one that names any: of several each alone would explain it.
- A decision on the size ends the claims that its wrong datum, or its slip, explains.

Bids
- Only the head of each chain that is not withdrawn is appraised. A pin to another barrel holds
  nothing: its job counts for every barrel until a person carries the pin over.

Gate
- A refusal has no end date. An answer ends a claim by `<bid>.<subject>`, whoever's barrel it is.
- Two jobs "must run on one unit and copy" where `assignment` pins both there.
"""

from .appraisal import results_of

__all__ = ["results_of"]
