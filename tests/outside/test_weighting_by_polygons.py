"""Shares of all weightings of three measures against scipy's half-planes and hulls."""

from __future__ import annotations

import numpy as np
from scipy.optimize import linprog
from scipy.spatial import ConvexHull, HalfspaceIntersection

from evenbarrel.decision.weighting import leading_shares

SIMPLEX = np.array([[-1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [1.0, 1.0, -1.0]])
"""a x + b y + c <= 0: both weights above 0, and their sum below 1."""


def area_where_it_leads(scores: np.ndarray, place: int) -> float:
    behind = np.delete(scores, place, axis=0) - scores[place]
    planes = np.column_stack(
        [behind[:, 0] - behind[:, 2], behind[:, 1] - behind[:, 2], behind[:, 2]]
    )
    planes = np.vstack([planes, SIMPLEX])
    # The centre of the largest circle within all half-planes; none: no area.
    norms = np.linalg.norm(planes[:, :2], axis=1, keepdims=True)
    centre = linprog(
        [0.0, 0.0, -1.0],
        A_ub=np.hstack([planes[:, :2], norms]),
        b_ub=-planes[:, 2],
        bounds=[(None, None), (None, None), (0.0, None)],
    )
    if centre.status != 0 or centre.x[2] < 1e-9:
        return 0.0
    corners = HalfspaceIntersection(planes, centre.x[:2]).intersections
    return 2.0 * float(ConvexHull(corners).volume)


def test_shares_are_the_areas_of_polygons(for_each):
    """scipy.spatial: the volume of a hull in the plane is its area; the simplex has 1/2."""

    @for_each(range(40))
    def _(seed):
        scores = np.random.default_rng(seed).random((seed % 7 + 2, 3))
        shares, error = leading_shares(scores)

        areas = [area_where_it_leads(scores, place) for place in range(len(scores))]
        np.testing.assert_allclose(shares, areas, atol=1e-9)
        assert error == 0.0
